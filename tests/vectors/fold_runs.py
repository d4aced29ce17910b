"""Folding the entries of a vector, and comparing a state with what a person wrote about it."""

import json
from collections.abc import Iterable, Mapping
from typing import Any

from traymark.events.envelope import parse
from traymark.fold.changes import Changes, Record
from traymark.fold.fold import Entry, apply, state_hash
from traymark.tables import blank_records

Records = dict[tuple[str, str], Record]


def entry_of(row: dict[str, Any]) -> Entry:
    """A row of a vector's `events` as an entry of the log."""
    text = row["text"] if "text" in row else json.dumps(row, ensure_ascii=False, separators=(",", ":"))
    return Entry(row["incarnation"], row["seq"], parse(text.encode()))


def folded(entries: Iterable[Entry], base: Mapping[tuple[str, str], Record] | None = None) -> Records:
    """The live state after these entries, starting from nothing or from a given state, which stays unchanged."""
    before = base or {}
    changes = Changes(lambda collection, key: before.get((collection, key)))
    for entry in entries:
        apply(changes, entry)
    return {place: record for place, record in {**before, **changes.dirty}.items() if place not in changes.archived}


def hash_of(records: Records) -> str:
    """F5.10."""
    return state_hash((collection, key, record) for (collection, key), record in records.items())


def findings_of(records: Records) -> set[str]:
    """The slugs of all findings in a state."""
    return {finding["slug"] for record in records.values() for finding in record.get("findings", [])}


def differences(records: Records, expected: dict[str, Any]) -> list[str]:
    """Where a state is not as expected; shared/vectors/README.md has the rules of comparison."""
    found: list[str] = []
    for name, record in expected.items():
        collection, _, key = name.partition("/")
        have = records.get((collection, key))
        if have is None or record is None:
            if have is not record:
                found.append(f"{name}: {'absent' if have is None else 'present'}")
            continue
        for field, value in record.items():
            is_map = blank_records()[collection].get(field) == {}
            found += _compare(f"{name} {field}", have.get(field, "absent"), value, is_map)
    return found


def _compare(where: str, have: Any, want: Any, whole_keys: bool) -> list[str]:
    if isinstance(have, dict) and isinstance(want, dict):
        if whole_keys and have.keys() != want.keys():
            return [f"{where}: {sorted(have)} and not {sorted(want)}"]
        return [d for k in want for d in _compare(f"{where} {k}", have.get(k, "absent"), want[k], False)]
    if isinstance(have, list) and isinstance(want, list):
        if len(have) != len(want):
            return [f"{where}: {len(have)} and not {len(want)}"]
        pairs = zip(have, want, strict=True)
        return [d for i, (h, w) in enumerate(pairs) for d in _compare(f"{where} {i}", h, w, False)]
    return [] if have == want and type(have) is type(want) else [f"{where}: {have!r} and not {want!r}"]
