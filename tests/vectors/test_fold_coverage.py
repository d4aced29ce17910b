"""The fold vectors exercise each kind, operation, condition, rule and stage move of the tables."""

from collections.abc import Iterator
from typing import Any

from tests.vectors.fold_runs import entry_of
from tests.vectors.vector_files import vectors
from traymark.events.envelope import Event
from traymark.fold.changes import Changes
from traymark.fold.fold import apply
from traymark.fold.require import RULES
from traymark.tables import kinds, stages


def applied() -> Iterator[tuple[Event, Changes, dict[str, Any] | None, dict[str, Any] | None]]:
    """Each event that had effects, with the changes so far and its job before and after."""
    for vector in vectors("fold"):
        changes = Changes()
        for row in vector["events"]:
            entry = entry_of(row)
            event = entry.event
            job = event.job if isinstance(event, Event) else None
            before = dict(changes.look("job", job) or {}) if job else None
            chain = changes.look("chain", entry.incarnation)
            is_new = chain is None or entry.seq > chain["seq"]
            apply(changes, entry)
            if isinstance(event, Event) and event.known and is_new:
                yield event, changes, before, dict(changes.look("job", job) or {}) if job else None


APPLIED = [(event, before, after) for event, _, before, after in applied()]


def test_each_kind_is_in_a_vector() -> None:
    assert {event.kind for event, _, _ in APPLIED} == set(kinds())


def test_an_unknown_kind_is_in_a_vector() -> None:
    events = [entry_of(row).event for vector in vectors("fold") for row in vector["events"]]
    assert any(isinstance(event, Event) and not event.known for event in events)


def test_each_optional_field_is_present_once_and_absent_once() -> None:
    for kind, row in kinds().items():
        bodies = [event.body for event, _, _ in APPLIED if event.kind == kind]
        for name in (n[:-1] for n in row["fields"] if n.endswith("?")):
            assert {name in body for body in bodies} == {True, False}, f"{kind} {name}"


def test_each_condition_holds_alone_or_with_others_and_all_fail_once() -> None:
    for kind, row in kinds().items():
        bodies = [event.body for event, _, _ in APPLIED if event.kind == kind]
        for effect in row["effects"]:
            conditions = effect.get("when", [])
            for condition in conditions:
                for value in condition.get("in", [None]):
                    assert any(holds(condition, body, value) for body in bodies), f"{kind} {condition} {value}"
            if conditions:
                assert any(not any(holds(c, body) for c in conditions) for body in bodies), f"{kind} {conditions}"


def test_each_rule_is_kept_once_and_broken_once() -> None:
    rules = {rule: set[bool]() for rule in RULES}
    for event, changes, _, _ in applied():
        for effect in kinds()[event.kind]["effects"]:
            if effect["op"] == "require":
                key = event.job if effect["key"] == "@job" else event.body[effect["key"]]
                finding = {"slug": RULES[effect["rule"]][0], "event": event.id}
                record = changes.look(effect["on"], key)
                rules[effect["rule"]].add(record is not None and finding in record["findings"])
    assert rules == {rule: {True, False} for rule in RULES}


def test_each_stage_move_that_an_event_can_ask_for_is_tried() -> None:
    asked = {
        e["to"] if e["op"] == "stage" else "stopped"
        for row in kinds().values()
        for e in row["effects"]
        if e["op"] in ("stage", "stop")
    }
    seen: set[tuple[str, str, bool]] = set()
    for event, before, after in APPLIED:
        for effect in kinds()[event.kind]["effects"]:
            if effect["op"] in ("stage", "stop") and not effect.get("when") and after is not None:
                start = (before or {}).get("stage", "booked")
                to = effect.get("to", "stopped")
                refused = {"slug": "stage-not-allowed", "event": event.id} in after["findings"]
                assert after["stage"] == (start if refused else to)
                if to == "bench" and start == "ready" and (before or {}).get("stop") is not None:
                    assert refused, "only lifting leads round a stop"
                    continue
                seen.add((start, to, refused))
    assert seen == {(a, to, to not in row["next"]) for a, row in stages().items() for to in asked}


def holds(condition: dict[str, Any], body: dict[str, Any], value: str | None = None) -> bool:
    """F5.5, written again for the tests; with `value`, only that one of a condition's values."""
    field = body.get(condition["field"])
    if "in" in condition:
        return field == value if value is not None else field in condition["in"]
    if "kind" in condition:
        return isinstance(field, str) and field[:1] == condition["kind"]
    return field is not None and field != []
