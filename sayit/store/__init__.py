"""The record: who practised, what was asked, what was heard, how it was judged.

One SQLite file per household. ``open_record`` is the way in.
"""

from sayit.store.entries import VERDICTS, Answer, Child, Placement, Session
from sayit.store.record import Record, open_record
from sayit.store.safekeeping import Restored, back_up, restore
from sayit.store.sounds import delete_expired, keep_sound, sound_file

__all__ = [
    "VERDICTS",
    "Answer",
    "Child",
    "Placement",
    "Record",
    "Restored",
    "Session",
    "back_up",
    "delete_expired",
    "keep_sound",
    "open_record",
    "restore",
    "sound_file",
]
