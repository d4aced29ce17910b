"""Python reads bytes as the vectors say (F2)."""

import pytest

from tests.vectors.vector_files import Vector, vectors, whole
from traymark.events.envelope import Rejected, parse

VECTORS = vectors("envelope")


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_bytes_are_judged_as_the_vector_says(vector: Vector) -> None:
    event = parse(whole(vector["bytes"]))
    if isinstance(event, Rejected):
        assert (event.slug, event.pointer) == (vector["expect"], vector["pointer"])
    else:
        assert ("event" if event.known else "unknown", "") == (vector["expect"], vector["pointer"])


def test_each_reason_for_refusal_is_in_a_vector() -> None:
    faults = {"event-not-json", "event-too-large", "envelope-field", "unknown-field", "missing-field", "bad-field"}
    assert {vector["expect"] for vector in VECTORS} == faults | {"event", "unknown"}
