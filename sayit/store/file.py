"""The open file of the record: reading it, changing it, waiting for others."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Self, TypeVar

from sayit.errors import SayitError
from sayit.store.opening import told

__all__ = ["RecordFile"]

_Entry = TypeVar("_Entry")


class RecordFile:
    """An open file, and the one way in which the modules of the store read and change it."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        self._connection.close()

    def wait_for_others(self, seconds: float) -> None:
        """From now on, wait so long at most while another program writes; ``Busy`` then."""
        self._connection.execute(f"PRAGMA busy_timeout = {round(seconds * 1000)}")

    def rows(self, query: str, values: tuple[object, ...] = ()) -> list[sqlite3.Row]:
        """What a query finds; for the modules of the store."""
        with told(self.path):
            return self._connection.execute(query, values).fetchall()

    def read(
        self, entry_of: Callable[[sqlite3.Row], _Entry], query: str, values: tuple[object, ...] = ()
    ) -> tuple[_Entry, ...]:
        """What a query finds, each row as ``entry_of`` makes it; a row that makes no sense is damage."""
        with told(self.path):
            try:
                return tuple(map(entry_of, self._connection.execute(query, values).fetchall()))
            except (ValueError, TypeError, KeyError, RecursionError, SayitError) as error:
                raise sqlite3.DatabaseError(f"an entry in it cannot be read: {error}") from error

    @contextmanager
    def change(self) -> Iterator[sqlite3.Connection]:
        """One change, all of it or nothing, committed at its end; for the modules of the store."""
        with told(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield self._connection
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise
