"""Static checks: which reading passes, how long a check counts, and which one counted for work (shared/esd.json)."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from typing import Any, Literal

from traymark.rules.zone import zone_of
from traymark.tables import table

Item = Literal["wrist_strap", "mat"]
Judged = Literal["passed", "low", "failed"]

_HOUR_MS = 3_600_000
# 9999-12-30, the last day that still has a next day in every time zone.
_LAST_MS = 253_402_128_000_000


@dataclass(frozen=True)
class WorkDay:
    """A calendar day of work: its first moment, the checks that counted, and the first moment without one."""

    first_ms: int
    checks: tuple[int, ...]
    """Indexes into the list of checks, in the order in which they were made."""
    without_ms: int | None


def judge(item: Item, ohms: int, limit_ohms: int) -> Judged:
    """A reading passes below its limit; the limit itself fails. It is low when it passes below the advised least."""
    if ohms >= limit_ohms:
        return "failed"
    return "low" if ohms < table("esd")["checks"][item].get("advised_from_ohms", 0) else "passed"


def interval_of(item: Item, settings: Mapping[str, Any]) -> str:
    """What the shop has set, or else the default. No interval means never."""
    check = table("esd")["checks"][item]
    kept = settings.get(check["setting"])
    return str(kept if kept in check["intervals"] else check["default"])


def stands(checked_ms: int, at_ms: int, interval: str, time_zone: str, signed_on_ms: int | None) -> bool:
    """Whether a check still counts at a moment. If no sign-on is known, "at every sign-on" counts for the day."""
    row = table("esd")["intervals"][interval]
    if checked_ms > at_ms:
        return False
    if "hours" in row:
        return at_ms - checked_ms < row["hours"] * _HOUR_MS
    if "days" not in row and signed_on_ms is not None:
        return checked_ms >= signed_on_ms
    zone = zone_of(time_zone) or UTC
    return _day(at_ms, zone) - _day(checked_ms, zone) < row.get("days", 1)


def work_days(moments: Iterable[int], checks: Sequence[int], interval: str, time_zone: str) -> list[WorkDay]:
    """Which checks counted for work at these moments: one entry per calendar day of the shop."""
    zone = zone_of(time_zone) or UTC
    days: dict[int, list[int]] = {}
    for moment in sorted(moments):
        days.setdefault(_day(moment, zone), []).append(moment)
    found: list[WorkDay] = []
    for day in days.values():
        last = [_last_before(checks, moment) for moment in day]
        counted = [
            n if n is not None and stands(checks[n], moment, interval, time_zone, None) else None
            for n, moment in zip(last, day, strict=True)
        ]
        without = next((moment for n, moment in zip(counted, day, strict=True) if n is None), None)
        found.append(WorkDay(day[0], tuple(dict.fromkeys(n for n in counted if n is not None)), without))
    return found


def _last_before(checks: Sequence[int], moment: int) -> int | None:
    before = [n for n, checked in enumerate(checks) if checked <= moment]
    return max(before, key=lambda n: (checks[n], n), default=None)


def _day(at_ms: int, zone: tzinfo) -> int:
    return datetime.fromtimestamp(min(at_ms, _LAST_MS) // 1000, tz=zone).toordinal()
