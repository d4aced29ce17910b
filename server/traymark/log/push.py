"""Taking a batch of events into the log (F3.3 to F3.5, F4.1, F8.1)."""

from typing import Any, NamedTuple

import msgspec
from sqlalchemy import Connection
from sqlmodel import col, select

from traymark.events.about import names_of
from traymark.events.chain import genesis, link
from traymark.events.envelope import Event, Rejected, parse
from traymark.fold.changes import Changes
from traymark.fold.fold import Entry, apply
from traymark.log.database import ask, tell
from traymark.log.rows import ChainRow, EventRow
from traymark.log.runs import LAST_REVISION
from traymark.log.store import Store
from traymark.refused import Refused

_INSERT_SOUND = (
    "INSERT INTO event (position, incarnation, seq, hash, raw, received_at_ms, kind) VALUES (?, ?, ?, ?, ?, ?, ?)"
)
_INSERT_MALFORMED = (
    "INSERT INTO event (position, incarnation, seq, hash, raw, received_at_ms, slug, pointer) "
    "VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
)
_INSERT_CODES = "INSERT INTO event_code (code, position) VALUES (?, ?)"
# A text is given to stations from when an event names it (F7.9), so its revision is new at that moment.
_TELL_TEXTS = (
    f"UPDATE doc SET rev = {LAST_REVISION} + 1 "  # noqa: S608  # our own words
    "WHERE id = ? AND kind = 'text' AND body IS NOT NULL"
)
_HASH_LENGTH = 64
_SELECT_STANDING = (
    "SELECT i.station, c.seq, c.head, (SELECT max(position) FROM event) "
    "FROM incarnation i LEFT JOIN chain c ON c.incarnation = i.prefix WHERE i.prefix = ?"
)


class Batch(NamedTuple):
    """A batch as sent. `prev` and `head`: the hashes before its first and after its last event (F3.3); 32 bytes."""

    incarnation: str
    first_seq: int
    prev: bytes
    head: bytes
    lines: list[bytes]


class Malformed(msgspec.Struct, frozen=True):
    """An event that is kept without effect (F2.6)."""

    seq: int
    slug: str
    pointer: str


class PushAnswer(msgspec.Struct, frozen=True):
    """The log holds this chain up to `seq`, with the hash `head` there; `position` is the log's last."""

    epoch: str
    position: int
    incarnation: str
    seq: int
    head: str
    malformed: list[Malformed]


def push(store: Store, station: str, batch: Batch, now_ms: int) -> PushAnswer | Refused:
    """Store the new events of a batch; all of it is durable when this returns an answer.

    A crash before the commit leaves nothing, one after it leaves everything: the station sends again and is
    acknowledged again. `seq` and `head` of the answer are the batch's own last, never further: a station whose
    log was copied must not take another's events for its own.
    """
    checked = _check(station, batch)
    if isinstance(checked, Refused):
        return checked
    with store.changing() as (connection, changes):
        standing = _standing(connection, station, batch.incarnation)
        if standing is None:
            return Refused("incarnation-unknown")
        seq, head, position = standing
        if batch.first_seq > seq + 1:
            return Refused("chain-gap", extra={"expected_seq": seq + 1})
        fork_at = _first_difference(connection, station, batch, checked, seq, head)
        if fork_at is not None:
            _keep_apart(connection, batch, checked, fork_at, now_ms)
            return Refused("chain-fork", extra={"seq": checked[fork_at].seq})
        new = checked[seq + 1 - batch.first_seq :]
        if new:
            append(connection, changes, batch.incarnation, new, position, now_ms)
    return PushAnswer(
        epoch=store.epoch,
        position=position + len(new),
        incarnation=batch.incarnation,
        seq=checked[-1].seq,
        head=batch.head.hex(),
        malformed=[Malformed(c.seq, c.event.slug, c.event.pointer) for c in checked if isinstance(c.event, Rejected)],
    )


class Checked(Entry, frozen=True, gc=False):
    """A line of a batch with its hash and what it parses to."""

    hash: bytes
    raw: bytes


def judge(raw: bytes, station: str, incarnation: str, seq: int) -> Event | Rejected:
    """Parse a line that came as this seq of a chain: the event must say that it is."""
    event = parse(raw)
    if isinstance(event, Event):
        if event.station != station:
            return Rejected("envelope-field", "/station")
        if event.incarnation != incarnation:
            return Rejected("envelope-field", "/incarnation")
        if event.seq != seq:
            return Rejected("envelope-field", "/seq")
    return event


