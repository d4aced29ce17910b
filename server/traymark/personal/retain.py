"""Keeping personal data only as long as the shop wants to: after that the server erases it by itself."""

from sqlalchemy import Connection

from traymark.docs.shop import shop_settings
from traymark.events.envelope import Event, parse
from traymark.log.erasing import is_erased_job
from traymark.log.facts import fact, keep_fact
from traymark.log.store import Store
from traymark.personal.belongings import JobHeld, job_held
from traymark.personal.erase import erase_jobs, finish_erasing
from traymark.rules.putting_away import DAY_MS
from traymark.stations.own_station import write_own

# A month of 31 days: never shorter than the calendar's.
MONTH_MS = 31 * DAY_MS
_MOST_AT_ONCE = 50
_MOST_LOOKED_AT = 5_000
_LOOKED_TO = "retained_to"
"""The fact (Meta) that says up to which position jobs that were put away have been dealt with."""

_NEXT = "SELECT position, kind, received_at_ms, raw FROM event WHERE position > ? ORDER BY position LIMIT ?"


def retain(store: Store, now_ms: int) -> int:
    """Erase what belongs to jobs that were put away so many months ago. Returns how many jobs.

    The log is walked once in all, a share at a time.
    """
    months = shop_settings(store).get("erase_after_months")
    if not months:
        return 0
    before_ms = now_ms - months * MONTH_MS
    total = 0
    while True:
        with store.changing() as (connection, changes):
            looked_to = int(fact(connection, _LOOKED_TO, lambda: "0"))
            due: list[JobHeld] = []
            to = looked_to
            for position, kind, received_at_ms, raw in connection.exec_driver_sql(_NEXT, (looked_to, _MOST_LOOKED_AT)):
                if received_at_ms >= before_ms or len(due) >= _MOST_AT_ONCE:
                    break
                to = position
                job = _put_away(connection, raw) if kind == "job.put_away" else None
                due += [] if job is None else [job]
            if due:
                write_own(connection, changes, erase_jobs(connection, due), now_ms)
            if to > looked_to:
                keep_fact(connection, _LOOKED_TO, str(to))
        if due:
            finish_erasing(store)
        if to == looked_to:
            return total
        total += len(due)


def _put_away(connection: Connection, raw: bytes) -> JobHeld | None:
    """The job that this event put away, unless it was erased already."""
    event = parse(raw)
    if not isinstance(event, Event) or event.job is None or is_erased_job(connection, event.job):
        return None
    return job_held(connection, event.job)
