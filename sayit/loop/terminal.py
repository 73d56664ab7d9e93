"""The parent's side of a sitting: keys in, plain lines out."""

from rich.console import Console
from rich.text import Text

from sayit.loop.events import Asked, Caught, Corrected, Event, Judged, Listening, Notice, ParentNeeded, Speaking
from sayit.loop.explain import wanted_in_words, why_in_words
from sayit.loop.keys import Keys
from sayit.loop.parent import Choice
from sayit.loop.sitting import Finished
from sayit.numbers import Judgement
from sayit.store import Answer

CHOICES = {
    "r": Choice.RIGHT,
    "w": Choice.WRONG,
    "a": Choice.AGAIN,
    "s": Choice.SKIP,
    "q": Choice.STOP,
    "g": Choice.GO,
    " ": Choice.GO,
}

KEY_LINE = "r right   w wrong   a again   s skip   q stop   g go on"

_CORRECTED = {
    "right": "you: right",
    "wrong": "you: not right",
    "again": "you: again, this one does not count",
    "skip": "you: left out, this one does not count",
}
_STYLES = {"right": "green", "other-form": "yellow", "wrong": "magenta", "unclear": "cyan"}
_VERDICTS = {
    "right": "right",
    "other-form": "right number in the other form",
    "wrong": "another number",
    "unclear": "not clear",
    "set-aside": "set aside by you",
}


class KeyParent:
    """A parent at the keyboard. ``present`` False: keys work, but nothing waits for them."""

    def __init__(self, keys: Keys, *, present: bool = True) -> None:
        self.present = present
        self._keys = keys

    def decide(self, seconds: float | None) -> Choice | None:
        try:
            while key := self._keys.wait(seconds):
                if key in CHOICES:
                    return CHOICES[key]
        except EOFError:
            return Choice.STOP
        return None


class Lines:
    """Shows events as lines of text; call it with each."""

    def __init__(self, console: Console) -> None:
        self._console = console
        self._asked = 0

    def __call__(self, event: Event) -> None:
        match event:
            case Speaking(words=words, aloud=aloud):
                self._line(words if aloud else f"Say: {words}", "bold")
            case Asked(question=question, attempt=1):
                self._asked += 1
                self._line(f"{self._asked:>3}  wanted: {wanted_in_words(question.value, question.form)}")
            case Asked(question=question, attempt=attempt):
                self._line(f"     wanted: {wanted_in_words(question.value, question.form)} (try {attempt})")
            case Listening():
                self._line("     listening ...", "dim")
            case Caught():
                pass
            case Judged(answer=answer, judgement=judgement):
                self._line(f"     {judged_line(answer, judgement)}", _STYLES[answer.verdict])
            case Corrected(answer=answer):
                self._line(f"     {_CORRECTED[answer.override]}", "bold")
            case ParentNeeded(why=why):
                self._line(f"     {why}", "bold")
                self._line(f"     {KEY_LINE}")
            case Notice(text=text):
                self._line(text, "yellow")
            case Finished():
                self._finished(event)

    def opening(self, child: str, notes: tuple[str, ...]) -> None:
        """The lines before the first question."""
        self._line(f"sayit: {child}", "bold")
        for note in notes:
            self._line(note, "dim")

    def _finished(self, event: Finished) -> None:
        minutes = max(1, round(event.minutes))
        answers = len(event.answers)
        self._line("")
        self._line(
            f"{answers} {'answer' if answers == 1 else 'answers'} in {minutes} "
            f"{'minute' if minutes == 1 else 'minutes'}:",
            "bold",
        )
        counts = event.counts()
        for verdict, words in _VERDICTS.items():
            if count := counts.get(verdict):
                self._line(f"{count:>5}  {words}")
        for line in dict.fromkeys(_look_again(answer) for answer in event.answers if answer.final == "wrong"):
            self._line(f"       {line}")

    def _line(self, words: str, style: str = "") -> None:
        self._console.print(Text(words, style=style), soft_wrap=True)


def judged_line(answer: Answer, judgement: Judgement) -> str:
    """What was heard and why it was judged so."""
    if answer.judged_by == "parent":
        return "you: right" if answer.verdict == "right" else "you: not right"
    if answer.verdict == "unclear" and answer.voice_after is None:
        return "Nothing was heard."
    return why_in_words(judgement)


def _look_again(answer: Answer) -> str:
    heard = f", heard {answer.value:,}" if answer.value is not None and answer.value != answer.asked else ""
    return f"to look at again: {answer.asked:,}{heard}"
