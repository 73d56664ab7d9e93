"""What is asked on the page: numbers of a range in the ways that the parent ticked."""

from collections.abc import Iterator, Sequence
from itertools import count
from random import Random

from sayit.practice.activities import ACTIVITIES
from sayit.practice.asking import ask
from sayit.practice.layout import MOST
from sayit.practice.question import Question

__all__ = ["draw_ways"]

_RECENT = 4


def draw_ways(
    random: Random, *, low: int, high: int, forms: Sequence[str], ways: Sequence[str]
) -> Iterator[Question]:
    """Questions without end; the ways take turns, the same seed asks the same.

    Things to see at a glance are 20 at most, whatever the range.
    """
    recent: list[int] = []
    for turn in count():
        way = ways[turn % len(ways)]
        top = min(high, MOST) if way == "glimpse" else high
        bottom = min(low, top)
        number = random.randint(bottom, top)
        for _ in range(12):
            if number not in recent:
                break
            number = random.randint(bottom, top)
        recent = [*recent, number][-_RECENT:]
        form = random.choice(forms)
        if way == "read-out" and "plain" in forms:
            # Seen digits do not say which form is wanted, so only the everyday one is.
            form = "plain"
        if way == "glimpse":
            yield ask(number, "", way)
        else:
            # A number that has one name only is still built or read out, in that name.
            yield ask(number, form if ACTIVITIES[way].suits(number, form) else "plain", way)
