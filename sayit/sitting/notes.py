"""What a parent should know before a sitting, said wherever one is begun."""

import shlex
from collections.abc import Iterable

from sayit.store import Child

__all__ = ["notes_for"]

_BREAK = "A rest after a quarter of an hour."
_PERSONAL = "It is personal data: local law applies."
_PRACTICE = "This is practice, no assessment of hearing or speech: take a worry to a licensed practitioner."


def notes_for(children: Iterable[Child]) -> tuple[str, ...]:
    """The notes for a sitting of ``children``, whose recordings are kept or not."""
    recorded = [child for child in children if child.keep_audio_days]
    if not recorded:
        kept = "No recording of the child's voice is kept; what was answered is, on this machine only."
        return (f"{_BREAK} {kept} {_PERSONAL}", _PRACTICE)
    told = " ".join(
        f"Each answer of {child.name} is recorded, and deleted at the next use after {child.keep_audio_days} "
        f"{'day' if child.keep_audio_days == 1 else 'days'}, as you turned on; off: sayit children --child "
        f"{shlex.quote(child.name)} --keep-audio 0."
        for child in recorded
    )
    return (f"{_BREAK} {told} Recordings and answers stay on this machine. {_PERSONAL}", _PRACTICE)
