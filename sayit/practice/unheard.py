"""What follows where nothing could be judged: once more, the answer told, and after too much silence the parent.

One rule for every guide.
"""

from dataclasses import dataclass, replace

from sayit.numbers import Judgement
from sayit.practice.activities import judge_answer
from sayit.practice.activities.judging import in_either_name
from sayit.practice.guide import Outcome
from sayit.practice.question import Named, Question, Response, Said, said
from sayit.practice.replies import CALL, model, nothing_came, once_more

MOST_UNCLEAR, MOST_UNHEARD = 2, 1
"""So often a question is asked again where something was heard that was not clear, and where nothing was."""

MOST_SILENT = 3
"""After so many questions in a row without any answer the parent is called."""


@dataclass(frozen=True, slots=True)
class Unheard:
    """How often in a row the open question was ``unclear``, and how many questions in a row were left ``silent``.

    ``tens`` is which of the unclear answers its tens name was asked for after, 0 where it was not. After an answer that was judged it is ``Unheard()`` again.
    """

    unclear: int = 0
    silent: int = 0
    tens: int = 0

    @property
    def calls(self) -> bool:
        """Whether the parent is called, and nothing more is asked."""
        return self.silent >= MOST_SILENT

    def left(self) -> "Unheard":
        """The open question is left without an answer of any kind."""
        return Unheard(silent=self.silent)

    def prompt(self, question: Question | None) -> tuple[Said, ...]:
        """What to say for the open question: its own words, or right after such a doubt its tens name is asked for."""
        if 0 < self.tens == self.unclear:
            return (said("reply.which-ten"),)
        return question.say if question else ()


def judge_open(before: Unheard, question: Question, response: Response) -> Judgement:
    """What an answer is worth; once its tens name was asked for, in either name."""
    return in_either_name(question, response) if before.tens else judge_answer(question, response)


def take_unheard(
    before: Unheard,
    question: Question,
    judgement: Judgement,
    response: Response,
    *,
    most: int | None = None,
    both: bool = False,
) -> tuple[Unheard, Outcome]:
    """What follows from an answer that cannot be judged; ``unclear`` is 0 where the question is left.

    With ``most`` it is asked again so often, whether or not something was heard, and nobody is called.
    A child who knows ``both`` names is asked for the tens name where that tells a teen from its ten.
    """
    silent = nothing_came(response)
    again = most if most is not None else MOST_UNHEARD if silent else MOST_UNCLEAR
    if before.unclear < again:
        now = replace(before, unclear=before.unclear + 1, silent=before.silent if silent else 0)
        if both and not before.tens and response.swapped and judgement.value and _tens_name_tells(question):
            pair = f"{Named(judgement.value).words} or {Named(question.value).words}".capitalize()
            note = f"{pair}? Its tens name was asked."
            return replace(now, tens=now.unclear), Outcome(question, judgement, "unclear", (), note=note)
        note = "No answer came" if silent else "Nothing clear was heard"
        return now, Outcome(question, judgement, "unclear", (once_more(response),), note=f"{note}: it is asked again.")
    # Once more would only annoy; the answer is said and nothing is held against the child.
    now = Unheard(silent=before.silent + 1 if silent and most is None else 0)
    if now.calls:
        return now, Outcome(question, judgement, "unclear", (said("session.call-parent"),), note=CALL, calls=CALL)
    note = "No answer came" if silent else "Nothing clear was heard, more than once"
    return now, Outcome(
        question, judgement, "unclear", (model(question),), note=f"{note}: the answer was said, not counted."
    )


def _tens_name_tells(question: Question) -> bool:
    """Whether "its tens name" is that of the answer, is not said yet, and can be asked for without showing anything anew."""
    return (
        question.way == "spoken"
        and question.form in ("plain", "any")
        and question.about == (question.value,)
        and not (question.show and question.show.seconds)
        and not any(named.form == "explicit" for phrase in question.say for _, named in phrase.values)
    )
