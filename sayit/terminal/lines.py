"""The terminal around a sitting: keys in, plain lines out, and a picture where the child has something to see."""

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from sayit.numbers import Judgement, explain, wanted_in_words
from sayit.practice.question import Question
from sayit.sitting.events import (
    Aimed,
    Asked,
    Caught,
    Corrected,
    Event,
    Finished,
    Growing,
    Judged,
    Listening,
    Note,
    Notice,
    Opened,
    ParentNeeded,
    Share,
    Sounding,
    Speaking,
    TurnOf,
)
from sayit.store import Answer
from sayit.terminal.stage import Stage

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
    "other-form": "right number by another name",
    "wrong": "another number",
    "unclear": "not clear",
    "set-aside": "set aside by you",
}
_HANDS = {"digits": "type the digits, then Enter", "choice": "press 1 or 2"}
_INDENT = " " * 5


class Lines:
    """Shows events as lines of text; call it with each. ``stage`` is where the child sees something.

    ``hands`` tells whether the child can type an answer, ``use_and`` whether numbers are "three hundred and two".
    """

    def __init__(self, console: Console, *, hands: bool = False) -> None:
        self._console = console
        self.use_and = False
        self._hands = hands
        self._asked = 0
        self._clapped = False
        self._needed = ""
        self._by_hand = False
        self.stage = Stage(console)

    def __call__(self, event: Event) -> None:
        match event:
            case Aimed(child=child, aim=aim, why=why):
                self._line(f"Today{f', {child}' if child else ''}: {aim} Because {why}.")
            case TurnOf(child=child):
                self._line("")
                self._line(f"{child}'s turn", "bold underline")
            case Speaking(words=words, aloud=aloud):
                self.stage.clear()
                self._line(words if aloud else f"Say: {words}", "bold")
            case Asked(question=question, attempt=attempt):
                self._asked += attempt == 1
                again = f" (try {attempt})" if attempt > 1 else ""
                self._by_hand = self._hands and question.way in _HANDS
                self._clapped = question.clapped
                self._line(f"{f'{self._asked:>3}' if attempt == 1 else '   '}  {self._task(question)}{again}")
                self.stage.show(question)
            case Listening():
                if not self._by_hand:
                    also = " the space bar counts claps too" if self._clapped and self._hands else ""
                    self._line(f"{_INDENT}listening ...{also}", "dim")
            case Caught() | Growing() | Opened() | Sounding():
                pass
            case Judged(answer=answer, judgement=judgement):
                self.stage.clear()
                self._line(f"{_INDENT}{judged_line(answer, judgement, use_and=self.use_and)}", _STYLES[answer.verdict])
            case Corrected(answer=answer):
                self._line(f"{_INDENT}{_CORRECTED[answer.override or '']}", "bold")
            case Note(text=text):
                self._line(f"{_INDENT}{text}", "dim")
            case ParentNeeded(why=why, verdict=False):
                self._line(f"{_INDENT}{why}", "dim")
            case ParentNeeded(why=why):
                # The same line at every question would be read by nobody: the second time it is a reminder.
                self._line(f"{_INDENT}{KEY_LINE if why == self._needed else why}", "bold")
                if why != self._needed:
                    self._line(f"{_INDENT}{KEY_LINE}")
                self._needed = why
            case Notice(text=text):
                self._line(text, "yellow")
            case Finished():
                self.stage.clear()
                self._finished(event)

    def opening(self, child: str, notes: tuple[str, ...]) -> None:
        """The lines before the first question."""
        self._line(f"sayit: {child}", "bold")
        for note in notes:
            self._line(note, "dim")

    def told(self, *lines: str) -> None:
        """Plain lines after the sitting."""
        for line in lines:
            self._line(line)

    def _finished(self, event: Finished) -> None:
        minutes = max(1, round(event.minutes))
        answers = len(event.answers)
        self._line("")
        self._line(f"{_counted(answers, 'answer')} in {_counted(minutes, 'minute')}:", "bold")
        shares = event.shares or (Share("", event.answers),)
        for share in shares:
            if share.child:
                self._line(f"{share.child}, {_counted(len(share.answers), 'answer')}:", "bold")
            counts = share.counts()
            for verdict, words in _VERDICTS.items():
                if count := counts.get(verdict):
                    self._line(f"{count:>5}  {words}")
            for line in dict.fromkeys(_look_again(answer) for answer in share.answers if answer.final == "wrong"):
                self._line(f"       {line}")
            if share.told:
                self._line(share.told)

    def _task(self, question: Question) -> str:
        """What to do; the answer itself only where the child looks elsewhere."""
        if self._by_hand:
            return _HANDS[question.way]
        if question.show and question.way == "spoken":
            return "how many?" if question.show.kind == "quantity" else "which number?"
        return f"wanted: {wanted_in_words(question.value, question.form, use_and=self.use_and)}"

    def _line(self, words: str, style: str = "") -> None:
        # A file keeps whole lines; on a screen they break between words, under each other.
        text = Text(words.lstrip(), style=style)
        if not self._console.is_terminal:
            self._console.print(Text(words, style=style), soft_wrap=True)
        elif indent := len(words) - len(text):
            self._console.print(Padding(text, (0, 0, 0, indent), expand=False))
        else:
            self._console.print(text)


def judged_line(answer: Answer, judgement: Judgement, *, use_and: bool = False) -> str:
    """What came back and why it was judged so."""
    if answer.judged_by == "parent":
        return "you: right" if answer.verdict == "right" else "you: not right"
    if answer.way == "spoken" and answer.verdict == "unclear" and answer.response_seconds is None:
        return "Nothing was heard."
    if answer.way == "choice" and answer.value is not None:
        return (
            f"Chose {answer.value:,}: right."
            if answer.verdict == "right"
            else f"Chose {answer.value:,}; {answer.asked:,} is more."
        )
    why = explain(judgement, use_and=use_and)
    return why if answer.built is None else why.replace("Heard", "Typed", 1)


def _look_again(answer: Answer) -> str:
    how = "heard" if answer.way == "spoken" else "given"
    heard = f", {how} {answer.value:,}" if answer.value is not None and answer.value != answer.asked else ""
    return f"to look at again: {answer.asked:,}{heard}"


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
