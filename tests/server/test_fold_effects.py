"""Effect rows are compiled once; a row that FORMAT.md does not define is a bug, not an effect."""

import pytest

from traymark.events.envelope import Event
from traymark.fold.changes import Changes, Record
from traymark.fold.effects import compile_effect
from traymark.tables import blank_records

EVENT = Event(1, "note.added", "S001", "7K2", 4, "W001", 5, "J7K200002Y", {"step": "off", "n": 3})


def test_unknown_operation_is_an_exception() -> None:
    with pytest.raises(KeyError):
        compile_effect({"op": "shout", "on": "job", "key": "@job"})


def test_unknown_rule_is_an_exception() -> None:
    with pytest.raises(KeyError):
        compile_effect({"op": "require", "on": "job", "key": "@job", "rule": "nice_weather"})


def test_event_id_can_be_a_value() -> None:
    changes = Changes()
    compile_effect({"op": "set", "on": "job", "key": "@job", "values": {"ticket": "@event"}})(changes, EVENT)
    assert changes.record("job", "J7K200002Y")["ticket"] == "7K2.4"


def test_numbers_and_fields_are_counted_together() -> None:
    changes = Changes()
    row = {"op": "count", "on": "job", "key": "@job", "to": "ledger", "at": ["step"], "add": {"out": 1, "back": "n"}}
    compile_effect(row)(changes, EVENT)
    compile_effect(row)(changes, EVENT)
    assert changes.record("job", "J7K200002Y")["ledger"] == {"off": {"out": 2, "back": 6}}


def test_record_is_copied_when_first_touched_and_what_was_read_stays() -> None:
    held: Record = {"notes": [{"note": "x"}], "marks": {"m": {"what": "dent"}}}
    changes = Changes(lambda _collection, _key: held)
    record = changes.record("job", "J7K200002Y")
    record["notes"].append({})
    record["marks"]["m"]["what"] = "chip"
    assert held == {"notes": [{"note": "x"}], "marks": {"m": {"what": "dent"}}}
    assert changes.record("job", "J7K200002Y") is record
    assert changes.look("job", "J7K200002Y") is record


def test_looking_makes_no_record() -> None:
    changes = Changes()
    assert changes.look("thing", "T7K200002Y") is None
    assert changes.dirty == {}


def test_new_record_does_not_share_the_blank_one() -> None:
    changes = Changes()
    changes.record("job", "J7K200002Y")["notes"].append({})
    assert blank_records()["job"]["notes"] == []
    assert changes.record("job", "J9QX00002Z")["notes"] == []
