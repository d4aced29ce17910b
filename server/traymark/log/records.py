"""The records of the fold as stored, with the ones used last kept in memory."""

from collections import OrderedDict
from collections.abc import Iterator
from typing import Any

import msgspec
from sqlalchemy import Connection

from traymark.fold.draft import Record

RecordKey = tuple[str, str]

# A job's record is a few kilobytes as JSON and some ten times that as Python objects: about 200 MB at most.
_MOST_KEPT = 6_000

_encode = msgspec.json.Encoder(order="sorted").encode
_decode = msgspec.json.decode

_SELECT = "SELECT json_text FROM record WHERE collection = ? AND key = ?"
_UPSERT = (
    "INSERT INTO record (collection, key, json_text, ticket) VALUES (?, ?, ?, ?) "
    "ON CONFLICT (collection, key) DO UPDATE SET json_text = excluded.json_text, ticket = excluded.ticket"
)


class Records:
    """Reads through to the database. What it hands out must not be changed: `Draft` copies."""

    def __init__(self) -> None:
        self._kept: OrderedDict[RecordKey, Record] = OrderedDict()

    def read(self, connection: Connection, collection: str, key: str) -> Record | None:
        """The committed record, or None. Only the writing transaction may ask, so that nothing older is kept."""
        kept = self._kept.get((collection, key))
        if kept is not None:
            return kept
        found = read_record(connection, collection, key)
        if found is not None:
            self._kept[(collection, key)] = found
        return found

    def keep(self, committed: dict[RecordKey, Record]) -> None:
        """Remember records that are in the database now. Called after the commit, before the next one can begin."""
        kept = self._kept
        for at, record in committed.items():
            kept[at] = record
            kept.move_to_end(at)
        while len(kept) > _MOST_KEPT:
            kept.popitem(last=False)

    def forget(self) -> None:
        """Remember nothing, as after a rebuild."""
        self._kept.clear()


def read_record(connection: Connection, collection: str, key: str) -> Record | None:
    """One record as this connection sees it."""
    row = connection.exec_driver_sql(_SELECT, (collection, key)).first()
    return None if row is None else _decode(row[0])


def write_records(connection: Connection, dirty: dict[RecordKey, Record]) -> None:
    """Insert or replace records, each encoded once."""
    if dirty:
        rows: list[tuple[Any, ...]] = [
            (collection, key, _encode(record), record.get("ticket")) for (collection, key), record in dirty.items()
        ]
        connection.exec_driver_sql(_UPSERT, rows)


def all_records(connection: Connection) -> Iterator[tuple[str, str, Record]]:
    """Every record, in no particular order."""
    for collection, key, text in connection.exec_driver_sql("SELECT collection, key, json_text FROM record"):
        yield collection, key, _decode(text)
