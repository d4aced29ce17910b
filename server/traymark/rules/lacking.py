"""Test points that a model does not have (shared/test_points.json)."""

from traymark.fold.records_gen import JobFinalTests
from traymark.tables import table


def is_lacking(reading: JobFinalTests | None) -> bool:
    """Whether a reading says that the model does not have it."""
    return reading is not None and reading["result"] == "cannot" and reading["because"] == "lacking"


def points_of_some_models() -> list[str]:
    """Points that not every model has."""
    return [point for point, row in table("test_points")["points"].items() if row.get("some_models")]
