"""A folder of recorded answers, in place of the microphone.

The name of each recording says what was asked for:

    45-explicit.wav          say back 45 by its tens name
    45-plain.flac            say back 45 by its everyday name
    45-explicit-other.ogg    hear the everyday name, say the tens name
    45-explicit-2.wav        the second try, where the first is not clear

What is said in the recording is up to the child. The questions come in the order
of the names, numbers by their size.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sayit.errors import SayitError
from sayit.numbers import HIGHEST
from sayit.practice.free import ask
from sayit.practice.question import Question
from sayit.sitting.ears import Complete, Hear, Sound, catch, every
from sayit.sitting.wishes import Given

if TYPE_CHECKING:
    from sayit.hearing.endpoint import EndRule

KINDS = (".wav", ".flac", ".ogg")

_NAME = re.compile(r"(?P<number>\d{1,9})-(?P<form>plain|explicit)(?P<other>-other)?(?:-(?P<attempt>[1-9]))?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Recorded:
    """A question and the recordings of its tries, first try first."""

    question: Question
    files: tuple[Path, ...]


def read_folder(folder: Path) -> tuple[Recorded, ...]:
    """The questions that a folder of recordings answers, in order.

    ``SayitError`` for a folder that is missing or holds no recording, for a name
    that says nothing, and for tries with a gap. Files of other kinds are passed over.
    """
    if not folder.is_dir():
        raise SayitError(f"No such folder of answers: {folder}. Check the name after --answers.")
    try:
        files = sorted(file for file in folder.iterdir() if file.suffix.lower() in KINDS)
    except OSError as error:
        raise SayitError(f"Cannot look into {folder} ({error.strerror}): check who may read it.") from error
    if not files:
        raise SayitError(f"{folder} holds no recordings: name them for what was asked, such as 45-explicit.wav.")
    found: dict[tuple[int, str, bool], dict[int, Path]] = {}
    for file in files:
        match = _NAME.fullmatch(file.stem)
        if not match:
            raise SayitError(
                f"{file.name} does not say what was asked: name it like 45-explicit.wav or 45-plain-2.wav."
            )
        number = int(match["number"])
        if number > HIGHEST:
            raise SayitError(f"{file.name} asks for a number above {HIGHEST:,}: give a smaller one.")
        tries = found.setdefault((number, match["form"], bool(match["other"])), {})
        attempt = int(match["attempt"] or 1)
        if attempt in tries:
            raise SayitError(f"{file.name} and {tries[attempt].name} are both the same try: keep one of them.")
        tries[attempt] = file
    return tuple(_recorded(key, tries) for key, tries in sorted(found.items()))


class RecordedEars:
    """Ears that hear a folder's recordings, by the microphone's own path."""

    source = "recordings"

    def __init__(self, recorded: tuple[Recorded, ...], rule: "EndRule") -> None:
        self._files = {entry.question.key: entry.files for entry in recorded}
        self._rule = rule

    def listen(
        self, question: Question, attempt: int, interrupted: Callable[[], bool], hear: Hear, complete: Complete
    ) -> Sound | None:
        """The recording of this try."""
        from sayit.hearing.capture import FileMicrophone

        files = self._files[question.key]
        # "Again" from the parent may ask more often than there are recordings.
        return catch(
            FileMicrophone(files[min(attempt, len(files)) - 1]),
            self._rule,
            interrupted,
            hear,
            complete,
            every(question),
            claps=question.clapped,
        )


def given_by(recorded: tuple[Recorded, ...]) -> Given:
    """The questions that recordings answer, each as often as there are tries."""
    questions = tuple(entry.question for entry in recorded)
    return Given(questions, {str(entry.question.key): len(entry.files) for entry in recorded})


def _recorded(key: tuple[int, str, bool], tries: dict[int, Path]) -> Recorded:
    number, form, other = key
    if sorted(tries) != list(range(1, len(tries) + 1)):
        latest = tries[max(tries)]
        raise SayitError(f"{latest.name} is a later try, but one before it is missing: number the tries 1, 2, 3.")
    question = ask(number, form, "other-way" if other else "say-back")
    return Recorded(question, tuple(tries[attempt] for attempt in sorted(tries)))
