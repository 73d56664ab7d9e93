"""Whole sittings in a headless Chromium, from the microphone to the record."""

import csv
import re

import pytest

from sayit.sound.audio import load
from tests.page.conftest import timed
from tests.speech_data import FOLDER, MISSING, present

SLOW = 60.0
"""Seconds that a busy machine may take for a turn."""


def _no_trouble(visit):
    assert visit.trouble == []
    assert [url for url in visit.asked if not url.startswith((visit.home.origin + "/", "data:", "blob:"))] == []


def test_a_sitting_from_chromiums_own_microphone(household, visit, voice, microphone_file):
    """Right and another number, played by Chromium's fake capture from one file."""
    home = household(
        child="Pip", low=45, high=45, forms=["plain"], ways=["say-back"], patience=60, quiet=0.8, volume=0.05
    )
    said = timed(26, (8, voice("forty-five")), (20, voice("fifty-four")))
    page = visit(home, speaking=False, wav=microphone_file("session", said))
    # The file begins when the microphone is opened, and each answer finds the child's turn waiting.
    page.touch()
    page.start()
    right, wrong = page.heard(2, 90)
    assert (right.verdict, right.value) == ("right", 45)
    assert (wrong.verdict, wrong.value, wrong.reasons) == ("wrong", 54, ("digits-swapped",))
    page.press("Stop")
    page.desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)
    (session,) = home.sessions()
    assert session.ended is not None
    _no_trouble(page)


def test_right_wrong_other_form_and_silence(household, visit, voice):
    home = household(child="Pip", low=17, high=17, forms=["explicit"], ways=["say-back"], patience=3, quiet=0.8)
    page = visit(home)
    page.touch()
    page.start()
    words = []
    for count, said in enumerate(["one-ten seven", "seventeen", "forty-two"], 1):
        page.next_turn(SLOW)
        page.say(voice(said))
        page.heard(count, SLOW)
        words.append(page.screen.locator("#caption").inner_text())
    page.next_turn(SLOW)
    silent = page.heard(4, SLOW)[-1]
    page.sign("again", SLOW)
    answers = page.heard(4)
    assert [answer.verdict for answer in answers] == ["right", "other-form", "wrong", "unclear"]
    assert silent.response_seconds is None
    # Whatever the verdict, the child never reads or hears that it was wrong, and sees no score.
    shown = page.screen.locator("body").inner_text() + " ".join(words)
    assert not re.search(r"wrong|mistake|score|incorrect|\bno\b", shown, re.IGNORECASE)
    on_desk = page.answers_on_desk()
    assert [line.split("\n")[0] for line in on_desk] == ["Not clear", "Another number", "Right, other name", "Right"]
    assert "forty two" in on_desk[1] and "one-ten seven" in on_desk[1]
    _no_trouble(page)


def test_a_recorded_child_answers_in_single_digits(household, visit):
    """speechocean762 (Zhang et al. 2021, arXiv 2104.01378; OpenSLR 101, CC BY 4.0): a child reads a digit string.

    The number asked is the one that the digits make, so the practice must hear that it was told digit by digit.
    """
    if not present():
        pytest.skip(MISSING)
    file, words = "", ""
    with (FOLDER / "children" / "index.csv").open(newline="") as index:
        for row in csv.DictReader(index):
            if row["file"].startswith("numbers/") and len(row["words"].split()) == 4:
                file, words = row["file"], row["words"]
                break
    digits = "".join(
        str("zero one two three four five six seven eight nine".split().index(word)) for word in words.lower().split()
    )
    home = household(child="Wren", low=int(digits), high=int(digits), forms=["plain"], ways=["say-back"])
    page = visit(home)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    page.say(load(FOLDER / "children" / file))
    (answer,) = page.heard(1, SLOW)
    assert answer.response_seconds is not None and answer.audio_seconds > 1
    assert answer.verdict != "right"
    if answer.heard:
        assert set(answer.heard.split()) & set(words.lower().split())
    _no_trouble(page)


def test_the_parents_word_counts(household, visit, voice):
    home = household(child="Pip", low=45, high=45, forms=["plain"], ways=["say-back"], quiet=0.8, patience=60)
    page = visit(home)
    page.touch()
    page.start()
    page.next_turn(SLOW)
    page.say(voice("fifty-four"))
    page.heard(1, SLOW)
    # By tap, while the tool still replies.
    page.press("Right")
    page.desk.get_by_text("You: right.").wait_for(timeout=SLOW * 1000)
    first = home.answers()[0]
    assert (first.verdict, first.override, first.final) == ("wrong", "right", "right")
    # By key, while the tool listens: the parent judges, and nothing else is heard.
    page.next_turn(SLOW)
    page.desk.locator("h1").click()
    page.desk.keyboard.press("w")
    second = page.heard(2, SLOW)[1]
    assert (second.verdict, second.judged_by) == ("wrong", "parent")
    # Left out: nothing is judged.
    page.next_turn(SLOW)
    page.press("does not count")
    page.desk.get_by_text("Question 4").wait_for(timeout=SLOW * 1000)
    assert len(home.answers()) == 2
    _no_trouble(page)


