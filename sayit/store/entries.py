"""What one line of each table of the record holds."""

from dataclasses import dataclass
from datetime import datetime

from sayit.numbers import FORMS
from sayit.practice.key import split_item

VERDICTS = ("right", "other-form", "wrong", "unclear")
"""How an answer can be judged."""


@dataclass(frozen=True, slots=True)
class Child:
    """A child by name or nickname; ``birth_month`` is "YYYY-MM" or None.

    ``keep_audio_days`` is 0 unless the parent turned recordings on for this
    child; otherwise the number of days after which a recording is deleted.
    ``forms`` are those wanted from the child; it counts to about ``counts_to``, None where nobody said.
    """

    id: int
    name: str
    birth_month: str | None
    created: datetime
    keep_audio_days: int = 0
    forms: tuple[str, ...] = FORMS
    counts_to: int | None = None

    def age(self, now: datetime) -> float | None:
        """Years since the month of birth; None where that is not known."""
        if not self.birth_month:
            return None
        year, month = map(int, self.birth_month.split("-"))
        return now.year - year + (now.month - month) / 12


@dataclass(frozen=True, slots=True)
class Session:
    """One sitting of one child; ``source`` is where answers came from: microphone, recordings or keys.

    ``aim`` is the skill that the sitting was for (such as "teens/other-way:explicit"),
    ``aim_met`` what the closing questions told ("met", "nearly", "not yet", "not asked").
    """

    id: int
    child: int
    started: datetime
    source: str
    seed: int | None = None
    ended: datetime | None = None
    aim: str | None = None
    aim_met: str | None = None


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a parent (or the placement) put a child on the path from ``at`` on, and how it is to go on.

    ``step`` is a step of the path, ``limit`` the largest number (None: the path's own),
    ``pace`` stretches every time limit, ``skipped`` steps are passed over.
    """

    at: datetime
    step: str
    limit: int | None = None
    pace: float = 1.0
    skipped: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """One judged answer. ``id`` is None until the record has kept it.

    ``question`` is all that is needed to ask it again (``Question.key``), ``step``
    and ``activity`` the parts of it that are searched for; ``asked`` and ``form``
    are the answer expected. ``way`` is how it was answered: "spoken" (then
    ``heard``), "digits" (then ``built``) or "choice" (then ``value``).
    ``asked_at`` is the end of the prompt; ``response_seconds`` the seconds from
    there to the start of the child's voice (None where no voice was heard or a
    parent judged by key). ``verdict`` is never changed; a parent's correction
    stands beside it in ``override``. Times are aware datetimes, lengths seconds,
    ``confidence`` and the scores of ``alternatives`` 0 to 1.
    """

    session: int
    child: int
    question: str
    step: str
    activity: str
    asked: int
    form: str
    prompt: str
    verdict: str
    asked_at: datetime
    judged_at: datetime
    way: str = "spoken"
    purpose: str = "new"
    heard: str = ""
    built: str | None = None
    value: int | None = None
    heard_form: str = "none"
    reasons: tuple[str, ...] = ()
    judged_by: str = "listener"
    attempt: int = 1
    confidence: float | None = None
    alternatives: tuple[tuple[str, float], ...] = ()
    listener: str | None = None
    response_seconds: float | None = None
    audio_seconds: float | None = None
    work_seconds: float | None = None
    override: str | None = None
    overridden_at: datetime | None = None
    recording: str | None = None
    id: int | None = None

    @property
    def skill(self) -> str:
        """What the question exercises, such as "teens/other-way:explicit"."""
        return split_item(self.question)[0]

    @property
    def final(self) -> str | None:
        """The verdict that counts, or None where the parent set the answer aside."""
        if self.override in ("again", "skip"):
            return None
        return self.override or self.verdict
