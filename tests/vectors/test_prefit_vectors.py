"""Vectors of the pre-fit test have their form and reach all that the table leads to. The rule itself is the app's."""

from tests.vectors.vector_files import vectors
from traymark.tables import table

VECTORS = vectors("prefit")


def test_everything_that_can_follow_is_expected_somewhere() -> None:
    assert {vector["expect"] for vector in VECTORS} == {row["next"] for row in table("prefit")["rows"]}


def test_no_vector_is_longer_than_there_are_tries() -> None:
    assert max(len(vector["tries"]) for vector in VECTORS) == table("prefit")["most_tries"]
