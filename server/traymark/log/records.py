"""The records of the fold as stored, with the ones used last kept in memory."""

from collections import OrderedDict
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

import msgspec
from sqlalchemy import Connection

from traymark.fold.draft import Draft, Record
from traymark.tables import blank_records

RecordKey = tuple[str, str]
RecordRowValues = tuple[str, str, bytes, str | None]

# A job's record is a few kilobytes of JSON: about 100 MB at most.
_MOST_KEPT = 40_000

_encode = msgspec.json.Encoder().encode
_decode = msgspec.json.Decoder(dict[str, Any]).decode

_SELECT = "SELECT json_text FROM record WHERE collection = ? AND key = ?"
_UPSERT = (
    "INSERT INTO record (collection, key, json_text, ticket) VALUES (?, ?, ?, ?) "
    "ON CONFLICT (collection, key) DO UPDATE SET json_text = excluded.json_text, ticket = excluded.ticket"
)


class Records:
    """Committed records as JSON, for the writing transaction. Decoding again is quicker than copying Python objects."""

    def __init__(self) -> None:
        self._kept: OrderedDict[RecordKey, bytes] = OrderedDict()

    def read(self, connection: Connection, collection: str, key: str) -> Record | None:
        """The committed record, made anew for the caller, or None."""
        text = self._kept.get((collection, key)) or _text_of(connection, collection, key)
        return None if text is None else _decode(text)

    def keep(self, committed: Iterable[RecordRowValues]) -> None:
        """Remember records that are in the database now. Called after the commit, before the next one can begin."""
        kept = self._kept
        for collection, key, text, _ in committed:
            kept[(collection, key)] = text
            kept.move_to_end((collection, key))
        while len(kept) > _MOST_KEPT:
            kept.popitem(last=False)

    def forget(self) -> None:
        """Remember nothing, as after a rebuild."""
        self._kept.clear()


class FreshDraft(Draft):
    """A draft whose `read` makes every record anew, so that nothing needs to be copied before it is changed."""

    def record(self, collection: str, key: str) -> Record:
        """The record to change; a blank one when there was none (F5.1)."""
        held = self.dirty.get((collection, key))
        if held is None:
            held = self._read(collection, key)
            if held is None:
                held = _decode(_blank_texts()[collection])
            self.dirty[(collection, key)] = held
        return held


def read_record(connection: Connection, collection: str, key: str) -> Record | None:
    """One record as this connection sees it."""
    text = _text_of(connection, collection, key)
    return None if text is None else _decode(text)


def write_records(connection: Connection, dirty: dict[RecordKey, Record]) -> list[RecordRowValues]:
    """Insert or replace records, each encoded once. Returns what was written."""
    rows: list[RecordRowValues] = [
        (collection, key, _encode(record), record.get("ticket")) for (collection, key), record in dirty.items()
    ]
    if rows:
        connection.exec_driver_sql(_UPSERT, rows)
    return rows


def all_records(connection: Connection) -> Iterator[tuple[str, str, Record]]:
    """Every record, in no particular order."""
    for collection, key, text in connection.exec_driver_sql("SELECT collection, key, json_text FROM record"):
        yield collection, key, _decode(text)


@cache
def _blank_texts() -> dict[str, bytes]:
    return {collection: _encode(record) for collection, record in blank_records().items()}


def _text_of(connection: Connection, collection: str, key: str) -> bytes | None:
    """Asks the driver itself: a batch looks for hundreds of records that are not there yet."""
    cursor = connection.connection.cursor()
    cursor.execute(_SELECT, (collection, key))
    row = cursor.fetchone()
    cursor.close()
    return None if row is None else row[0]
