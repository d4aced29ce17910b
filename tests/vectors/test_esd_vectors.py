"""Python finds which static check counted for work as the vectors say (shared/esd.json)."""

import csv
from dataclasses import asdict
from typing import Any

import pytest

from tests.vectors.vector_files import Vector, vector_dir, vectors
from traymark.rules.esd import interval_of, judge, stands, work_days
from traymark.tables import table

VECTORS = vectors("esd")


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_checks_count_as_the_vector_says(vector: Vector) -> None:
    found = work_days(vector["moments"], vector["checks"], vector["interval"], vector["time_zone"])
    assert [{**asdict(day), "checks": list(day.checks)} for day in found] == vector["expect"]


def test_each_interval_is_in_a_vector() -> None:
    assert {v["interval"] for v in VECTORS} == set(table("esd")["intervals"])


def test_each_check_names_intervals_that_exist() -> None:
    for check in table("esd")["checks"].values():
        assert set(check["intervals"]) <= set(table("esd")["intervals"])
        assert check["default"] in check["intervals"]


def test_a_setting_that_is_missing_or_unknown_is_the_default() -> None:
    assert interval_of("wrist_strap", {}) == interval_of("wrist_strap", {"strap_interval": "never"}) == "day"
    assert interval_of("wrist_strap", {"strap_interval": "hours_8"}) == "hours_8"
    assert interval_of("mat", {"mat_interval": "hours_8"}) == "month"


def test_at_every_sign_on_means_that_a_check_counts_until_the_next_sign_on() -> None:
    assert stands(1_000, 2_000, "sign_on", "UTC", 1_000)
    assert not stands(999, 2_000, "sign_on", "UTC", 1_000)


READINGS = list(csv.DictReader((vector_dir() / "esd/readings.csv").read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", READINGS, ids=lambda row: f"{row['item']}-{row['ohms']}")
def test_a_reading_is_judged_as_the_vector_says(row: dict[str, Any]) -> None:
    limit = table("esd")["checks"][row["item"]]["below_ohms"]
    assert judge(row["item"], int(row["ohms"]), limit) == row["judged"]


def test_readings_lie_at_and_beside_every_value_of_the_table() -> None:
    """The limit, the advised least, the whole numbers on either side of each, and no reading at all."""
    wanted = {
        (item, str(value + beside))
        for item, check in table("esd")["checks"].items()
        for value in (check["below_ohms"], check["advised_from_ohms"])
        for beside in (-1, 0, 1)
    }
    assert wanted | {("wrist_strap", "0"), ("mat", "0")} <= {(row["item"], row["ohms"]) for row in READINGS}


def test_a_reading_is_judged_by_the_limit_that_counted_when_it_was_measured() -> None:
    assert judge("wrist_strap", 1_000_000, 1_000_000) == "failed"
    assert judge("wrist_strap", 1_000_000, 1_000_001) == "passed"
