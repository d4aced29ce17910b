"""Reading events: whatever bytes come, the answer is an event or a reason (F2). The cases are in the vectors."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traymark.events.about import codes_of
from traymark.events.envelope import Event, Rejected, parse
from traymark.events.field_types import check_of, code_fields
from traymark.events.write import write_event
from traymark.tables import kinds, problems

NOTE: dict[str, Any] = {"note": "0123456789abcdef" * 4}
JOB = "J7K200002Y"

plain_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=20,
)


@given(st.binary())
def test_any_bytes_get_an_answer(raw: bytes) -> None:
    answer = parse(raw)
    assert isinstance(answer, Rejected)
    assert answer.slug in problems()


@given(st.sampled_from(sorted(kinds())), plain_json, st.dictionaries(st.text(), plain_json, max_size=3))
def test_any_body_and_any_extra_members_get_an_answer(kind: str, body: Any, more: dict[str, Any]) -> None:
    event = {"v": 1, "kind": kind, "station": "S001", "incarnation": "7K2", "seq": 1, "staff": None, "at_ms": 0}
    answer = parse(json.dumps({**more, **event, "job": JOB, "body": body}).encode())
    assert isinstance(answer, Event) or answer.slug in problems()


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=200))
def test_written_event_is_read_back_as_it_was(why: str) -> None:
    raw = write_event("final.begun", "S001", "7K2", 41, "W001", 5, JOB, {"round": 2, "why": why})
    event = parse(raw)
    assert event == Event(1, "final.begun", "S001", "7K2", 41, "W001", 5, JOB, {"round": 2, "why": why})
    assert event.id == "7K2.41"


def test_body_that_came_before_is_judged_as_the_first_time() -> None:
    """Short bodies are remembered; by kind and by whether there is a job."""

    def answer(kind: str, job: str | None, body: dict[str, Any]) -> Event | Rejected:
        return parse(write_event(kind, "S001", "7K2", 1, "W001", 5, job, body))

    for _ in range(3):
        assert isinstance(answer("note.added", JOB, NOTE), Event)
        assert answer("note.added", None, NOTE) == Rejected("envelope-field", "/job")
        assert answer("step.done", JOB, NOTE) == Rejected("missing-field", "/body/step")
        assert answer("note.added", JOB, {"note": ""}) == Rejected("bad-field", "/body/note")
        unknown = answer("note.withdrawn", JOB, NOTE)
        assert isinstance(unknown, Event) and not unknown.known


def test_no_two_events_share_a_list() -> None:
    """The fold puts lists into records as they are, and changes records in place."""
    body = {"indicator": "untouched", "signs": [], "photos": []}
    raw = write_event("liquid.inspected", "S001", "7K2", 1, "W001", 5, JOB, body)
    one, other = parse(raw), parse(raw)
    assert isinstance(one, Event) and isinstance(other, Event)
    assert one == other
    assert one.body["photos"] is not other.body["photos"]


def test_each_notation_of_the_table_can_be_compiled() -> None:
    notations = {notation for row in kinds().values() for notation in row["fields"].values()}
    assert all(check_of(notation)(object()) is False for notation in notations)


@pytest.mark.parametrize("notation", ["float", "text", "list(text)", "int(1)", "Text(5)", "enum(weather)", ""])
def test_notation_that_the_format_does_not_know_is_an_exception(notation: str) -> None:
    with pytest.raises((ValueError, KeyError)):
        check_of(notation)


def test_trace_finds_all_codes_once_with_the_job_first() -> None:
    body = {"core": "C7K200002Y", "replaced_by": "P7K200002Y", "name": "x", "photos": []}
    event = Event(1, "core.tagged", "S001", "7K2", 1, None, 0, JOB, body)
    assert codes_of(event) == (JOB, "C7K200002Y", "P7K200002Y")


def test_trace_takes_codes_out_of_lists_and_places() -> None:
    sealed = Event(1, "box.sealed", "S001", "7K2", 1, None, 0, None, {"box": "B1", "cores": ["C1", "P1", "C1"]})
    assert set(codes_of(sealed)) >= {"C1", "P1"}
    moved = {"thing": "T7K200002Y", "to": "shelf", "after": []}
    assert codes_of(Event(1, "thing.moved", "S001", "7K2", 1, None, 0, None, moved)) == ("T7K200002Y",)
    moved["to"] = "B7K200002Y"
    assert codes_of(Event(1, "thing.moved", "S001", "7K2", 1, None, 0, None, moved)) == ("T7K200002Y", "B7K200002Y")


def test_unknown_event_is_about_its_job_alone() -> None:
    event = Event(2, "core.tagged", "S001", "7K2", 1, None, 0, JOB, {"core": "C7K200002Y"}, known=False)
    assert codes_of(event) == (JOB,)


def test_only_fields_that_can_hold_codes_are_searched() -> None:
    fields = {"a": "code(P)", "b?": "place", "c": "list(code(C,P),500)", "d": "text(5)", "e": "list(slug,3)"}
    assert code_fields(fields) == (("a", False), ("b", False), ("c", True))
