"""Re-checks everything the server holds, without trusting anything derived.

From the bytes of the events alone it derives the hashes, the faults of malformed events, the trace index and the
records again, and compares. It cannot notice that a whole log was swapped for another sound one: for that the stations
hold the last hashes of their chains.
"""

from collections.abc import Iterator
from hashlib import sha256
from typing import NamedTuple

import msgspec
from sqlalchemy import Connection
from sqlmodel import select

from traymark.blobs.files import BlobFiles
from traymark.events.about import codes_of
from traymark.events.chain import genesis, link
from traymark.events.envelope import Event, Rejected
from traymark.fold.changes import Changes, Record
from traymark.fold.fold import Entry, apply
from traymark.log.push import judge
from traymark.log.rows import (
    BlobRow,
    ChainRow,
    DocRow,
    EventCodeRow,
    ForkRow,
    IncarnationRow,
    StationRow,
)
from traymark.log.store import Store

# More of one kind says nothing new, and a broken first hash breaks all that follow.
_MOST_FAULTS = 200


class Fault(NamedTuple):
    """What is wrong, and where."""

    where: str
    what: str


def verify(store: Store) -> list[Fault]:
    """All faults of the log, its index, records, documents and photos, as of one moment; none when sound."""
    faults: list[Fault] = []
    with store.database.read() as connection:
        for fault in _all(store, connection):
            faults.append(fault)
            if len(faults) >= _MOST_FAULTS:
                faults.append(Fault("verify", f"stopped after {_MOST_FAULTS} faults"))
                break
    return faults


def _all(store: Store, connection: Connection) -> Iterator[Fault]:
    yield from _file(connection)
    log = _Log(connection)
    yield from log.faults()
    yield from _chains(connection, log)
    yield from _codes(connection, log)
    yield from _records(connection, "record", log.changes.dirty)
    yield from _records(connection, "archive", log.changes.archived)
    yield from _forks(connection)
    yield from _docs(connection)
    yield from _blobs(connection, BlobFiles(store.data_dir))


def _file(connection: Connection) -> Iterator[Fault]:
    for row in connection.exec_driver_sql("PRAGMA integrity_check(20)"):
        if row[0] != "ok":
            yield Fault("database file", str(row[0]))


class _Log:
    """Walks the events once. Once `faults` is exhausted it holds what the derived tables should hold."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self.ends: dict[str, tuple[int, bytes]] = {}
        self.codes: set[tuple[str, int]] = set()
        self.changes = Changes()

    def faults(self) -> Iterator[Fault]:
        incarnations = select(IncarnationRow.prefix, IncarnationRow.station)
        owner = {row[0]: row[1] for row in self._connection.execute(incarnations)}
        stations = {row[0] for row in self._connection.execute(select(StationRow.id))}
        for prefix, station in owner.items():
            if station not in stations:
                yield Fault(f"incarnation {prefix}", f"belongs to station {station}, which is not there")
        expected = 0
        for row in self._connection.exec_driver_sql("SELECT * FROM event ORDER BY position"):
            expected += 1
            if row.position != expected:
                yield Fault(f"position {expected}", f"missing: the next event is at {row.position}")
                expected = row.position
            where = f"event {row.position} ({row.incarnation}.{row.seq})"
            station = owner.get(row.incarnation)
            if station is None:
                yield Fault(where, "its incarnation was never given out")
                station = ""
            yield from self._place(where, station, row.incarnation, row.seq, row.hash, row.raw)
            event = judge(row.raw, station, row.incarnation, row.seq)
            yield from _verdict(where, event, row.kind, row.slug, row.pointer)
            if isinstance(event, Event):
                self.codes.update((code, row.position) for code in codes_of(event))
            apply(self.changes, Entry(row.incarnation, row.seq, event))

    def _place(self, where: str, station: str, incarnation: str, seq: int, hash_: bytes, raw: bytes) -> Iterator[Fault]:
        before, head = self.ends.get(incarnation) or (0, genesis(station, incarnation))
        if seq != before + 1:
            yield Fault(where, f"its chain goes from {before} to {seq}")
        elif hash_ != link(head, raw):
            yield Fault(where, "its hash does not follow from its bytes and the hash before it")
        # Carry on from the stored hash, so that one changed event is one fault and not one for each event after it.
        self.ends[incarnation] = (seq, hash_)


def _verdict(
    where: str, event: Event | Rejected, kind: str | None, slug: str | None, pointer: str | None
) -> Iterator[Fault]:
    derived = (event.kind, None, None) if isinstance(event, Event) else (None, event.slug, event.pointer)
    if derived != (kind, slug, pointer):
        yield Fault(where, f"is marked {(kind, slug, pointer)}, its bytes say {derived}")


def _chains(connection: Connection, log: _Log) -> Iterator[Fault]:
    held = {
        row[0]: (row[1], row[2])
        for row in connection.execute(select(ChainRow.incarnation, ChainRow.seq, ChainRow.head))
    }
    for incarnation in sorted(held.keys() | log.ends.keys()):
        if held.get(incarnation) != log.ends.get(incarnation):
            yield Fault(f"chain {incarnation}", "its noted end is not the end of its events")


def _codes(connection: Connection, log: _Log) -> Iterator[Fault]:
    held = {(row[0], row[1]) for row in connection.execute(select(EventCodeRow.code, EventCodeRow.position))}
    for code, position in sorted(log.codes - held):
        yield Fault(f"trace of {code}", f"lacks event {position}")
    for code, position in sorted(held - log.codes):
        yield Fault(f"trace of {code}", f"names event {position}, which is not about it")


def _records(connection: Connection, table: str, made: dict[tuple[str, str], Record]) -> Iterator[Fault]:
    left = dict(made)
    query = f"SELECT collection, key, json_text, ticket FROM {table}"  # noqa: S608  # one of our own names
    for collection, key, text, ticket in connection.exec_driver_sql(query):
        where = f"{table} {collection}/{key}"
        record = left.pop((collection, key), None)
        if record is None:
            yield Fault(where, "no event makes it")
        elif _decoded(text) != record:
            yield Fault(where, "is not what its events make")
        elif record.get("ticket") != ticket:
            yield Fault(where, "is found under another ticket than its own")
    for collection, key in sorted(left):
        yield Fault(f"{table} {collection}/{key}", "is missing")


def _forks(connection: Connection) -> Iterator[Fault]:
    query = select(ForkRow.id, ForkRow.prev, ForkRow.hash, ForkRow.raw)
    for id_, prev, hash_, raw in connection.execute(query):
        if link(prev, raw) != hash_:
            yield Fault(f"fork row {id_}", "its hash does not follow from its bytes and the hash before it")


def _docs(connection: Connection) -> Iterator[Fault]:
    for id_, body in connection.execute(select(DocRow.id, DocRow.body)):
        if body is not None and type(_decoded(body)) is not dict:
            yield Fault(f"document {id_}", "its body is not a JSON object")


def _blobs(connection: Connection, files: BlobFiles) -> Iterator[Fault]:
    for name, size in connection.execute(select(BlobRow.sha256, BlobRow.size)):
        data = files.read(name)
        if data is None:
            yield Fault(f"photo {name}", "its file is missing")
        elif len(data) != size or sha256(data).hexdigest() != name:
            yield Fault(f"photo {name}", "its bytes are not what its name says")


def _decoded(text: bytes | str) -> object:
    try:
        return msgspec.json.decode(text)
    except (msgspec.DecodeError, UnicodeDecodeError):
        return None
