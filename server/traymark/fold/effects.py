"""The operations that effect rows of events.json name, compiled once per row (F5.3 to F5.7, F6)."""

from collections.abc import Callable
from typing import Any

from traymark.events.envelope import Event
from traymark.fold.draft import Draft, Record
from traymark.fold.require import RULES
from traymark.tables import stages

Effect = Callable[[Draft, Event], None]
Value = Callable[[Event], Any]
Row = dict[str, Any]


def compile_effect(row: Row) -> Effect:
    """One row as a function. Raises KeyError for an operation that F5.6 does not know."""
    key, collection, act = _value(row.get("key", "@job")), row["on"], _OPERATIONS[row["op"]](row)
    conditions = [_condition(c) for c in row.get("when", ())]

    def effect(draft: Draft, event: Event) -> None:
        name = key(event)
        if name is None or (conditions and not any(c(event) for c in conditions)):
            return
        act(draft, draft.record(collection, name), event)

    return effect


Act = Callable[[Draft, Record, Event], None]


def _set(row: Row) -> Act:
    values = _values(row)

    def act(_: Draft, record: Record, event: Event) -> None:
        for name, value in values:
            record[name] = value(event)

    return act


def _stamp(row: Row) -> Act:
    values, to = _values(row), row["to"]

    def act(_: Draft, record: Record, event: Event) -> None:
        record[to] = _stamped(values, event)

    return act


def _list(row: Row) -> Act:
    values, to = _values(row), row["to"]

    def act(_: Draft, record: Record, event: Event) -> None:
        record[to].append(_stamped(values, event))

    return act


def _map(row: Row) -> Act:
    values, to, at = _values(row), row["to"], row["at"]

    def act(_: Draft, record: Record, event: Event) -> None:
        record[to][_joined(at, event)] = _stamped(values, event)

    return act


def _drop(row: Row) -> Act:
    to, at = row["to"], row["at"]

    def act(_: Draft, record: Record, event: Event) -> None:
        record[to].pop(_joined(at, event), None)

    return act


def _count(row: Row) -> Act:
    to, at = row["to"], row["at"]
    add: list[tuple[str, str | int]] = list(row["add"].items())

    def act(_: Draft, record: Record, event: Event) -> None:
        counters = record[to].setdefault(_joined(at, event), {})
        for name, by in add:
            counters[name] = counters.get(name, 0) + (by if isinstance(by, int) else event.body[by])

    return act


def _stage(row: Row) -> Act:
    to = row["to"]

    def act(_: Draft, record: Record, event: Event) -> None:
        _go(record, to, event)

    return act


def _stop(row: Row) -> Act:
    reason = row["reason"]

    def act(_: Draft, record: Record, event: Event) -> None:
        if _go(record, "stopped", event):
            why = event.body["reason"] if reason == "@reason" else reason
            record["stop"] = {"reason": why, "event": event.id, "staff": event.staff, "at_ms": event.at_ms}

    return act


def _lift(_: Row) -> Act:
    def act(_: Draft, record: Record, event: Event) -> None:
        if record["stop"] is None or record["stage"] not in ("stopped", "ready"):
            record["findings"].append({"slug": "stage-not-allowed", "event": event.id})
            return
        record["stage"], record["stop"] = "bench", None

    return act


def _move(_: Row) -> Act:
    """F6.2."""

    def act(_: Draft, record: Record, event: Event) -> None:
        to, after, why = event.body["to"], event.body["after"], event.body.get("why")
        heads = {k: v for k, v in record["heads"].items() if k not in after}
        heads[event.id] = {"to": to, "staff": event.staff, "at_ms": event.at_ms, "why": why}
        record["heads"] = heads

    return act


def _require(row: Row) -> Act:
    slug, holds = RULES[row["rule"]]

    def act(draft: Draft, record: Record, event: Event) -> None:
        if not holds(draft, record, event):
            record["findings"].append({"slug": slug, "event": event.id})

    return act


_OPERATIONS: dict[str, Callable[[Row], Act]] = {
    "set": _set, "stamp": _stamp, "list": _list, "map": _map, "drop": _drop, "count": _count,
    "stage": _stage, "stop": _stop, "lift": _lift, "move": _move, "require": _require,
}  # fmt: skip


def _go(record: Record, to: str, event: Event) -> bool:
    goes_round_stop = to == "bench" and record["stop"] is not None
    if to in stages()[record["stage"]]["next"] and not goes_round_stop:
        record["stage"] = to
        return True
    record["findings"].append({"slug": "stage-not-allowed", "event": event.id})
    return False


def _stamped(values: list[tuple[str, Value]], event: Event) -> Record:
    stamp: Record = {name: value(event) for name, value in values}
    stamp["event"], stamp["staff"], stamp["at_ms"] = event.id, event.staff, event.at_ms
    return stamp


def _joined(at: list[str], event: Event) -> str:
    body = event.body
    return body[at[0]] if len(at) == 1 else "/".join(body[name] for name in at)


def _values(row: Row) -> list[tuple[str, Value]]:
    return [(name, _value(source)) for name, source in row["values"].items()]


def _value(source: str) -> Value:
    """F5.4."""
    match source:
        case "@job":
            return lambda e: e.job
        case "@staff":
            return lambda e: e.staff
        case "@at":
            return lambda e: e.at_ms
        case "@event":
            return lambda e: e.id
        case "=true":
            return lambda _: True
        case _:
            return lambda e: e.body.get(source)


def _condition(row: Row) -> Callable[[Event], bool]:
    """F5.5."""
    field = row["field"]
    if "in" in row:
        allowed = frozenset(row["in"])
        return lambda e: e.body.get(field) in allowed
    if "kind" in row:
        kind = row["kind"]
        return lambda e: e.body[field][0] == kind
    return lambda e: e.body.get(field) not in (None, [])
