"""Testing a device that stays locked (shared/test_points.json; common practice, no source)."""

from collections.abc import Sequence

from traymark.fold.records_gen import JobFinalTests
from traymark.tables import table


def barred_points() -> dict[str, str]:
    """Points that cannot be tested at all while the device stays locked, each with the reason on its reading."""
    words = table("test_points")
    return {
        point: f"{words['locked']['reason']}. {row['locked']['why']}"
        for point, row in words["points"].items()
        if row["locked"]["test"] == "none"
    }


def is_not_shown(readings: Sequence[JobFinalTests | None]) -> bool:
    """Whether the latest of a point's readings, in the order of the stages, says that the lock barred it."""
    latest = next((reading for reading in reversed(readings) if reading is not None), None)
    if latest is None or latest["result"] != "cannot":
        return False
    return str(latest["why"] or "").startswith(table("test_points")["locked"]["reason"])
