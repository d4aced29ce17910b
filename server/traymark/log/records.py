"""The records of the fold as stored, with the latest used kept in memory."""

from collections import OrderedDict
from collections.abc import Iterator
from functools import cache
from typing import Any

import msgspec
from sqlalchemy import Connection

from traymark.fold.changes import Changes, Record
from traymark.fold.fold import hash_in_order
from traymark.log.archive_words import index_jobs
from traymark.log.database import ask, tell
from traymark.tables import blank_records

RecordKey = tuple[str, str]

# A finished job's record takes about 30 kB: about 100 MB at most.
_MOST_KEPT = 4_000

_encode = msgspec.json.Encoder().encode
_decode = msgspec.json.Decoder(dict[str, Any]).decode

_SELECT = "SELECT json_text FROM {} WHERE collection = ? AND key = ?"
_SELECT_LIVE, _SELECT_ARCHIVE = _SELECT.format("record"), _SELECT.format("archive")
_UPSERT = (
    "INSERT INTO {} (collection, key, json_text, ticket, card, contact) VALUES (?, ?, ?, ?, ?, ?) "
    "ON CONFLICT (collection, key) DO UPDATE SET json_text = excluded.json_text, ticket = excluded.ticket, "
    "card = excluded.card, contact = excluded.contact"
)
_UPSERT_LIVE, _UPSERT_ARCHIVE = _UPSERT.format("record"), _UPSERT.format("archive")


class Records:
    """Committed records, for the writing transaction alone.

    A record is taken out to be changed, and kept again after the commit. So one that a failed transaction has changed
    is no longer here, and is read from the database.
    """

    def __init__(self, most: int = _MOST_KEPT) -> None:
        self._kept: OrderedDict[RecordKey, Record] = OrderedDict()
        self._most = most

    def look(self, connection: Connection, collection: str, key: str) -> Record | None:
        """The committed record, for reading only, or None."""
        return self._kept.get((collection, key)) or read_record(connection, collection, key)

    def take(self, connection: Connection, collection: str, key: str) -> Record | None:
        """The committed record for the caller to change, or None."""
        return self._kept.pop((collection, key), None) or read_record(connection, collection, key)

    def keep(self, committed: dict[RecordKey, Record]) -> None:
        """Remember records as the database holds them. Called after the commit, before the next one can begin."""
        kept = self._kept
        kept.update(committed)
        while len(kept) > self._most:
            kept.popitem(last=False)

    def forget(self) -> None:
        """Forget all records, as after a rebuild."""
        self._kept.clear()


class TakenChanges(Changes):
    """Changes that take their records out of those in memory, so that nothing is copied before it is changed."""

    def __init__(self, records: Records, connection: Connection) -> None:
        super().__init__(
            lambda collection, key: records.look(connection, collection, key),
            lambda collection, key: _read(connection, _SELECT_ARCHIVE, collection, key),
        )
        self._records, self._connection = records, connection

    def taken(self, collection: str, key: str) -> Record:
        """The live record as it was before, or a blank one."""
        return self._records.take(self._connection, collection, key) or _decode(_blank_texts()[collection])


def read_record(connection: Connection, collection: str, key: str) -> Record | None:
    """One live record as this connection sees it."""
    return _read(connection, _SELECT_LIVE, collection, key)


def read_any(connection: Connection, collection: str, key: str) -> Record | None:
    """One record, live or put away."""
    return read_record(connection, collection, key) or _read(connection, _SELECT_ARCHIVE, collection, key)


def _read(connection: Connection, select: str, collection: str, key: str) -> Record | None:
    row = ask(connection, select, (collection, key))
    return None if row is None else _decode(row[0])


def write_records(connection: Connection, changes: Changes) -> None:
    """Insert or replace the records that were touched, each encoded once; those put away move to the archive."""
    tell(connection, _UPSERT_LIVE, _rows(changes.dirty))
    if changes.archived:
        tell(connection, _UPSERT_ARCHIVE, _rows(changes.archived))
        tell(connection, "DELETE FROM record WHERE collection = ? AND key = ?", list(changes.archived))
        index_jobs(connection, [key for collection, key in changes.archived if collection == "job"])


def _rows(records: dict[RecordKey, Record]) -> list[tuple[Any, ...]]:
    return [
        (collection, key, _encode(record), record.get("ticket"), record.get("card"), record.get("contact"))
        for (collection, key), record in records.items()
    ]


def live_texts(connection: Connection) -> Iterator[tuple[str, str, bytes]]:
    """Every live record as JSON, in the order of F5.10."""
    for collection in blank_records():
        query = "SELECT key, json_text FROM record WHERE collection = ? ORDER BY key"
        for key, text in connection.exec_driver_sql(query, (collection,)):
            yield collection, key, text


def live_hash(connection: Connection) -> str:
    """The state hash (F5.10) as this connection sees it, in hex."""
    return hash_in_order((collection, key, _decode(text)) for collection, key, text in live_texts(connection))


@cache
def _blank_texts() -> dict[str, bytes]:
    return {collection: _encode(record) for collection, record in blank_records().items()}
