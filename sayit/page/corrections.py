"""The desk's part for the parent's own judgement: of the open question, and later of any answer."""

from __future__ import annotations

from typing import Any

from sayit.errors import SayitError
from sayit.page.backstage import UNKNOWN, Backstage, in_background
from sayit.page.household import Children
from sayit.page.sittings import Sittings
from sayit.practice.guide import CORRECTIONS
from sayit.sitting.events import Corrected
from sayit.sitting.parent import Choice

__all__ = ["Corrections"]


class Corrections:
    """The commands of judging.

    A press says which question it is about. One that comes when the next question is asked already goes to
    the answer that it was meant for: it never marks another number.
    """

    def __init__(self, stage: Backstage, household: Children, sittings: Sittings) -> None:
        self._stage = stage
        self._household = household
        self._sittings = sittings
        self.commands = {"choice": self.choose, "correct": self.correct}

    def choose(self, message: dict[str, Any]) -> None:
        """What the parent decided, of the question numbered ``about`` where it is a judgement."""
        try:
            choice = Choice(str(message.get("choice")))
        except ValueError:
            raise SayitError(UNKNOWN) from None
        state = self._stage.board.state
        about = message.get("about")
        late = about is not None and (not state.about or about != state.about["number"])
        if late and choice in (Choice.RIGHT, Choice.WRONG, Choice.SKIP):
            line = next((line for line in state.answers if line["number"] == about), None)
            if line is None:
                raise SayitError("That question is over, and nothing was judged in it.")
            # The record may be slow, and a decision about the open question must not wait behind it.
            in_background("correct", lambda: self._late(line["id"], choice.value))
        elif state.phase == "running":
            self._sittings.press(choice)

    def _late(self, number: int, verdict: str) -> None:
        try:
            self.correct({"answer": number, "verdict": verdict})
        except SayitError as error:
            self._stage.board.notice("not-corrected", str(error))

    def correct(self, message: dict[str, Any]) -> None:
        """Set the parent's judgement of an answer beside the first one; None takes it back."""
        number, verdict = message.get("answer"), message.get("verdict")
        if type(number) is not int or not (verdict is None or verdict in CORRECTIONS):
            raise SayitError(UNKNOWN)
        with self._stage.record() as record:
            if (answer := record.answer(number)) is None:
                raise SayitError("This answer is not in the record any more.")
            self._stage.board.see(Corrected(record.override(answer, verdict, at=self._stage.now())))
        if not self._stage.board.running:
            self._household.look_ahead_soon()
