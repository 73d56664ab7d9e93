"""Makes the pictures of the child's screen in sayit/page/pictures/: python -m tests.page.pictures [name ...].

Of each state one at 1280 x 800, and ``NAME-looks.png`` with it on a tablet, on a phone, dark, and at 200 % zoom.

The page is the real one; what it is sent is made by the real board from events, without a sitting.
"""

import sys
import tempfile
from base64 import b64encode
from collections.abc import Collection, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

import sayit.page
from sayit.page.board import Board
from sayit.practice.activities import judge_answer, question_from_key
from sayit.practice.path import load_path
from sayit.practice.question import Response
from sayit.sitting.events import (
    Asked,
    Caught,
    Finished,
    Growing,
    Judged,
    Listening,
    Opened,
    ParentNeeded,
    Speaking,
    TurnOf,
)
from sayit.store import Answer
from sayit.store.settings import Settings
from tests.page.conftest import ARGUMENTS, CHROMIUM, Household

LOOKS = {"tablet": (768, 1024), "phone": (390, 844), "dark": (1280, 800), "zoom": (640, 400)}
"""Beside 1280 x 800; zoom is what 200 % leaves of it."""
PICTURES = Path(sayit.page.__file__).parent / "pictures"
NOW = datetime(2026, 3, 2, 12, tzinfo=UTC)

_NO_LINE = """
window.WebSocket = class {
  static OPEN = 1;
  readyState = 1;
  bufferedAmount = 0;
  constructor(address) {
    const name = address.endsWith("/desk-line") ? "tellDesk" : "tell";
    window[name] = (message) => this.onmessage({ data: JSON.stringify(message) });
    setTimeout(() => this.onopen(), 0);
  }
  send() {}
  close() {}
};
"""


def _answered(key: str, response: Response) -> Judged:
    question = question_from_key(load_path(9_999), key)
    judgement = judge_answer(question, response)
    answer = Answer(
        session=1, child=1, question=key, step=question.step, activity=question.activity, asked=question.value,
        form=question.form, prompt="", verdict=judgement.verdict, value=judgement.value,
        reasons=tuple(judgement.reasons), asked_at=NOW, judged_at=NOW, way=question.way,
    )  # fmt: skip
    return Judged(answer, judgement)


def _states() -> Iterator[tuple[str, list[object], list[list[object]] | None]]:
    """Name, what happened, and what lights up then (None: all)."""
    path = load_path(9_999)

    def opened(key: str) -> list[object]:
        return [Opened(question_from_key(path, key), 1), Speaking("", True)]

    def turn(key: str) -> list[object]:
        return [*opened(key), Asked(question_from_key(path, key), 1), Listening()]

    say_back = "tens-and-ones/say-back:explicit/45"
    yield "rest", [], None
    yield "speaks", opened(say_back), None
    yield "turn", turn(say_back), None
    yield "heard", [*turn(say_back), Caught(1.0)], None
    unclear = Response(words="forty-five", sure=False)
    yield "again", [*turn(say_back), _answered(say_back, unclear), Speaking("", True)], None
    yield "adult", [*turn(say_back), ParentNeeded("")], None
    yield "whose", [TurnOf("Wren"), Speaking("", True)], None
    yield "read-out", turn("hundreds-inner-zero/read-out:plain/305"), None
    yield "turns", [TurnOf("Wren"), *turn("thousands-inner-zeros/build:plain/4030")], None
    yield "build", turn("thousands-inner-zeros/build:plain/4030"), None
    yield "glimpse", turn("teens/glimpse/17"), None
    several = [_answered(say_back, Response(words="four-ten five"))] * 9
    closing = replace(question_from_key(path, say_back), purpose="closing")
    last = [Opened(closing, 1), Speaking("", True), Asked(closing, 1), Listening()]
    yield "three-more", [*turn(say_back), *several, *last], None
    yield "good-bye", [*turn(say_back), *several, *last, Finished((), 9.0, "time")], None
    yield "which-numerals", turn("tens-and-ones/which-more/45,54"), None
    yield "clap", turn("whole-tens/claps:count/40"), None
    yield "which-more", opened("five-and-some/which-more/9,6"), [["9", "ones", 0, 0.1]]
    seen = "tens-and-ones/grow:explicit/45"
    yield "grow", [*turn(seen), Growing(40)], None
    yield "grow-heard", [*turn("hundreds/grow:heard/345"), Growing(340)], None
    yield "things", turn("tens-and-ones/things:plain/45"), None
    swapped = Response(words="five-ten four")
    yield "drawer", turn(say_back), None
    yield "reveal-begins", [*turn(say_back), _answered(say_back, swapped), Speaking("", True)], [["45", "tens", 0, 0]]
    yield "reveal", [*turn(say_back), _answered(say_back, swapped), Speaking("", True)], None
    lost = "thousands-inner-zeros/build:plain/4030"
    yield "reveal-thousands", [*turn(lost), _answered(lost, Response(digits="430")), Speaking("", True)], None


def drawn(page: Page, home: Household, wanted: Collection[str] = ()) -> Iterator[str]:
    """Draw the states named, or all, one after the other, and name each while it stands there."""
    page.goto(home.address())
    page.add_init_script(_NO_LINE)
    page.goto(home.origin + "/")
    for name, events, lights in _states():
        if wanted and name not in wanted:
            continue
        page.reload()
        board = Board(Settings(captions=False), lambda: None)
        board.change(children=("Pip", "Wren"))
        board.begin({1: "Pip", 2: "Wren"} if name in ("whose", "turns") else {1: "Pip"}, 0.0)
        for event in events:
            board.see(event)  # type: ignore[arg-type]
        page.wait_for_function("() => window.tell && document.querySelector('symbol')")
        page.evaluate("state => { document.body.dataset.gate = 'open'; window.tell({ state }); }", board.for_child())
        page.evaluate("lights => window.tell({ lights })", lights if lights is not None else [])
        # What is shown for a second only stays.
        page.evaluate("() => document.querySelector('#things > *')?.style.setProperty('opacity', '1')")
        if name == "things":
            for one in ["ten"] * 3 + ["one"] * 12:
                page.get_by_role("button", name=f"One {one} more").click()
        if name == "drawer":
            page.locator("#to-desk").click(delay=1100)
            page.evaluate("state => window.tellDesk({ state })", board.for_desk())
        yield name


def _shot(page: Page, width: int, height: int, look: str = "") -> bytes:
    page.emulate_media(color_scheme="dark" if look == "dark" else "light")
    page.set_viewport_size({"width": width, "height": height})
    page.wait_for_timeout(700)
    return page.screenshot()


def _together(sheet: Page, looks: dict[str, bytes], name: str) -> None:
    shown = "".join(
        f'<img style="height:480px;border:1px solid gray" src="data:image/png;base64,{b64encode(picture).decode()}"> '
        for picture in looks.values()
    )
    sheet.set_content(f'<body style="margin:8px;white-space:nowrap">{shown}')
    sheet.screenshot(path=PICTURES / f"{name}-looks.png")


def main(wanted: list[str]) -> None:
    """Make the pictures named, or all."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as running:
        home = Household(Path(folder))
        browser = running.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        page = browser.new_page()
        sheet = browser.new_page(viewport={"width": 2240, "height": 500})
        for name in drawn(page, home, wanted):
            (PICTURES / f"{name}.png").write_bytes(_shot(page, 1280, 800))
            _together(sheet, {look: _shot(page, *size, look) for look, size in LOOKS.items()}, name)
        browser.close()
        home.close()


if __name__ == "__main__":
    main(sys.argv[1:])
