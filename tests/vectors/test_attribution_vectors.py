"""Python explains the three results of a test point as the vectors say."""

from itertools import product

from tests.vectors.vector_files import vectors
from traymark.rules.attribution import attribute
from traymark.tables import table

(VECTOR,) = vectors("attribution")
RESULTS = ("pass", "fail", "cannot", "none")


def test_each_triple_of_results_has_its_verdict() -> None:
    wrong = [row for row in VECTOR["rows"] if attribute(row["intake"], row["prefit"], row["final"]) != row["expect"]]
    assert wrong == []


def test_each_triple_of_results_is_listed_once() -> None:
    listed = [(row["intake"], row["prefit"], row["final"]) for row in VECTOR["rows"]]
    assert sorted(listed) == sorted(product(RESULTS, repeat=3))


def test_each_verdict_is_reached() -> None:
    assert {row["expect"] for row in VECTOR["rows"]} == set(table("attribution")["verdicts"])
