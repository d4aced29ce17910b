"""Re-checks everything the server holds, without trusting anything derived.

From the bytes of the events alone it derives the hashes, the faults of malformed events, the trace index and the
records again, and compares. It cannot notice that a whole log was swapped for another sound one: for that the stations
hold the last hashes of their chains.
"""

from collections.abc import Callable, Iterator
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple, cast

import msgspec
from sqlalchemy import Connection
from sqlmodel import select

from traymark.blobs.files import BlobFiles
from traymark.events.chain import genesis, link
from traymark.events.envelope import Event, Rejected
from traymark.events.texts import TEXT, is_named_by
from traymark.fold.fold import Entry
from traymark.log.archive_words import words_of
from traymark.log.database import Database, ask
from traymark.log.derive import Derivation, Progress, batches
from traymark.log.push import judge
from traymark.log.rows import BlobRow, ChainRow, DocRow, ForkRow, IncarnationRow, StationRow
from traymark.log.store import Store

# More of one kind says nothing new, and a broken first hash breaks all that follow.
_MOST_FAULTS = 200


class Fault(NamedTuple):
    """What is wrong, and where."""

    where: str
    what: str


ReadPhoto = Callable[[str], bytes | None]


def verify(
    store: Store, since: int = 0, progress: Progress = lambda _: None, read_photo: ReadPhoto | None = None
) -> list[Fault]:
    """All faults of the log, its index, records, documents and photos, as of one moment; none when sound.

    Photos are read from the folder of the store, or by `read_photo`.

    With `since`, events up to that position are taken as they are; records cannot be derived then and are not compared.
    What is derived goes into a temporary file, so the memory this takes does not grow with the log.
    """
    faults: list[Fault] = []
    with (
        TemporaryDirectory() as folder,
        closing(Database(Path(folder) / "derived.sqlite")) as derived,
        derived.write() as made,
        store.database.read() as held,
    ):
        for fault in _all(held, made, since, progress, read_photo or BlobFiles(store.data_dir).read):
            faults.append(fault)
            if len(faults) >= _MOST_FAULTS:
                faults.append(Fault("verify", f"stopped after {_MOST_FAULTS} faults"))
                break
    return faults


def _all(held: Connection, made: Connection, since: int, progress: Progress, read_photo: ReadPhoto) -> Iterator[Fault]:
    yield from _file(held)
    log = _Log(held, made, since, progress)
    yield from log.faults()
    yield from _chains(held, log)
    yield from _codes(held, made, since)
    if since == 0:
        yield from _records(held, made, "record")
        yield from _records(held, made, "archive")
        yield from _archive_words(held)
    yield from _forks(held)
    yield from _docs(held)
    yield from _blobs(held, read_photo)


def _file(connection: Connection) -> Iterator[Fault]:
    for row in connection.exec_driver_sql("PRAGMA integrity_check(20)"):
        if row[0] != "ok":
            yield Fault("database file", str(row[0]))


class _Log:
    """Walks the events once. Once `faults` is exhausted, `made` holds what derives from them, and `ends` the chains."""

    def __init__(self, held: Connection, made: Connection, since: int, progress: Progress) -> None:
        self._held, self._since, self._progress = held, since, progress
        self._derivation = Derivation(made)
        self.ends: dict[str, tuple[int, bytes]] = {}

    def faults(self) -> Iterator[Fault]:
        incarnations = select(IncarnationRow.prefix, IncarnationRow.station)
        owner = {row[0]: row[1] for row in self._held.execute(incarnations)}
        stations = {row[0] for row in self._held.execute(select(StationRow.id))}
        for prefix, station in owner.items():
            if station not in stations:
                yield Fault(f"incarnation {prefix}", f"belongs to station {station}, which is not there")
            if self._since > 0:
                self._begin_at(prefix)
        expected = self._since
        for rows in batches(self._held, self._since, self._progress):
            entries: list[tuple[int, Entry]] = []
            for row in rows:
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
                entries.append((row.position, Entry(row.incarnation, row.seq, event)))
            self._derivation.add(entries)

    def _begin_at(self, incarnation: str) -> None:
        """Where a chain was at the position from which it is checked."""
        query = "SELECT seq, hash FROM event WHERE incarnation = ? AND position <= ? ORDER BY seq DESC LIMIT 1"
        last = ask(self._held, query, (incarnation, self._since))
        if last is not None:
            self.ends[incarnation] = (last[0], last[1])

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


