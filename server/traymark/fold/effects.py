"""The operations that effect rows of events.json name, compiled once per row (F5.3 to F5.7, F6)."""

import sys
from collections.abc import Callable
from operator import attrgetter, itemgetter
from typing import Any

from traymark.events.envelope import Event
from traymark.fold.changes import Archive, Changes, Record
from traymark.fold.require import RULES
from traymark.tables import stages

Effect = Callable[[Changes, Event], None]
Value = Callable[[Event], Any]
Row = dict[str, Any]


def compile_effect(row: Row) -> Effect:
    """One row as a function. Raises KeyError for an operation that F5.6 does not list."""
    if row["op"] == "away":
        return _away(row)
    key, collection, act = _value(row.get("key", "@job")), row["on"], _OPERATIONS[row["op"]](row)
    conditions = [_condition(c) for c in row.get("when", ())]

    def effect(changes: Changes, event: Event) -> None:
        name = key(event)
        if name is None:
            return
        # Most records were touched already, and a look-up costs less than a call.
        held = changes.dirty.get((collection, name))
        if held is not None:
            act(changes, held, event)
        elif changes.is_away(collection, name):
            _come_late(changes, collection, name, act, event)
        else:
            act(changes, changes.record(collection, name), event)

    def effect_when(changes: Changes, event: Event) -> None:
        if any(c(event) for c in conditions):
            effect(changes, event)

    return effect_when if conditions else effect


Act = Callable[[Changes, Record, Event], None]


def _away(row: Row) -> Effect:
    """F5.11."""
    key = _value(row["key"])

    def effect(changes: Changes, event: Event) -> None:
        named: str | list[str] = key(event)
        for code in [named] if isinstance(named, str) else named:
            changes.put_away(code)

    return effect


def _come_late(changes: Changes, collection: str, name: str, act: Act, event: Event) -> None:
    """F5.12."""
    late = changes.record("chain", event.incarnation)["late"]
    late.setdefault(event.id, {"code": name, "event": event.id, "staff": event.staff, "at_ms": event.at_ms})
    archive = Archive(changes)
    act(archive, archive.record(collection, name), event)


def _set(row: Row) -> Act:
    fill = _filler(row)
    return lambda _, record, event: fill(record, event)


def _stamp(row: Row) -> Act:
    stamp, to = _stamper(row), row["to"]

    def act(_: Changes, record: Record, event: Event) -> None:
        record[to] = stamp(event)

    return act


def _list(row: Row) -> Act:
    stamp, to = _stamper(row), row["to"]
    most: int = row.get("most", sys.maxsize)

    def act(_: Changes, record: Record, event: Event) -> None:
        held = record[to]
        held.append(stamp(event))
        if len(held) > most:
            del held[0]

    return act


def _recall(row: Row) -> Act:
    to, collection, name_of, kept = row["to"], row["from"], _value(row["of"]), row["list"]

    def act(changes: Changes, record: Record, event: Event) -> None:
        name = name_of(event)
        held = None if name is None else changes.look(collection, name)
        before = [one for one in (held[kept] if held else ()) if one["at_ms"] <= event.at_ms]
        if before:
            last = max(enumerate(before), key=lambda found: (found[1]["at_ms"], found[0]))[1]
            record[to][last["event"]] = last | {"of": name}

    return act


def _map(row: Row) -> Act:
    stamp, to, at = _stamper(row), row["to"], _joiner(row)

    def act(_: Changes, record: Record, event: Event) -> None:
        record[to][at(event.body)] = stamp(event)

    return act


def _drop(row: Row) -> Act:
    to, at = row["to"], _joiner(row)

    def act(_: Changes, record: Record, event: Event) -> None:
        record[to].pop(at(event.body), None)

    return act


def _count(row: Row) -> Act:
    to, at = row["to"], _joiner(row)
    add: list[tuple[str, str | int]] = list(row["add"].items())

    def act(_: Changes, record: Record, event: Event) -> None:
        counters = record[to].setdefault(at(event.body), {})
        for name, by in add:
            counters[name] = counters.get(name, 0) + (by if isinstance(by, int) else event.body[by])

    return act


