"""What may stand in the record: each complaint is one line."""

import unicodedata
from datetime import datetime

from sayit.errors import SayitError
from sayit.numbers import FORMS, HIGHEST


class Gone(SayitError):  # noqa: N818, MicrophoneLost is named alike
    """What was to be changed has been deleted from the record by another program."""


class Busy(SayitError):  # noqa: N818, MicrophoneLost is named alike
    """Another program writes to the record: nothing was changed, and it can be tried again."""


LONGEST_AUDIO_DAYS = 365
"""The longest that recordings of a child can be kept."""

_LONGEST_NAME = 60


def tidy_name(name: str) -> str:
    """A child's name with single spaces; ``SayitError`` for one that is empty or too long."""
    tidy = " ".join(unicodedata.normalize("NFC", name).split())
    if not tidy or not tidy.isprintable():
        raise SayitError("A child's name needs at least one letter: try --child Pip.")
    if len(tidy) > _LONGEST_NAME:
        raise SayitError(f"A child's name has at most {_LONGEST_NAME} letters: a nickname will do.")
    return tidy


def name_key(name: str) -> str:
    """What two wordings of one name have in common."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def check_audio_days(days: int) -> None:
    """``SayitError`` for a number of days that recordings cannot be kept."""
    if isinstance(days, bool) or not isinstance(days, int) or not 0 <= days <= LONGEST_AUDIO_DAYS:
        raise SayitError(f"Recordings cannot be kept for {days} days: choose 1 to {LONGEST_AUDIO_DAYS}, or 0 for none.")


def check_counts_to(number: object) -> int | None:
    """How far a child counts, about; 0 and None mean that nobody said. ``SayitError`` for what is no such number."""
    if number is None:
        return None
    if isinstance(number, bool) or not isinstance(number, int) or not 0 <= number <= HIGHEST:
        raise SayitError(f"A child counts to about 1 to {HIGHEST:,}; 0 where you do not know.")
    return number or None


def check_forms(forms: object) -> tuple[str, ...]:
    """``forms`` in the usual order; ``SayitError`` for none, or one that there is not."""
    if not isinstance(forms, list | tuple) or not forms or not set(map(str, forms)) <= set(FORMS):
        raise SayitError(f"Choose at least one of: {', '.join(FORMS)}.")
    return tuple(form for form in FORMS if form in forms)


def check_month(text: str | None) -> None:
    """``SayitError`` for what is no month such as "2020-04"; None is fine."""
    if text is None:
        return
    try:
        datetime.strptime(text, "%Y-%m")  # noqa: DTZ007, a month has no zone
    except ValueError:
        raise SayitError(f"{text!r} is no birth month: write it as year-month, such as 2020-04.") from None
