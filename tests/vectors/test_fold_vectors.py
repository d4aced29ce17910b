"""Python's fold arrives at what the vectors say (F5, F6)."""

import random
from typing import Any

import pytest

from tests.vectors.fold_runs import Records, differences, entry_of, findings_of, folded, hash_of
from tests.vectors.vector_files import Vector, vectors
from traymark.fold.changes import deepcopy_plain
from traymark.fold.fold import Entry

VECTORS = vectors("fold")
each = pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])


@each
def test_state_findings_and_hash_are_as_the_vector_says(vector: Vector) -> None:
    records = folded(entries(vector))
    assert differences(records, vector["state"]) == []
    assert findings_of(records) == (set() if vector["expect"] == "clean" else {vector["expect"]})
    assert hash_of(records) == vector["hash"]


@each
def test_order_of_arrival_does_not_matter_once_ordered_by_position(vector: Vector) -> None:
    placed = list(enumerate(entries(vector), start=1))
    shuffled = placed * 2
    random.Random(vector["name"]).shuffle(shuffled)
    for arrived in (placed[::-1], shuffled):
        ordered = [entry for _, entry in sorted(arrived, key=lambda p: p[0])]
        assert hash_of(folded(ordered)) == vector["hash"]


@each
def test_folding_resumes_from_any_point_and_leaves_the_earlier_state_unchanged(vector: Vector) -> None:
    all_entries = entries(vector)
    for at in range(len(all_entries) + 1):
        base = folded(all_entries[:at])
        before: Records = {key: deepcopy_plain(record) for key, record in base.items()}
        assert hash_of(folded(all_entries[at:], base)) == vector["hash"]
        assert base == before


def test_a_state_that_differs_is_reported() -> None:
    records: Records = {
        ("job", "J1"): {"stage": "bench", "steps": {"off": {"event": "A"}}, "notes": [], "booked": True}
    }
    wrong: list[dict[str, Any]] = [
        {"job/J1": {"stage": "ready"}},
        {"job/J1": {"steps": {}}},
        {"job/J1": {"steps": {"off": {"event": "B"}}}},
        {"job/J1": {"notes": [{}]}},
        {"job/J1": {"booked": 1}},
        {"job/J1": {"device": None}},
        {"job/J1": None},
        {"job/J2": {}},
    ]
    assert [len(differences(records, state)) for state in wrong] == [1] * len(wrong)
    assert differences(records, {"job/J1": {"stage": "bench", "steps": {"off": {}}}, "job/J2": None}) == []


def entries(vector: Vector) -> list[Entry]:
    """The vector's log, in order."""
    return [entry_of(row) for row in vector["events"]]
