"""The names of things asked: a way of asking, a skill, a question's key, an item that comes back.

"other-way:explicit" is a way of asking (an activity in one variant), "teens/other-way:explicit" a skill (that at
one step), "teens/other-way:explicit/13" the key of a question, and "thousands/build:plain/d0d0" an item. All that
puts these texts together and takes them apart is here. What a year of answers asks for again and again is kept
in mind, because a learner may be rebuilt from all of them.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from random import Random

from sayit.errors import SayitError

__all__ = ["Key", "ask_name", "label", "labelled", "shape", "skill_name", "split_ask", "split_item", "split_skill"]

_NUMBER = r"(?:0|[1-9][0-9]{0,8})"
_KEY = re.compile(rf"([^/:]+)/([^/:]+)(?::([^/:]+))?/({_NUMBER}(?:,{_NUMBER})*)")


@dataclass(frozen=True, slots=True)
class Key:
    """All that is needed to ask a question again. ``str`` gives the text that the record keeps.

    ``variant`` is "" for an activity of one kind, ``about`` are the numbers that the question is about.
    """

    step: str
    activity: str
    variant: str
    about: tuple[int, ...]

    def __str__(self) -> str:
        return f"{self.skill}/{','.join(map(str, self.about))}"

    @property
    def ask(self) -> str:
        """Activity and variant, such as "other-way:explicit"."""
        return ask_name(self.activity, self.variant)

    @property
    def skill(self) -> str:
        """What it exercises, such as "teens/other-way:explicit"."""
        return skill_name(self.step, ask_name(self.activity, self.variant))

    @property
    def item(self) -> str:
        """The item that comes back over days.

        It ends in the ``label`` of the number: "teens/build:plain/13", "tens-and-ones/build:plain/4d",
        "thousands-inner-zeros/build:plain/d0d0". For two numbers it is "pair".
        """
        return f"{self.skill}/{'pair' if len(self.about) > 1 else label(self.about[0])}"

    @staticmethod
    @lru_cache(maxsize=4096)
    def parse(text: str) -> "Key":
        """The key that ``str`` wrote; ``SayitError`` for any other text."""
        found = _KEY.fullmatch(text)
        if found is None:
            raise SayitError(f"{text!r} is no question: write step/activity:variant/number.")
        step, activity, variant, numbers = found.groups(default="")
        return Key(step, activity, variant, tuple(map(int, numbers.split(","))))


@lru_cache(maxsize=256)
def ask_name(activity: str, variant: str) -> str:
    """A way of asking, such as "other-way:explicit"; the activity alone where it has one kind."""
    return f"{activity}:{variant}" if variant else activity


def split_ask(ask: str) -> tuple[str, str]:
    """Activity and variant ("" for none) of a way of asking."""
    return ask.partition(":")[::2]


@lru_cache(maxsize=1024)
def skill_name(step: str, ask: str) -> str:
    """A way of asking at a step, such as "teens/other-way:explicit"."""
    return f"{step}/{ask}"


def split_skill(skill: str) -> tuple[str, str]:
    """Step and way of asking of a skill."""
    return skill.partition("/")[::2]


@lru_cache(maxsize=4096)
def split_item(text: str) -> tuple[str, str]:
    """The skill of an item or of a question's key, and what follows: numbers, a shape or "pair". Takes any text."""
    return text.rpartition("/")[::2]


def label(number: int) -> str:
    """What numbers that are learned together share: up to twenty and for whole tens the number itself.

    Above, hardly a number would come twice before it is forgotten: 45 and 48 are "4d" (a child who knows
    forty and the ones knows both), and from a hundred on it is the shape.
    """
    if number < 20 or (number < 100 and number % 10 == 0):
        return str(number)
    return f"{number // 10}d" if number < 100 else shape(number)


def labelled(text: str, random: Random) -> int:
    """A number with that label."""
    return int(
        text[:1].replace("d", random.choice("123456789"))
        + "".join(random.choice("123456789") if sign == "d" else sign for sign in text[1:])
    )


def shape(number: int) -> str:
    """Where a number has digits (d) and where zeros (0): 4030 is "d0d0"."""
    return "".join("0" if digit == "0" else "d" for digit in str(number))
