"""Python says what came of a job as the vectors do."""

import pytest

from tests.vectors.vector_files import Vector, vectors
from traymark.rules.outcome import DONE, outcome, reason_told
from traymark.tables import blank_records, table

ALL = vectors("outcome")


@pytest.mark.parametrize("vector", ALL, ids=lambda vector: vector["name"])
def test_outcome_is_as_the_vector_says(vector: Vector) -> None:
    job = blank_records()["job"] | vector["job"]
    assert (outcome(job), reason_told(job)) == (vector["expect"], vector["reason"])


def test_each_outcome_has_words_and_is_reached() -> None:
    assert {vector["expect"] for vector in ALL} == set(table("record")["outcomes"])
    assert set(DONE) < set(table("record")["outcomes"])


def test_each_reason_has_words() -> None:
    known = set(table("record")["reasons"]) | set(table("stages")["stop_reasons"])
    assert {vector["reason"] for vector in ALL} - {None} <= known
    assert set(table("record")["reasons"]) <= {vector["reason"] for vector in ALL}
