"""Makes the pictures of both pages in sayit/page/pictures/: python -m tests.page.pictures [name ...].

Of each state one at 1280 x 800, and ``NAME-looks.png`` with it on a tablet, on a phone, dark, and at 200 % zoom.

The page is the real one; what it is sent is made by the real board from events, without a sitting.
"""

import sys
import tempfile
from base64 import b64encode
from collections.abc import Collection, Iterator
from dataclasses import replace
from functools import partial
from io import BytesIO
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

import sayit.page
from sayit.page.board import Board
from sayit.practice.activities import question_from_key
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
from sayit.store.settings import Settings
from tests.page.conftest import ARGUMENTS, CHROMIUM, Household
from tests.page.desk_pictures import NO_LINE, STATES, answered, desk_drawn

LOOKS = {"tablet": (768, 1024), "phone": (390, 844), "dark": (1280, 800), "zoom": (640, 400)}
"""Beside 1280 x 800; zoom is what 200 % leaves of it."""
PICTURES = Path(sayit.page.__file__).parent / "pictures"


def _answered(key: str, response: Response) -> Judged:
    return answered(1, key, response)


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
    page.add_init_script(NO_LINE)
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


_IN_SIGHT = """
() => {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  let words = 0;
  while (walker.nextNode()) {
    const { parentElement: place, data } = walker.currentNode;
    const { top, bottom, width } = place.getBoundingClientRect();
    if (place.closest("option, script, .unseen") || !place.checkVisibility() || !width) continue;
    if (bottom > 0 && top < innerHeight) words += (data.match(/[A-Za-z0-9]\\S*/g) ?? []).length;
  }
  return words;
}
"""
"""How many words are in sight."""


def _shot(page: Page, width: int, height: int, look: str = "") -> bytes:
    page.emulate_media(color_scheme="dark" if look == "dark" else "light")
    page.set_viewport_size({"width": width, "height": height})
    page.wait_for_timeout(700)
    if page.evaluate("() => document.documentElement.scrollWidth > innerWidth"):
        print(f"{look or 'laptop'} scrolls sideways")
    return page.screenshot()


def _keep(picture: bytes, name: str) -> None:
    """Write a picture with as few bytes as flat colours need."""
    from PIL import Image

    flat = Image.open(BytesIO(picture)).convert("RGB").quantize(64, dither=Image.Dither.NONE)
    flat.save(PICTURES / f"{name}.png", optimize=True)


def _together(sheet: Page, looks: dict[str, bytes]) -> bytes:
    shown = "".join(
        f'<img style="height:480px;border:1px solid gray" src="data:image/png;base64,{b64encode(picture).decode()}"> '
        for picture in looks.values()
    )
    sheet.set_content(f'<body style="margin:8px;white-space:nowrap">{shown}')
    return sheet.screenshot()


def main(wanted: list[str]) -> None:
    """Make the pictures named, or all, and tell how many words are in sight on each of the desk."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as running:
        home = Household(Path(folder))
        browser = running.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        sheet = browser.new_page(viewport={"width": 2240, "height": 500})
        for draw in (drawn, partial(desk_drawn, folder=Path(folder))):
            # Each page has its own way in.
            page = browser.new_page()
            for name in draw(page, home, wanted=wanted):
                _keep(_shot(page, 1280, 800), name)
                if name in STATES:
                    print(f"{name}: {page.evaluate(_IN_SIGHT)} words in sight")
                _keep(
                    _together(sheet, {look: _shot(page, *size, look) for look, size in LOOKS.items()}), f"{name}-looks"
                )
            page.close()
        browser.close()
        home.close()


if __name__ == "__main__":
    main(sys.argv[1:])
