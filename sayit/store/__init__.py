"""The record: who practised, what was asked, what was heard, how it was judged.

One SQLite file per household. ``open_record`` is the way in.
"""

from sayit.store.entries import OVERRIDES, VERDICTS, Answer, Child, Session
from sayit.store.record import Record, open_record

__all__ = ["OVERRIDES", "VERDICTS", "Answer", "Child", "Record", "Session", "open_record"]
