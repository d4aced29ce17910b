"""Testing a device that stays locked (shared/test_points.json; common practice, no source)."""

from collections.abc import Sequence

from traymark.fold.records_gen import JobFinalTests
from traymark.tables import table


def barred_points() -> dict[str, str]:
    """Points that cannot be tested at all while the device stays locked, each with what stands in the way."""
    points = table("test_points")["points"]
    return {point: row["locked"]["why"] for point, row in points.items() if row["locked"]["test"] == "none"}


def is_not_shown(readings: Sequence[JobFinalTests | None]) -> bool:
    """Whether the latest of a point's readings, in the order of the stages, says that the lock barred it."""
    latest = next((reading for reading in reversed(readings) if reading is not None), None)
    return latest is not None and latest["result"] == "cannot" and latest["because"] == "locked"
