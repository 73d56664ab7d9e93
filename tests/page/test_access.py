"""Keyboard, contrast, names, zoom and small screens; axe-core (Deque, MPL 2.0) checks the WCAG 2.2 A and AA rules."""

from datetime import UTC, datetime

import pytest

from sayit.store import open_record
from tests.page.pictures import drawn
from tests.page.test_sitting import SLOW

RULES = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
}
SIZES = {"laptop": (1366, 650), "tablet": (768, 1024), "phone": (390, 780), "200 % of 1280": (640, 360)}

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def axe():
    found = pytest.importorskip("axe_playwright_python.sync_playwright", reason="pip install axe-playwright-python")
    return found.Axe()


def _check(axe, page) -> None:
    violations = axe.run(page, options=RULES).response["violations"]
    assert [(one["id"], [node["html"][:160] for node in one["nodes"]]) for one in violations] == []


def _no_sideways(page) -> None:
    assert page.evaluate("() => document.documentElement.scrollWidth <= innerWidth"), "scrolls sideways"


def test_no_violation_and_no_sideways_scrolling_in_any_state(household, visit, voice, axe):
    home = household(child="Pip", low=1234, high=1234, ways=["build", "read-out"], patience=60)
    page = visit(home, reduced_motion="reduce")
    _check(axe, page.desk)
    _check(axe, page.screen)
    page.touch()
    page.start()
    for state in ("turn", "hands"):
        page.sign(state, SLOW)
        if state == "hands":
            page.screen.keyboard.press("1")
        for name, (width, height) in SIZES.items():
            for one in (page.screen, page.desk):
                one.set_viewport_size({"width": width, "height": height})
                _no_sideways(one)
            if name in ("laptop", "phone"):
                _check(axe, page.screen)
                _check(axe, page.desk)
        if state == "turn":
            page.press("does not count")
    page.press("Stop")
    page.desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)
    for room in ("Today", "Child", "Set-up"):
        page.room(room)
        for fold in page.desk.locator("main:not([hidden]) summary").all():
            if fold.is_visible():
                fold.click()
        _no_sideways(page.desk)
        for scheme in ("light", "dark"):
            page.desk.emulate_media(color_scheme=scheme)
            _check(axe, page.desk)


def test_no_violation_while_children_take_turns_and_a_place_is_found(household, visit, axe, tmp_path):
    (tmp_path / "home").mkdir()
    with open_record(tmp_path / "home" / "record.sqlite3") as record:
        for name in ("Pip", "Wren", "Finn"):
            record.add_child(name, at=NOON)
    page = visit(household(low=32, high=32, ways=["build"], turns=["Wren", "Finn"], rate=80), reduced_motion="reduce")
    page.touch()
    page.start()
    # The picture stands large while the name is said, and in sight while the child puts the digits down.
    for wanted in ("body[data-stage=whose]", "body[data-sign=hands]"):
        page.screen.wait_for_selector(wanted, timeout=SLOW * 1000)
        for width, height in SIZES.values():
            for one in (page.screen, page.desk):
                one.set_viewport_size({"width": width, "height": height})
                _no_sideways(one)
            seen = page.screen.locator("#seats .now").bounding_box()
            assert seen["x"] >= 0 and seen["x"] + seen["width"] <= width and 0 <= seen["y"] < height
    done = page.screen.get_by_role("button", name="That is my number").bounding_box()
    assert done["y"] + done["height"] <= 360, "the digits are in sight at 200 % zoom"
    _check(axe, page.screen)
    _check(axe, page.desk)
    page.press("Stop")
    page.desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)
    page.desk.locator("#how summary").click()
    page.desk.get_by_role("button", name="Find Pip's place").click()
    page.desk.get_by_text("(finding the place)").wait_for()
    page.screen.wait_for_selector("body[data-sign=turn], body[data-sign=hands]", timeout=SLOW * 1000)
    page.press("Right")
    page.heard(1, SLOW)
    page.press("Stop")
    page.desk.locator("#place").wait_for(timeout=SLOW * 1000)
    _check(axe, page.desk)


def test_no_violation_in_any_state_of_the_childs_screen(household, chromium, axe, long):
    """A state of each kind that no sitting here comes to; the long form takes all that there are pictures of."""
    page = chromium().new_page(viewport={"width": 390, "height": 780}, reduced_motion="reduce")
    seen = 0
    for _ in drawn(page, household(), () if long else ("glimpse", "which-more", "three-more", "clap")):
        for scheme in ("light", "dark") if long else ("dark",):
            page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
            _check(axe, page)
        _no_sideways(page)
        seen += 1
    page.close()
    assert seen >= 4


