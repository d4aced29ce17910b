"""Vectors of the pre-fit test are well formed and reach everything in the table. Only the app has the rule itself."""

from tests.vectors.vector_files import vectors
from traymark.tables import table

VECTORS = vectors("prefit")


def test_everything_that_can_follow_is_expected_by_a_vector() -> None:
    assert {vector["expect"] for vector in VECTORS} == {row["next"] for row in table("prefit")["rows"]}


def test_no_vector_has_more_tries_than_allowed() -> None:
    assert max(len(vector["tries"]) for vector in VECTORS) == table("prefit")["most_tries"]