def test_keys_can_be_switched_off(household, visit):
    home = household(child="Pip", low=45, high=45, ways=["say-back"], patience=60, keys=False)
    page = visit(home)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    page.desk.locator("h1").click()
    page.desk.keyboard.press("w")
    page.screen.keyboard.press("w")
    # What was pressed before is taken before this.
    page.press("does not count")
    page.desk.get_by_text("Question 2").wait_for(timeout=SLOW * 1000)
    assert home.answers() == ()


def test_a_reload_in_the_middle_loses_nothing(household, visit, voice):
    home = household(child="Pip", low=45, high=45, forms=["plain"], ways=["say-back"], quiet=0.8, patience=60)
    page = visit(home)
    page.touch()
    page.start()
    page.next_turn(SLOW)
    page.say(voice("forty-five"))
    page.heard(1, SLOW)
    page.next_turn(SLOW)
    page.screen.reload()
    page.touch()
    # The open question is said again, then it is the child's turn.
    page.desk.get_by_text("Question 2").wait_for()
    page.spoke(SLOW)
    page.sign("turn", SLOW)
    page.say(voice("forty-five"))
    answers = page.heard(2, SLOW)
    assert [answer.verdict for answer in answers] == ["right", "right"]
    # The desk reloads too, and shows what was there.
    page.desk.reload()
    page.desk.locator("#answers li").nth(1).wait_for()
    _no_trouble(page)


def test_digits_are_put_down_by_touch_and_by_key(household, visit):
    home = household(child="Pip", low=305, high=305, forms=["plain"], ways=["build"])
    page = visit(home)
    page.touch()
    page.start()
    page.sign("hands", SLOW)
    for digit in "350":
        page.screen.get_by_role("button", name=f"Digit {digit}").click()
    page.screen.get_by_role("button", name="Take the last digit away").click()
    page.screen.get_by_role("button", name="Take the last digit away").click()
    page.screen.keyboard.press("0")
    page.screen.keyboard.press("5")
    assert page.screen.locator("#row").get_attribute("aria-label") == "Digits put down: 3 0 5"
    page.screen.get_by_role("button", name="That is my number").click()
    (first,) = page.heard(1, SLOW)
    assert (first.verdict, first.built, first.way) == ("right", "305", "digits")
    assert first.response_seconds is not None
    # The answer is kept before the screen turns to the next question.
    page.screen.wait_for_selector('#row[aria-label="Digits put down: none"]', timeout=SLOW * 1000)
    page.sign("hands", SLOW)
    page.screen.locator("body").click(position={"x": 5, "y": 5})
    for key in ["3", "0", "0", "5", "Enter"]:
        page.screen.keyboard.press(key)
    second = page.heard(2, SLOW)[1]
    assert (second.verdict, second.value, second.reasons) == ("wrong", 3005, ("glued-parts",))
    _no_trouble(page)


def test_the_screen_does_not_tell_the_answer(household, visit):
    """Before an answer is given the page must not hold it, except in what is said aloud or asked to be read."""
    home = household(child="Pip", low=17, high=17, ways=["glimpse"], patience=60, captions=False)
    page = visit(home)
    page.touch()
    page.start()
    page.sign("turn", SLOW)
    # Seventeen: one pouch of ten, and seven ones.
    counted = page.screen.locator("#things use").evaluate_all(
        "uses => uses.map((use) => use.getAttribute('href')).sort()"
    )
    assert counted == ["#ones"] * 7 + ["#tens"]
    tones = page.screen.locator("#things *").evaluate_all("all => all.map((one) => getComputedStyle(one).color)")
    assert len(set(tones)) == 1, "space and line alone tell fives and tens"
    told = page.screen.evaluate(
        "() => document.body.textContent + [...document.querySelectorAll('[aria-label]')].map((e) => e.ariaLabel).join()"
    )
    assert "17" not in told and "seventeen" not in told and "Things to count" in told
    # A second after the question the things are gone.
    page.screen.wait_for_selector("#things.unshown", state="attached")


def test_a_childs_name_is_text_and_never_markup(household, visit):
    name = '<img src=x onerror="document.title=1">'
    home = household(ways=["say-back"])
    page = visit(home)
    page.desk.get_by_label("Add a child").fill(name)
    page.desk.get_by_role("button", name="Add", exact=True).click()
    page.desk.get_by_role("button", name=f"Start with {name}").wait_for()
    page.touch()
    page.start()
    page.desk.locator("#what", has_text=name).wait_for()
    page.sign("turn", SLOW)
    assert page.desk.locator("img").count() == page.screen.locator("img").count() == 0
    assert page.desk.title() == "The parent's desk"
    _no_trouble(page)
