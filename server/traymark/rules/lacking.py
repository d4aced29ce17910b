"""Test points that a model does not have (shared/test_points.json)."""

from typing import cast

from traymark.fold.records_gen import JobFinalTests
from traymark.tables import table


def is_lacking(reading: JobFinalTests | None) -> bool:
    """Whether a reading says that the model does not have it, whatever follows in its reason."""
    if reading is None or reading["result"] != "cannot":
        return False
    return str(reading["why"] or "").startswith(lacking_why())


def lacking_why() -> str:
    """The reason written on such a reading."""
    return cast(str, table("test_points")["lacking"]["reason"])


def points_of_some_models() -> list[str]:
    """Points that not every model has."""
    return [point for point, row in table("test_points")["points"].items() if row.get("some_models")]
