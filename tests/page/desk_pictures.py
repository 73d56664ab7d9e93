"""The states of the parent's desk of which ``tests.page.pictures`` makes pictures.

The page is the real one; what it is sent is made by the real board and an invented household, without a sitting.
"""

from collections.abc import Collection, Iterator
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Page

from sayit.page.board import Board
from sayit.page.household import arranged, outlook
from sayit.practice.activities import judge_answer, question_from_key
from sayit.practice.path import load_path
from sayit.practice.question import Response
from sayit.sitting.events import Aimed, Asked, Finished, Judged, Listening, Opened, Share, Speaking
from sayit.store import Answer, open_record
from sayit.store.settings import Settings
from tests.page.conftest import Household

NOW = datetime(2026, 3, 2, 16, tzinfo=UTC)
ROOMS = {"desk-child": "#child-room", "desk-set-up": "#set-up"}

NO_LINE = """
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
"""A page that nobody answers but this program."""

_ASKED = (
    ("hundreds/say-back:plain/430", Response(words="four hundred thirty", response_seconds=1.4)),
    ("thousands-inner-zeros/say-back:plain/4030", Response(words="four hundred thirty", response_seconds=2.1)),
    ("thousands-inner-zeros/build:plain/4030", Response(digits="4030", response_seconds=6.0)),
    ("thousands-inner-zeros/say-back:plain/8006", Response(words="eight thousand six", response_seconds=1.8)),
)
_OPEN = "thousands-inner-zeros/read-out:plain/8006"


def answered(number: int, key: str, response: Response) -> Judged:
    """What is reported of an answer to the question of that key."""
    question = question_from_key(load_path(9_999), key)
    judgement = judge_answer(question, response)
    answer = Answer(
        session=1, child=1, id=number, question=key, step=question.step, activity=question.activity, asked=question.value,
        form=question.form, prompt="", verdict=judgement.verdict, value=judgement.value, heard=response.words,
        built=response.digits, reasons=tuple(judgement.reasons), asked_at=NOW, judged_at=NOW, way=question.way,
        response_seconds=response.response_seconds,
    )  # fmt: skip
    return Judged(answer, judgement)


def _household(folder: Path, board: Board) -> None:
    with open_record(folder / "pictured.sqlite3") as record:
        for name in ("Pip", "Wren"):
            child = record.add_child(name, at=NOW)
        child = record.child("Pip") or child
        record.place(child, "thousands-inner-zeros", at=NOW)
        board.change(
            children=("Pip", "Wren"), outlook=outlook(record, child, NOW), arrangement=arranged(record, child, NOW)
        )


def _sit(board: Board) -> None:
    path = load_path(9_999)
    board.begin({1: "Pip"}, NOW.timestamp())
    board.see(Aimed("Pip", "Thousands with an empty place.", "it was said as 430 last time"))
    for number, (key, response) in enumerate(_ASKED, 1):
        question = question_from_key(path, key)
        board.see(Opened(question, 1))
        board.see(Speaking("", True))
        board.see(Asked(question, 1))
        board.see(Listening())
        board.see(answered(number, key, response))
    question = question_from_key(path, _OPEN)
    for event in (Opened(question, 1), Speaking("Which number is it?", True), Asked(question, 1), Listening()):
        board.see(event)


def _state(name: str, folder: Path) -> Board:
    board = Board(Settings(child="" if name == "desk-first" else "Pip"), lambda: None)
    ready = {"screen": "Open.", "microphone": "Ready.", "recogniser": "Ready (numbers-en).", "voice": "Ready."}
    for part, text in ready.items():
        board.part(part, True, text)
    board.change(voices=("Kitchen", "Garden"))
    if name in ("desk-first", "desk-named"):
        board.part("screen", False, "Open the child's screen.")
        board.part("microphone", False, "Open the child's screen.")
    if name != "desk-first":
        _household(folder, board)
    if name == "desk-named":
        board.change(children=("Pip",))
    if name == "desk-place":
        told = "Pip seems at home at “Hundreds”, and begins to be unsure at “Thousands” (24 answers)."
        board.change(place={"child": "Pip", "step": "hundreds", "sure": True, "answers": 24, "sentence": told})
        return board
    if name.startswith(("desk-turn", "desk-pause", "desk-after")):
        _sit(board)
    if name == "desk-turn":
        board.notice("level", "The voice was faint: sit closer to the microphone.")
    if name == "desk-pause":
        board.change(paused=True)
    if name == "desk-after":
        answers = tuple(answered(number, *one).answer for number, one in enumerate(_ASKED, 1))
        share = Share("Pip", answers, "Thousands with an empty place.", "nearly", "the time is up")
        board.see(Finished(answers, 9.6, "time", (share,)))
    return board


STATES = (
    "desk-first",
    "desk-named",
    "desk-before",
    "desk-place",
    "desk-turn",
    "desk-pause",
    "desk-after",
    "desk-child",
    "desk-set-up",
)


def desk_drawn(page: Page, home: Household, folder: Path, wanted: Collection[str] = ()) -> Iterator[str]:
    """Draw the desk's states named, or all, one after the other, and name each while it stands there."""
    page.goto(home.address())
    page.add_init_script(NO_LINE)
    for name in STATES:
        if wanted and name not in wanted:
            continue
        place = folder / name
        place.mkdir()
        page.goto(f"{home.origin}/desk{ROOMS.get(name, '')}")
        page.reload()
        page.wait_for_function("() => window.tellDesk")
        # The first start is told by there having been nobody.
        for one in ("desk-first", name) if name == "desk-named" else (name,):
            page.evaluate("state => window.tellDesk({ state })", _state(one, place).for_desk())
        yield name
