"""What follows where nothing could be judged: once more, the answer told, and after too much silence the parent.

One rule for every guide.
"""

from dataclasses import dataclass

from sayit.numbers import Judgement
from sayit.practice.guide import Outcome
from sayit.practice.question import Question, Response, said
from sayit.practice.replies import CALL, model, nothing_came, once_more

MOST_UNCLEAR, MOST_UNHEARD = 2, 1
"""So often a question is asked again where something was heard that was not clear, and where nothing was."""

MOST_SILENT = 3
"""After so many questions in a row without any answer the parent is called."""


@dataclass(frozen=True, slots=True)
class Unheard:
    """How often in a row the open question was ``unclear``, and how many questions in a row were left ``silent``.

    After an answer that was judged it is ``Unheard()`` again.
    """

    unclear: int = 0
    silent: int = 0

    @property
    def calls(self) -> bool:
        """Whether the parent is called, and nothing more is asked."""
        return self.silent >= MOST_SILENT

    def left(self) -> "Unheard":
        """The open question is left without an answer of any kind."""
        return Unheard(silent=self.silent)


def take_unheard(
    before: Unheard, question: Question, judgement: Judgement, response: Response, *, most: int | None = None
) -> tuple[Unheard, Outcome]:
    """What follows from an answer that cannot be judged; ``unclear`` is 0 where the question is left.

    With ``most`` it is asked again so often, whether or not something was heard, and nobody is called.
    """
    silent = nothing_came(response)
    again = most if most is not None else MOST_UNHEARD if silent else MOST_UNCLEAR
    if before.unclear < again:
        note = "No answer came" if silent else "Nothing clear was heard"
        now = Unheard(before.unclear + 1, before.silent if silent else 0)
        return now, Outcome(question, judgement, "unclear", (once_more(response),), note=f"{note}: it is asked again.")
    # Once more would only annoy; the answer is said and nothing is held against the child.
    now = Unheard(silent=before.silent + 1 if silent and most is None else 0)
    if now.calls:
        return now, Outcome(question, judgement, "unclear", (said("session.call-parent"),), note=CALL, calls=CALL)
    note = "No answer came" if silent else "Nothing clear was heard, more than once"
    return now, Outcome(
        question, judgement, "unclear", (model(question),), note=f"{note}: the answer was said, not counted."
    )
