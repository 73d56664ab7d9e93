"""Where the answers of a sitting in the terminal come from: microphone, recordings, keys, or the demonstration."""

from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sayit import paths
from sayit.errors import SayitError
from sayit.sitting.ears import Ears, MicrophoneEars
from sayit.sitting.wishes import Given

if TYPE_CHECKING:
    from sayit.hearing.endpoint import EndRule

__all__ = ["Origin", "origin_here", "recorded_origin"]


@dataclass(frozen=True, slots=True)
class Origin:
    """Where answers come from (``name`` in the record), and all that depends on it.

    ``given`` are the questions that recordings answer. ``waits`` tells whether a sitting may wait for the parent;
    ``notices`` are (kind, line) for the parent. ``record`` and ``child`` are None for the household's own.
    """

    ears: Ears | None
    name: str
    given: Given | None = None
    waits: bool = True
    notices: tuple[tuple[str, str], ...] = ()
    record: Path | None = None
    child: str | None = None
    reopen: Callable[[], Ears | None] = lambda: None


def origin_here(rule: "EndRule", stack: ExitStack, *, has_keys: bool, needs_child: bool) -> Origin:
    """The microphone; without one the keys; without those the demonstration, unless the sitting ``needs_child``."""
    from sayit.hearing.capture import Microphone, MicrophoneLost

    def open_ears() -> Ears:
        return MicrophoneEars(stack.enter_context(Microphone()), rule)

    def reopen() -> Ears | None:
        try:
            return open_ears()
        except MicrophoneLost:
            return None

    try:
        return Origin(open_ears(), "microphone", reopen=reopen)
    except MicrophoneLost as lost:
        if has_keys:
            notice = ("no-microphone", f"{lost} Until then you judge by key what you hear.")
            return Origin(None, "keys", notices=(notice,), reopen=reopen)
        if needs_child:
            raise SayitError(f"{lost} Or start it in a terminal, where you can judge by key.") from lost
        return _demonstration(rule)


def recorded_origin(folder: Path, rule: "EndRule") -> Origin:
    """A folder of recorded answers; ``SayitError`` where it is none."""
    from sayit.sitting.answers import RecordedEars, given_by, read_folder

    recorded = read_folder(folder)
    return Origin(RecordedEars(recorded, rule), "recordings", given_by(recorded), waits=False)


def _demonstration(rule: "EndRule") -> Origin:
    from dataclasses import replace

    from sayit.sitting.demo import CHILD, demo_answers

    folder = paths.data() / "demo"
    told = (
        "There is neither a microphone nor a keyboard here, so this is a demonstration: recorded answers of "
        f"{CHILD}, an invented child, spoken by this machine's voice and kept apart from your record."
    )
    return replace(
        recorded_origin(demo_answers(folder), rule),
        record=folder / "record.sqlite3",
        child=CHILD,
        notices=(("demo", told),),
    )
