"""Applying entries of the log to a state, and the hash of a whole state (F5)."""

from collections.abc import Iterable
from functools import cache
from hashlib import sha256

import msgspec

from traymark.events.envelope import Event, Rejected
from traymark.events.kinds_gen import FOLD_TABLES
from traymark.fold.changes import Changes, Record
from traymark.fold.effects import Effect, compile_effect
from traymark.tables import blank_records, kinds

# Increase it when the fold itself changes.
FOLD_VERSION = "1"


def fold_name() -> str:
    """Names this fold and its tables. A state made by another fold is folded again from the log."""
    return f"{FOLD_VERSION}-{FOLD_TABLES}"


class Entry(msgspec.Struct, frozen=True, gc=False):
    """The event with this seq in a chain, or why there is none."""

    incarnation: str
    seq: int
    event: Event | Rejected


def apply(changes: Changes, entry: Entry) -> None:
    """Apply one entry; repeated, unknown and malformed events have no effect (F5.2)."""
    incarnation, seq = entry.incarnation, entry.seq
    chain = changes.dirty.get(("chain", incarnation)) or changes.record("chain", incarnation)
    if seq <= chain["seq"]:
        return
    chain["seq"] = seq
    event = entry.event
    if type(event) is Event and event.known:
        for effect in _effects()[event.kind]:
            effect(changes, event)


def fold(entries: Iterable[Entry]) -> dict[tuple[str, str], Record]:
    """The state after these entries, starting from nothing."""
    changes = Changes()
    for entry in entries:
        apply(changes, entry)
    return changes.dirty


_encode = msgspec.json.Encoder(order="sorted").encode


def state_hash(records: Iterable[tuple[str, str, Record]]) -> str:
    """F5.10, in hex, of records in no particular order."""
    order = {name: place for place, name in enumerate(blank_records())}
    return hash_in_order(sorted(records, key=lambda r: (order[r[0]], r[1])))


def hash_in_order(records: Iterable[tuple[str, str, Record]]) -> str:
    """F5.10, in hex, of records in its order."""
    total = sha256()
    blanks = blank_records()
    for collection, key, record in records:
        blank = blanks[collection]
        written = {name: value for name, value in record.items() if value != blank.get(name, _NO_MEMBER)}
        total.update(f"{collection}/{key} ".encode() + _encode(written) + b"\n")
    return total.hexdigest()


_NO_MEMBER = object()


@cache
def _effects() -> dict[str, tuple[Effect, ...]]:
    return {kind: tuple(compile_effect(row) for row in spec["effects"]) for kind, spec in kinds().items()}
