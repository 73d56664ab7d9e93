"""Two or three children in turns, and the search for a child's place."""

import re
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from sayit.page.board import Board
from sayit.page.marks import MARKS, marks_of
from sayit.practice.activities import question_from_key
from sayit.practice.path import load_path
from sayit.sitting.events import Opened, TurnOf
from sayit.store import open_record
from sayit.store.settings import Settings
from tests.page.conftest import _short_prompts
from tests.page.test_sitting import SLOW

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
HANDS = "body[data-sign=turn], body[data-sign=hands]"


def test_children_in_one_sitting_have_different_marks():
    many = [f"Child {place}" for place in range(20)]
    assert len(set(MARKS)) == len(MARKS)
    assert marks_of(many)["Child 0"] == marks_of(many)["Child 8"] == MARKS[0]
    assert len(set(marks_of(many, many[:3]).values())) == 3
    three = marks_of(many, ("Child 0", "Child 8", "Child 16"))
    assert len(set(three.values())) == 3 and three["Child 0"] == MARKS[0]


@pytest.fixture
def named(tmp_path):
    """The short wordings, with the child's name in what passes the turn on."""
    folder = _short_prompts(tmp_path / "named")
    file = folder / "en.toml"
    file.write_text(
        re.sub(r'^("?your-turn"?) = .*$', r'\1 = ["You.", "{child}!"]', file.read_text(), flags=re.MULTILINE)
    )
    assert "{child}!" in file.read_text()
    return str(folder)


def _two(home):
    with open_record(home / "record.sqlite3") as record:
        record.add_child("Pip", at=NOON)
        wren = record.add_child("Wren", at=NOON)
        record.place(wren, "hundreds", at=NOON)


def test_two_children_take_turns(household, visit, named, tmp_path):
    (tmp_path / "home").mkdir()
    _two(tmp_path / "home")
    home = household(environment={"SAYIT_PROMPTS": named}, plan=True, patience=60)
    page = visit(home)
    page.desk.locator("#how summary").click()
    page.desk.locator("#turns").get_by_label("Wren").check()
    page.desk.get_by_role("button", name="Start with Pip and Wren").wait_for()
    own = page.desk.locator("#turns .mark").evaluate_all("all => all.map((mark) => mark.dataset.mark)")
    assert len(set(own)) == 2
    page.touch()
    page.start()
    seen = []
    for count in range(1, 5):
        page.screen.wait_for_selector(HANDS, timeout=SLOW * 1000)
        shown = page.screen.locator("#seats .now")
        assert shown.count() == 1 and page.screen.locator("#seats .mark").count() == 2
        label = page.screen.locator("#seats").get_attribute("aria-label")
        seen.append((label, shown.get_attribute("data-mark")))
        # Nobody needs to read: the name stands nowhere but in what is said.
        assert label.removesuffix("'s turn") not in page.screen.locator("body").inner_text().replace("Parent's", "")
        page.press("Right")
        page.heard(count, SLOW)
        page.screen.wait_for_selector("body[data-sign=speaks]", timeout=SLOW * 1000)
    assert set(seen) == {("Pip's turn", own[0]), ("Wren's turn", own[1])}
    # When the turn passes, the voice says the name, and the picture stands large.
    page.press("Stop")
    page.desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)
    pip, wren = home.sessions()
    answers = home.answers()
    for session, label in ((pip, "Pip's turn"), (wren, "Wren's turn")):
        own = [answer for answer in answers if answer.session == session.id]
        assert len(own) == [one for one, _ in seen].count(label) > 0
        assert {answer.child for answer in own} == {session.child}
        assert session.ended is not None and session.aim and session.aim_met == "not asked"
    assert max(load_path().index(answer.step) for answer in answers if answer.child == pip.child) == 0
    shares = page.desk.locator("#shares li").all_inner_texts()
    assert len(shares) == 2 and shares[0].startswith("Pip, ") and shares[1].startswith("Wren, ")
    assert {"Pip", "Wren"} <= set(page.desk.locator("#answers .whose").all_inner_texts())
    assert page.screen.locator("#seats").is_hidden()
    assert page.trouble == []


