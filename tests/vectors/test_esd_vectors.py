"""Which static check counted for work is found in Python as the vectors say (shared/esd.json)."""

from dataclasses import asdict

import pytest

from tests.vectors.vector_files import Vector, vectors
from traymark.rules.esd import interval_of, is_under_advice, passes, stands, work_days
from traymark.tables import table

VECTORS = vectors("esd")


@pytest.mark.parametrize("vector", VECTORS, ids=[v["name"] for v in VECTORS])
def test_checks_count_as_the_vector_says(vector: Vector) -> None:
    found = work_days(vector["moments"], vector["checks"], vector["interval"], vector["time_zone"])
    assert [{**asdict(day), "checks": list(day.checks)} for day in found] == vector["expect"]


def test_each_interval_is_in_a_vector() -> None:
    assert {v["interval"] for v in VECTORS} == set(table("esd")["intervals"])


def test_each_check_names_intervals_that_are_there() -> None:
    for check in table("esd")["checks"].values():
        assert set(check["intervals"]) <= set(table("esd")["intervals"])
        assert check["default"] in check["intervals"]


def test_a_setting_that_is_missing_or_unknown_is_the_default() -> None:
    assert interval_of("wrist_strap", {}) == interval_of("wrist_strap", {"strap_interval": "never"}) == "day"
    assert interval_of("wrist_strap", {"strap_interval": "hours_8"}) == "hours_8"
    assert interval_of("mat", {"mat_interval": "hours_8"}) == "month"


def test_at_every_sign_on_a_check_stands_until_the_next() -> None:
    assert stands(1_000, 2_000, "sign_on", "UTC", 1_000)
    assert not stands(999, 2_000, "sign_on", "UTC", 1_000)


def test_the_limit_itself_fails() -> None:
    for check in table("esd")["checks"].values():
        assert not passes(check["below_ohms"], check["below_ohms"])
        assert passes(check["below_ohms"] - 1, check["below_ohms"])
    assert is_under_advice("mat", 9_999) and not is_under_advice("mat", 10_000)
    assert not is_under_advice("wrist_strap", 0)
