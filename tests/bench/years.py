"""A shop with years behind it, for bench_growth: whole jobs that were put away long ago, and some that are open."""

import sys
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import msgspec

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[2] / p) for p in (".", "server", "labels", "tests/server")]

from whole_jobs import Heads, Job, write_half_jobs, write_jobs

from traymark.app import DATABASE
from traymark.demo.virtual_station import VirtualStation
from traymark.docs.keep import keep_doc
from traymark.docs.shop import begin_shop
from traymark.docs.staff import add_staff
from traymark.housekeeping.put_away import put_away
from traymark.log.store import Store
from traymark.refused import Refused
from traymark.rules.putting_away import DAY_MS

OPEN_JOBS = 30
_AT_ONCE = 200
_TRAYS = 40
_LONG_AGO_MS = 400 * DAY_MS


class _Past(VirtualStation):
    """Sends what it writes as of long ago."""

    def __init__(self, store: Store, name: str, then_ms: int) -> None:
        super().__init__(store, name, "bench", then_ms)
        self._then_ms = then_ms
        # What whole_jobs asks of a station's chain: that it has begun.
        self.writer = SimpleNamespace(lines=["begun"])
        self.write("station.began", None, then_ms, None, {"reason": "joined"})

    def push_all(self, _now_ms: int) -> None:
        super().push_all(self._then_ms)


@dataclass(frozen=True)
class Years:
    """What can be found in the shop."""

    badge: str
    open: list[Job]
    """Each waits at the step `until`."""
    away: list[str]
    """Some that were put away."""


def build(folder: Path, jobs: int, until: str, now_ms: int) -> Years:
    """Write a shop with so many jobs behind it into a new folder."""
    folder.mkdir(parents=True)
    store = Store(folder / DATABASE)
    begin_shop(store, "Etc/UTC")
    badge = add_staff(store, "Fennick", "bench")
    assert not isinstance(badge, Refused)
    past: Any = _Past(store, "Bench of long ago", now_ms - _LONG_AGO_MS)
    away: list[str] = []
    trays = [past.mint("T") for _ in range(_TRAYS)]
    heads: Heads = {}
    for first in range(0, jobs, _AT_ONCE):
        count = min(_AT_ONCE, jobs - first)
        written = write_jobs(past, count, badge.staff, trays, heads)
        _ship(store, past, badge.staff)
        _cards(store, [job.code for job in written])
        put_away(store, now_ms)
        away = [job.code for job in written]
    present: Any = _Past(store, "Bench", now_ms)
    half = write_half_jobs(present, OPEN_JOBS, badge.staff, until)
    _cards(store, [job.code for job in half])
    store.close()
    return Years(badge.badge, half, away)


def _ship(store: Store, station: Any, staff: str) -> None:
    """Seal and send all boxes that are open."""
    with store.database.read() as connection:
        boxes = [row[0] for row in connection.exec_driver_sql("SELECT key FROM record WHERE collection = 'box'")]
    for box in boxes:
        station.write("box.sealed", staff, 0, None, {"box": box, "count": 25, "weight_g": 2_000, "cores": []})
        station.write("box.shipped", staff, 0, None, {"box": box})
    station.push_all(0)


def _cards(store: Store, jobs: list[str]) -> None:
    """A device and a customer for each of these jobs, under the refs that whole_jobs gave them."""
    with store.database.write() as connection:
        for code in jobs:
            job = store.record("job", code)
            assert job is not None and job["card"] and job["contact"]
            device = {"imei": code[1:10].ljust(15, "0"), "model": "Quillet 5"}
            contact = {"name": f"Customer of {code}", "phone": f"+00 {code}"}
            for id_, kind, body in ((job["card"], "device", device), (job["contact"], "contact", contact)):
                keep_doc(connection, id_, kind, msgspec.json.encode(body, order="sorted").decode())