def chain_of(connection: Connection, station: str, incarnation: str) -> tuple[int, bytes]:
    """The last seq of a chain and the hash there; 0 and the genesis hash before its first event."""
    row = connection.execute(
        select(ChainRow.seq, ChainRow.head).where(col(ChainRow.incarnation) == incarnation)
    ).first()
    return (0, genesis(station, incarnation)) if row is None else (row[0], row[1])


def _check(station: str, batch: Batch) -> list[Checked] | Refused:
    """Derive the hashes between `prev` and `head` (F3.3) and parse each event, before any lock is taken."""
    if batch.first_seq == 1 and batch.prev != genesis(station, batch.incarnation):
        return Refused("chain-mismatch", pointers=(("bad-field", "/prev"),))
    checked: list[Checked] = []
    seq, at = batch.first_seq, batch.prev
    for raw in batch.lines:
        at = link(at, raw)
        checked.append(Checked(batch.incarnation, seq, judge(raw, station, batch.incarnation, seq), at, raw))
        seq += 1
    return checked if at == batch.head else Refused("chain-mismatch", pointers=(("bad-field", "/head"),))


class _Standing(NamedTuple):
    """Where a station's chain ends, and where the log does."""

    seq: int
    head: bytes
    position: int


def _standing(connection: Connection, station: str, incarnation: str) -> _Standing | None:
    """None when the incarnation is not this station's."""
    row = ask(connection, _SELECT_STANDING, (incarnation,))
    if row is None or row[0] != station:
        return None
    _, seq, head, position = row
    return _Standing(0, genesis(station, incarnation), position or 0) if seq is None else _Standing(seq, head, position)


def _first_difference(
    connection: Connection, station: str, batch: Batch, checked: list[Checked], seq: int, head: bytes
) -> int | None:
    """Index of the first line whose seq the log holds with other bytes (F3.4), or None."""
    if batch.first_seq == seq + 1:
        return None if batch.prev == head else 0
    query = select(EventRow.seq, EventRow.hash).where(
        col(EventRow.incarnation) == batch.incarnation,
        col(EventRow.seq).between(batch.first_seq - 1, checked[-1].seq),
    )
    held = {row[0]: row[1] for row in connection.execute(query)}
    held[0] = genesis(station, batch.incarnation)
    if held[batch.first_seq - 1] != batch.prev:
        return 0
    return next((i for i, c in enumerate(checked) if c.seq <= seq and held[c.seq] != c.hash), None)


def _keep_apart(connection: Connection, batch: Batch, checked: list[Checked], start: int, now_ms: int) -> None:
    before = checked[start - 1].hash if start else batch.prev
    rows: list[tuple[Any, ...]] = []
    for c in checked[start:]:
        rows.append((batch.incarnation, c.seq, before, c.hash, c.raw, now_ms))
        before = c.hash
    connection.exec_driver_sql(
        "INSERT OR IGNORE INTO fork (incarnation, seq, prev, hash, raw, received_at_ms) VALUES (?, ?, ?, ?, ?, ?)", rows
    )


def append(
    connection: Connection, changes: Changes, incarnation: str, new: list[Checked], position: int, now_ms: int
) -> None:
    """Put the next events of a chain after `position`, the log's last, and fold them."""
    sound: list[tuple[Any, ...]] = []
    malformed: list[tuple[Any, ...]] = []
    codes: list[tuple[str, int]] = []
    for c in new:
        position += 1
        event = c.event
        if isinstance(event, Event):
            # The driver looks for an adapter of bytes each time; a bytearray it takes as it is.
            sound.append((position, incarnation, c.seq, bytearray(c.hash), bytearray(c.raw), now_ms, event.kind))
            codes.extend([(code, position) for code in names_of(event)])
        else:
            malformed.append((position, incarnation, c.seq, c.hash, c.raw, now_ms, event.slug, event.pointer))
        apply(changes, c)
    tell(connection, _INSERT_SOUND, sound)
    tell(connection, _INSERT_MALFORMED, malformed)
    insert_codes(connection, codes)
    tell(connection, _TELL_TEXTS, [(name,) for name, _ in codes if len(name) == _HASH_LENGTH])
    put_chain(connection, incarnation, new[-1].seq, new[-1].hash)


def insert_codes(connection: Connection, rows: list[tuple[str, int]]) -> None:
    """Add rows to the trace index."""
    tell(connection, _INSERT_CODES, rows)


def put_chain(connection: Connection, incarnation: str, seq: int, head: bytes) -> None:
    """Note where a chain ends now."""
    tell(
        connection,
        "INSERT INTO chain (incarnation, seq, head) VALUES (?, ?, ?) "
        "ON CONFLICT (incarnation) DO UPDATE SET seq = excluded.seq, head = excluded.head",
        [(incarnation, seq, head)],
    )