def test_the_turn_is_passed_by_picture_and_name(household, visit, named, tmp_path):
    (tmp_path / "home").mkdir()
    _two(tmp_path / "home")
    home = household(
        environment={"SAYIT_PROMPTS": named}, low=7, high=7, ways=["build"], turns=["Wren"], rate=80, captions=True
    )
    page = visit(home)
    page.touch()
    page.screen.evaluate(
        """() => {
          window.passed = [];
          new MutationObserver(() => {
            const words = document.getElementById('caption').textContent;
            const { stage } = document.body.dataset;
            if (words.endsWith('!')) window.passed.push([words, stage, document.querySelector('#whose .mark').dataset.mark]);
          }).observe(document.getElementById('caption'), { childList: true });
        }"""
    )
    page.start()
    for count in (1, 2):
        page.sign("hands", SLOW)
        page.screen.keyboard.press("7")
        page.screen.keyboard.press("Enter")
        page.heard(count, SLOW)
        page.screen.wait_for_selector('#row[aria-label="Digits put down: none"]', timeout=SLOW * 1000)
    page.sign("hands", SLOW)
    own = marks_of(("Pip", "Wren"))
    passed = page.screen.evaluate("() => window.passed")
    assert passed[:3] == [[f"{name}!", "whose", own[name]] for name in ("Pip", "Wren", "Pip")]
    first, second = home.answers()
    assert first.child != second.child


def test_three_children_at_most_are_ticked(household, visit, tmp_path):
    home = tmp_path / "home"
    home.mkdir()
    with open_record(home / "record.sqlite3") as record:
        for name in ("Pip", "Wren", "Finn", "Ada"):
            record.add_child(name, at=NOON)
    page = visit(household())
    page.desk.locator("#how summary").click()
    turns = page.desk.locator("#turns")
    turns.get_by_label("Wren").check()
    page.desk.get_by_role("button", name="Start with Pip and Wren").wait_for()
    turns.get_by_label("Ada").check()
    page.desk.get_by_role("button", name="Start with Pip, Wren and Ada").wait_for()
    assert turns.get_by_label("Finn").is_disabled()
    # Whoever is chosen first is not asked twice.
    page.desk.get_by_label("Child", exact=True).select_option("Ada")
    page.desk.get_by_role("button", name="Start with Ada and Wren").wait_for()


@pytest.mark.parametrize("take", [True, False])
def test_the_place_is_found_and_taken_or_left(household, visit, take):
    home = household(child="Pip", plan=True, patience=60)
    page = visit(home)
    page.touch()
    page.desk.locator("#how summary").click()
    page.desk.get_by_role("button", name="Find Pip's place").click()
    page.desk.get_by_text("(finding the place)").wait_for(timeout=SLOW * 1000)
    for count, verdict in enumerate(("Right", "Not right"), 1):
        page.screen.wait_for_selector(HANDS, timeout=SLOW * 1000)
        page.press(verdict)
        page.heard(count, SLOW)
        page.screen.wait_for_selector("body[data-sign=speaks]", timeout=SLOW * 1000)
    page.press("Stop")
    page.desk.locator("#place").wait_for(timeout=SLOW * 1000)
    told = page.desk.locator("#found").inner_text()
    title = re.search(r"“(.*)”", told)[1]
    assert title in [step.title for step in load_path()] and "2 answers" in told
    assert {answer.purpose for answer in home.answers()} == {"placement"}
    # A right answer at the first question already rules the first step out.
    assert title != load_path().steps[0].title
    page.desk.get_by_role("button", name="Take it" if take else "Leave it").click()
    page.desk.locator("#place").wait_for(state="hidden")
    with open_record(home.home / "record.sqlite3") as record:
        placements = record.placements(record.child("Pip"))
    assert [load_path()[placement.step].title for placement in placements] == ([title] if take else [])
    if take:
        page.room("Child").get_by_text(f"Pip is at “{title}”").wait_for()
    assert page.trouble == []


def test_the_end_is_counted_for_each_child_apart():
    board = Board(Settings(), lambda: None)
    board.begin({1: "Pip", 2: "Wren"}, 0.0)
    closing = replace(question_from_key(load_path(), "teens/build:plain/14"), purpose="closing")
    left = []
    for child in ("Pip", "Wren", "Pip", "Wren"):
        board.see(TurnOf(child))
        board.see(Opened(closing, 1))
        # A second try is no second question.
        board.see(Opened(closing, 2))
        left.append(board.for_child()["left"])
    assert left == [3, 3, 2, 2]
