"""The shop's time zone by its name."""

from datetime import tzinfo
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones


def zone_of(name: str) -> tzinfo | None:
    """The zone, its name in any letter case, as browsers read it; None when there is none of this name."""
    try:
        return ZoneInfo(_spelled().get(name.lower(), name))
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None


@cache
def _spelled() -> dict[str, str]:
    return {name.lower(): name for name in available_timezones()}