def test_everything_on_the_desk_is_reached_by_keyboard(household, visit, axe):
    """From the first start on: the name is given by keyboard, too."""
    page = visit(household(), reduced_motion="reduce")
    page.screen.close()
    page.desk.get_by_text("Ready (").wait_for(state="attached", timeout=SLOW * 1000)
    _all_is_reached(page.desk)
    for named in (False, True):
        for scheme in ("light", "dark"):
            page.desk.emulate_media(color_scheme=scheme)
            _check(axe, page.desk)
        if not named:
            page.desk.get_by_label("Add a child").focus()
            page.desk.keyboard.type("Pip")
            page.desk.keyboard.press("Enter")
            page.desk.wait_for_function("() => document.activeElement.id === 'here'")
    for room in ("Today", "Child", "Set-up"):
        _all_is_reached(page.room(room))


def _all_is_reached(desk):
    desk.evaluate("() => { for (const fold of document.querySelectorAll('main details')) fold.open = true; }")
    wanted = desk.evaluate(
        "() => [...document.querySelectorAll('a, button, input, select')].filter((e) => !e.disabled && e.checkVisibility()"
        " && e.type !== 'radio').length"
    )
    reached = set()
    desk.locator("h1").click()
    for _ in range(80):
        desk.keyboard.press("Tab")
        found = desk.evaluate(
            "() => { const e = document.activeElement; const s = getComputedStyle(e);"
            " return [e === document.body ? '' : e.id || e.href || e.name + e.value + e.textContent, e.type, s.outlineStyle,"
            " parseFloat(s.outlineWidth)]; }"
        )
        if not found[0] or found[0] in reached:
            break
        if found[1] != "radio":
            reached.add(found[0])
            assert found[2] != "none" and found[3] >= 2, f"{found[0]} shows no focus"
    assert len(reached) >= wanted


def test_a_sitting_by_keyboard_alone(household, visit):
    home = household(child="Pip", low=7, high=7, forms=["plain"], ways=["build"])
    page = visit(home)
    page.touch()
    page.desk.bring_to_front()
    page.desk.locator("#start").focus()
    page.desk.keyboard.press("Enter")
    page.sign("hands", SLOW)
    page.screen.bring_to_front()
    page.screen.keyboard.press("7")
    page.screen.keyboard.press("Enter")
    assert page.heard(1, SLOW)[0].verdict == "right"
    page.desk.bring_to_front()
    page.desk.locator("h1").click()
    page.desk.keyboard.press("q")
    page.desk.wait_for_selector("#after:not([hidden])", timeout=SLOW * 1000)


def test_nothing_moves_where_less_motion_is_wanted(household, visit):
    home = household(child="Pip")
    page = visit(home, reduced_motion="reduce")
    moving = page.screen.evaluate(
        "() => [...document.querySelectorAll('*')].filter((e) => { const s = getComputedStyle(e);"
        " return s.animationName !== 'none' || s.transitionDuration.split(',').some((d) => parseFloat(d) > 0); }).length"
    )
    assert moving == 0


def test_what_is_said_is_captioned_and_the_ticks_of_set_up_hold(household, visit):
    home = household(child="Pip", low=302, high=302, forms=["plain"], ways=["say-back"], patience=60, captions=True)
    with open_record(home.home / "record.sqlite3") as record:
        record.place(record.child("Pip"), "hundreds-inner-zero", at=NOON)
    page = visit(home)
    page.touch()

    def printed():
        return "hundred and " in page.context.request.get(home.origin + "/papers/sheet.html").text()

    tick = page.room("Set-up").get_by_label("Say and print “three hundred and two”")
    assert not tick.is_checked() and not printed()
    tick.check()
    page.desk.evaluate(
        """() => {
          window.said = [];
          const wanted = document.getElementById('wanted');
          new MutationObserver(() => window.said.push(wanted.textContent)).observe(wanted, { childList: true });
        }"""
    )
    page.start()
    page.sign("turn", SLOW)
    page.desk.get_by_text("wanted is 302, three hundred and two.").wait_for()
    assert "Said: “three hundred and two.”" in " ".join(page.desk.evaluate("() => window.said"))
    assert printed()
    # The number that is to be said back is not printed before the answer.
    assert page.screen.locator("#caption").inner_text() == "…."
    assert page.screen.locator("#sign").get_attribute("aria-label") == "Your turn: I listen"
    page.room("Set-up").get_by_label("Show what is said").uncheck()
    page.screen.wait_for_function("() => !document.getElementById('caption').textContent")