def _codes(held: Connection, made: Connection, since: int) -> Iterator[Fault]:
    query = f"SELECT code, position FROM event_code WHERE position > {since} ORDER BY code, position"  # noqa: S608  # a number
    for (code, position), have, want in _paired(held, made, query):
        if have is None:
            yield Fault(f"trace of {code}", f"lacks event {position}")
        elif want is None:
            yield Fault(f"trace of {code}", f"names event {position}, which is not about it")


def _records(held: Connection, made: Connection, table: str) -> Iterator[Fault]:
    query = f"SELECT collection, key, json_text, ticket, card, contact FROM {table} ORDER BY collection, key"  # noqa: S608  # one of ours
    for (collection, key), have, want in _paired(held, made, query):
        where = f"{table} {collection}/{key}"
        if have is None:
            yield Fault(where, "is missing")
        elif want is None:
            yield Fault(where, "no event makes it")
        elif have.json_text != want.json_text and _decoded(have.json_text) != _decoded(want.json_text):
            yield Fault(where, "is not what its events make")
        elif have[3:] != want[3:]:
            yield Fault(where, "is found under another ticket or card than its own")


Paired = tuple[tuple[Any, Any], Any | None, Any | None]


def _paired(held: Connection, made: Connection, query: str) -> Iterator[Paired]:
    """The rows of both by their first two columns, by which the query orders them; None where one has no such row."""
    haves, wants = iter(held.exec_driver_sql(query)), iter(made.exec_driver_sql(query))
    have, want = next(haves, None), next(wants, None)
    while have is not None or want is not None:
        key = min(tuple(row[:2]) for row in (have, want) if row is not None)
        is_have, is_want = have is not None and tuple(have[:2]) == key, want is not None and tuple(want[:2]) == key
        yield key, have if is_have else None, want if is_want else None
        have = next(haves, None) if is_have else have
        want = next(wants, None) if is_want else want


def _archive_words(held: Connection) -> Iterator[Fault]:
    query = (
        "SELECT a.key, a.contact, a.card, j.words FROM archive a LEFT JOIN archive_job j ON j.job = a.key "
        "WHERE a.collection = 'job' ORDER BY a.key"
    )
    for job, contact, card, words in held.exec_driver_sql(query):
        if words != words_of(held, contact, card):
            yield Fault(f"job {job}", "is not found by what its cards say; rebuild the index")


def _forks(connection: Connection) -> Iterator[Fault]:
    query = select(ForkRow.id, ForkRow.prev, ForkRow.hash, ForkRow.raw)
    for id_, prev, hash_, raw in connection.execute(query):
        if link(prev, raw) != hash_:
            yield Fault(f"fork row {id_}", "its hash does not follow from its bytes and the hash before it")


def _docs(connection: Connection) -> Iterator[Fault]:
    for id_, kind, written in connection.execute(select(DocRow.id, DocRow.kind, DocRow.body)):
        body = None if written is None else _decoded(written)
        if written is not None and not isinstance(body, dict):
            yield Fault(f"document {id_}", "its body is not a JSON object")
        elif kind == TEXT and isinstance(body, dict) and not is_named_by(id_, cast(dict[str, Any], body)):
            yield Fault(f"text {id_}", "it is not the one its id names")


def _blobs(connection: Connection, read_photo: ReadPhoto) -> Iterator[Fault]:
    for name, size in connection.execute(select(BlobRow.sha256, BlobRow.size)):
        data = read_photo(name)
        if data is None:
            yield Fault(f"photo {name}", "its file is missing")
        elif len(data) != size or sha256(data).hexdigest() != name:
            yield Fault(f"photo {name}", "its bytes are not what its name says")


def _decoded(text: bytes | str) -> object:
    try:
        return msgspec.json.decode(text)
    except (msgspec.DecodeError, UnicodeDecodeError):
        return None
