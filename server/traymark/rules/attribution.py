"""What the three results of a test point mean together (shared/attribution.json; common practice, no source)."""

from typing import Any, cast

from traymark.tables import table


def attribute(intake: str, prefit: str, final: str) -> str:
    """The verdict id for results `pass`, `fail`, `cannot` or `none`."""
    seen = {"intake": intake, "prefit": prefit, "final": final}
    for row in cast(list[dict[str, Any]], table("attribution")["rows"]):
        if all(value in row.get(stage, (value,)) for stage, value in seen.items()):
            return cast(str, row["verdict"])
    raise LookupError("the last row fits anything")
