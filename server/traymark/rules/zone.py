"""The shop's time zone by its name."""

from datetime import tzinfo
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

# Of a machine that was never set, and of the machine itself: browsers know neither.
_NO_PLACE = ("factory", "localtime")


def zone_of(name: str) -> tzinfo | None:
    """The zone, its name in any letter case, as browsers read it; None when there is none of this name."""
    try:
        return ZoneInfo(_spelled()[name.lower()])
    except (KeyError, ZoneInfoNotFoundError, ValueError, OSError):
        return None


def is_zone(name: str) -> bool:
    return zone_of(name) is not None


@cache
def _spelled() -> dict[str, str]:
    return {name.lower(): name for name in available_timezones() if name.lower() not in _NO_PLACE}
