"""The desk's part for putting a backup in the record's place."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from pathlib import Path

from sayit.errors import SayitError, visible
from sayit.page.backstage import Backstage
from sayit.report.words import counted
from sayit.store import delete_expired, restore
from sayit.store.opening import make_private
from sayit.store.safekeeping import Restored

__all__ = ["Restoring", "taken_in"]

LARGEST = 256 << 20
"""A file of more bytes is no backup of a household: an answer takes some 500, with its question and times."""


class Restoring:
    """Puts a backup in the record's place; ``anew`` is called once it stands there."""

    def __init__(self, stage: Backstage, anew: Callable[[], None]) -> None:
        self._stage = stage
        self._anew = anew

    def restore(self, source: Path) -> str:
        """What came of it, in a line; ``SayitError`` for what is no backup and while something goes on."""
        if self._stage.busy():
            raise SayitError("A sitting goes on, or something is heard or said: stop it first, then restore.")
        now = self._stage.here()
        try:
            done = restore(source, at=now, path=self._stage.path)
        except SayitError as error:
            # The parent chose it under another name.
            raise SayitError(str(error).replace(str(source), "The file")) from error
        with self._stage.record() as record:
            delete_expired(record, now)
            names = [child.name for child in record.children()]
        self._anew()
        return f"Restored: {', '.join(names) or 'no children yet'}.{_before(done)}{_recordings(done)}"


def _before(done: Restored) -> str:
    if not done.kept:
        return ""
    return f" What was recorded before is kept as {visible(done.kept)}; to have it back, restore that file."


def _recordings(done: Restored) -> str:
    told = [
        f"{child.name} {'kept for ' + counted(child.keep_audio_days, 'day') if child.keep_audio_days else 'not kept'}"
        for child in done.consent
    ]
    why = " (the stricter of the two holds)" if done.kept and not done.unread else ""
    return f" Recordings: {', '.join(told)}{why}." if told else ""


async def taken_in(stream: AsyncIterator[bytes], path: Path) -> None:
    """Write what a browser sends to ``path``. ``SayitError`` for too much of it, and for a disk that is full.

    It is read to its end all the same: a browser that is cut off while it sends tells the parent nothing.
    """
    make_private(path)
    size, trouble = 0, ""
    with path.open("wb") as file:
        async for chunk in stream:
            size += len(chunk)
            if size > LARGEST:
                trouble = f"The file is larger than {LARGEST >> 20} MB, so it is no backup: nothing was changed."
            if not trouble:
                try:
                    file.write(chunk)
                except OSError as error:
                    trouble = f"The file cannot be taken in ({error.strerror}): free some space. Nothing was changed."
    if trouble:
        raise SayitError(trouble)
