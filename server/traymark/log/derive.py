"""Making again what derives from the log, batch by batch: the memory this takes does not grow with the log."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from sqlalchemy import Connection

from traymark.events.about import names_of
from traymark.events.envelope import Event
from traymark.fold.fold import Entry, apply
from traymark.log.push import insert_codes
from traymark.log.records import Records, TakenChanges, write_records

_READ_AT_ONCE = 1_000
_MOST_RECORDS = 1_000

Progress = Callable[[int], None]
"""Told the position of each batch that is done."""


class StoredEvent(NamedTuple):
    """A row of the log."""

    position: int
    incarnation: str
    seq: int
    hash: bytes
    raw: bytes
    kind: str | None
    slug: str | None
    pointer: str | None


def batches(connection: Connection, after: int, progress: Progress) -> Iterator[Sequence[StoredEvent]]:
    """The log after a position, in order."""
    columns = ", ".join(StoredEvent._fields)
    query = f"SELECT {columns} FROM event WHERE position > ? ORDER BY position LIMIT {_READ_AT_ONCE}"  # noqa: S608  # our own names
    while rows := [StoredEvent(*row) for row in connection.exec_driver_sql(query, (after,))]:
        yield rows
        after = rows[-1].position
        progress(after)


class Derivation:
    """Folds entries into the records and the trace index of a database that has none yet."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._records = Records(_MOST_RECORDS)

    def add(self, batch: Sequence[tuple[int, Entry]]) -> None:
        """The next entries, each with its position."""
        changes = TakenChanges(self._records, self._connection)
        codes: list[tuple[Any, ...]] = []
        for position, entry in batch:
            if isinstance(entry.event, Event):
                codes.extend((code, position) for code in names_of(entry.event))
            apply(changes, entry)
        insert_codes(self._connection, codes)
        write_records(self._connection, changes)
        self._records.keep(changes.dirty)
