"""What is asked, what the child answered, and what the tool says: plain data."""

from dataclasses import dataclass, field
from typing import Any

from sayit.numbers import as_form, name
from sayit.practice.key import Key, ask_name, skill_name
from sayit.practice.layout import Picture, frame_of, lay_out


@dataclass(frozen=True, slots=True)
class Named:
    """A number inside a phrase, with the ``form`` in which to name it ("plain", "explicit", "digits")."""

    value: int
    form: str = "plain"

    @property
    def words(self) -> str:
        """What to say for it; with form "digits" its digits one by one, "four zero three zero"."""
        return self.said()

    def said(self, *, use_and: bool = False) -> str:
        """The same, on wish with "and" in its name: "three hundred and two"."""
        if self.form == "digits":
            return " ".join(name(int(digit)) for digit in str(self.value))
        return name(self.value, as_form(self.form), use_and=use_and).replace(",", "")


@dataclass(frozen=True, slots=True)
class Said:
    """A phrase of the phrase bank by ``key``, with what fills its blanks."""

    key: str
    values: tuple[tuple[str, Named], ...] = ()


def said(key: str, **values: Named) -> Said:
    """``Said`` with the blanks given by name."""
    return Said(key, tuple(values.items()))


@dataclass(frozen=True, slots=True)
class Shown:
    """What stands on the screen: ``kind`` "digits", "quantity" or "tray" (things to build with), the ``numbers``,
    for ``seconds`` (None: until the answer), in a ``frame`` (None: that of the numbers).
    """

    kind: str
    numbers: tuple[int, ...]
    seconds: float | None = None
    frame: int | None = None

    def pictures(self) -> tuple[Picture, ...]:
        """The numbers laid out as things, in one frame; empty for digits."""
        if self.kind != "quantity":
            return ()
        frame = self.frame or frame_of(*self.numbers)
        return tuple(lay_out(number, frame) for number in self.numbers)


@dataclass(frozen=True, slots=True)
class Question:
    """One question.

    ``step`` and ``activity`` say where it comes from, ``variant`` which kind of the activity ("" where there is
    one kind), ``about`` the numbers it is about. ``say`` are the phrases in
    order, ``show`` the picture. The answer expected is ``value`` in ``form``
    ("plain", "explicit", "any" or "digits": told one by one), given by
    ``way``: "spoken", "digits" (built) or "choice" (one of ``about``). ``seconds`` from the end of the
    prompt to the first sound (or key) still count as fluent. ``purpose`` is why it
    comes now: "new", "due", "easy", "return", "again", "follow-up", "until-at-once",
    "closing", "finish" or "placement". ``grows`` tells that what is heard is to be seen while the child speaks, ``clapped``
    that claps are an answer as well as words.
    """

    step: str
    activity: str
    variant: str
    about: tuple[int, ...]
    say: tuple[Said, ...]
    way: str
    value: int
    form: str
    seconds: float
    show: Shown | None = None
    purpose: str = "new"
    grows: bool = False
    clapped: bool = False

    @property
    def skill(self) -> str:
        """What it exercises, such as "teens/other-way:explicit"."""
        return skill_name(self.step, self.ask)

    @property
    def ask(self) -> str:
        """Activity and variant, such as "other-way:explicit"."""
        return ask_name(self.activity, self.variant)

    @property
    def key(self) -> str:
        """All that is needed to ask it again, as the record keeps it: the text of its ``Key``."""
        return str(Key(self.step, self.activity, self.variant, self.about))

    def to_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return {
            "key": self.key,
            "step": self.step,
            "activity": self.activity,
            "variant": self.variant,
            "about": list(self.about),
            "say": [_phrase(phrase) for phrase in self.say],
            "show": self.show
            and {
                "kind": self.show.kind,
                "numbers": list(self.show.numbers),
                "seconds": self.show.seconds,
            },
            "way": self.way,
            "value": self.value,
            "form": self.form,
            "seconds": self.seconds,
            "purpose": self.purpose,
        }


@dataclass(frozen=True, slots=True)
class Response:
    """What came back.

    ``words`` is what the listener heard ("" for no number; a ``Reading`` will do too), ``digits`` what
    was built, ``choice`` the number pointed at, ``claps`` how often the child clapped. ``response_seconds`` run from the end of
    the prompt to the start of the child's voice (or the first key); None if nobody
    measured. ``sure`` is False where the listener's margin was small, and ``swapped`` tells that it was between
    a teen and the ten that sounds like it. ``verdict`` is the parent's own ("right" or "wrong") and then decides alone.
    """

    words: Any = None
    digits: str | None = None
    choice: int | None = None
    claps: int | None = None
    response_seconds: float | None = None
    sure: bool = True
    swapped: bool = False
    verdict: str | None = field(default=None)


def _phrase(phrase: Said) -> dict[str, Any]:
    return {
        "key": phrase.key,
        "values": {blank: {"value": named.value, "form": named.form} for blank, named in phrase.values},
    }