def _stage(row: Row) -> Act:
    to = row["to"]

    def act(_: Changes, record: Record, event: Event) -> None:
        _go(record, to, event)

    return act


def _stop(row: Row) -> Act:
    reason, unless = row["reason"], row.get("unless")

    def act(_: Changes, record: Record, event: Event) -> None:
        if unless is not None and record[unless] is not None:
            return
        if _go(record, "stopped", event):
            why = event.body["reason"] if reason == "@reason" else reason
            record["stop"] = {"reason": why, "event": event.id, "staff": event.staff, "at_ms": event.at_ms}

    return act


def _lift(_: Row) -> Act:
    def act(_: Changes, record: Record, event: Event) -> None:
        if record["stop"] is None or record["stage"] not in ("stopped", "ready"):
            record["findings"].append({"slug": "stage-not-allowed", "event": event.id})
            return
        record["stage"], record["stop"] = "bench", None

    return act


def _move(_: Row) -> Act:
    """F6.2."""

    def act(_: Changes, record: Record, event: Event) -> None:
        to, after, why = event.body["to"], event.body["after"], event.body.get("why")
        heads = {k: v for k, v in record["heads"].items() if k not in after}
        heads[event.id] = {"to": to, "staff": event.staff, "at_ms": event.at_ms, "why": why}
        record["heads"] = heads

    return act


def _require(row: Row) -> Act:
    slug, holds = RULES[row["rule"]]

    def act(changes: Changes, record: Record, event: Event) -> None:
        if not holds(changes, record, event):
            record["findings"].append({"slug": slug, "event": event.id})

    return act


_OPERATIONS: dict[str, Callable[[Row], Act]] = {
    "set": _set, "stamp": _stamp, "list": _list, "recall": _recall, "map": _map, "drop": _drop, "count": _count,
    "stage": _stage, "stop": _stop, "lift": _lift, "move": _move, "require": _require,
}  # fmt: skip


def _go(record: Record, to: str, event: Event) -> bool:
    goes_round_stop = to == "bench" and record["stop"] is not None
    if to in stages()[record["stage"]]["next"] and not goes_round_stop:
        record["stage"] = to
        return True
    record["findings"].append({"slug": "stage-not-allowed", "event": event.id})
    return False


Fill = Callable[[Record, Event], None]
Stamp = Callable[[Event], Record]


def _filler(row: Row) -> Fill:
    """A function that writes a row's values into a record."""
    from_body, others = _sources(row)

    def fill(into: Record, event: Event) -> None:
        get = event.body.get
        for name, field in from_body:
            into[name] = get(field)
        for name, value in others:
            into[name] = value(event)

    return fill


def _stamper(row: Row) -> Stamp:
    """What makes a stamp of a row's values."""
    from_body, others = _sources(row)

    def stamp(event: Event) -> Record:
        get = event.body.get
        made = {"event": event.id, "staff": event.staff, "at_ms": event.at_ms}
        for name, field in from_body:
            made[name] = get(field)
        for name, value in others:
            made[name] = value(event)
        return made

    return stamp


def _sources(row: Row) -> tuple[list[tuple[str, str]], list[tuple[str, Value]]]:
    """The names and sources of a row's values: fields of the body, which most are, and the others."""
    values: dict[str, str] = row["values"]
    from_body = [(name, source) for name, source in values.items() if source[0] not in "@="]
    others = [(name, _value(source)) for name, source in values.items() if source[0] in "@="]
    return from_body, others


def _joiner(row: Row) -> Callable[[dict[str, Any]], str]:
    """A function that reads a map's key from a body."""
    at: list[str] = row["at"]
    read, form = itemgetter(*at), "/".join("%s" for _ in at)
    return read if len(at) == 1 else lambda body: form % read(body)


def _value(source: str) -> Value:
    """F5.4."""
    match source:
        case "@job":
            return attrgetter("job")
        case "@staff":
            return attrgetter("staff")
        case "@station":
            return attrgetter("station")
        case "@at":
            return attrgetter("at_ms")
        case "@event":
            return attrgetter("id")
        case "=true":
            return lambda _: True
        case "=null":
            return lambda _: None
        case _ if source.startswith("="):
            return lambda _: source[1:]
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
