"""A shop with years behind it: jobs that were over long ago, written before its server starts."""

from dataclasses import dataclass

from tests.browser.shop import Shop
from traymark.app import DATABASE
from traymark.demo.virtual_station import VirtualStation
from traymark.docs.keep import put_doc
from traymark.housekeeping.put_away import put_away
from traymark.log.store import Store
from traymark.refused import Refused
from traymark.rules.putting_away import DAY_MS

IMEI = "490154203237518"
"""A worked example of the check digit: 3GPP TS 23.003 and common test sets; from memory."""
CUSTOMER = "Ilse Marrow"
COMPLAINT = "Falls asleep in the cold."
_LONG_AGO_MS = 60 * DAY_MS


@dataclass(frozen=True)
class OldJob:
    """The codes by which a job of long ago is found."""

    code: str
    device: str
    ticket: str


def past(shop: Shop, count: int, now_ms: int) -> list[OldJob]:
    """Write so many jobs of long ago, and put them away. The server must not run. The first one has cards."""
    store = Store(shop.server.data_dir / DATABASE)
    try:
        then_ms = now_ms - _LONG_AGO_MS
        station = VirtualStation(store, "Old counter", "counter", then_ms)
        station.write("station.began", None, then_ms, None, {"reason": "joined"})
        jobs = [_written(station, n, then_ms + n) for n in range(count)]
        for name, kind, body in (
            (_card(0), "device", {"imei": IMEI, "model": "Quillet 5"}), (_contact(0), "contact", {"name": CUSTOMER}),
        ):  # fmt: skip
            assert not isinstance(put_doc(store, name, kind, body), Refused)
        station.push_all(then_ms)
        assert put_away(store, now_ms) >= count
        return jobs
    finally:
        store.close()


def put_away_later(shop: Shop, now_ms: int) -> set[str]:
    """Put away what will be over in a month; the server must not run. The codes of all jobs that are away."""
    store = Store(shop.server.data_dir / DATABASE)
    try:
        put_away(store, now_ms + 31 * DAY_MS)
        with store.database.read() as connection:
            rows = connection.exec_driver_sql("SELECT key FROM archive WHERE collection = 'job'")
            return {row[0] for row in rows}
    finally:
        store.close()


def _written(station: VirtualStation, number: int, at_ms: int) -> OldJob:
    job = OldJob(station.mint("J"), station.mint("D"), f"{number:026}")
    booked = {
        "device": job.device, "card": _card(number), "contact": _contact(number), "model": "Quillet 5",
        "complaint": COMPLAINT, "lock": "unlocked", "consents": [], "promised_at_ms": at_ms, "ticket": job.ticket,
    }  # fmt: skip
    for kind, body in (
        ("job.booked", booked),
        ("job.started", {"procedure": "quillet5-display", "revision": 1}),
        ("leftover.checked", {"photos": [], "traces": "none"}),
        ("job.handed_over", {"device": job.device, "checked": "scanned"}),
    ):
        station.write(kind, None, at_ms, job.code, body)
    station.write("thing.moved", None, at_ms, None, {"thing": job.device, "to": "customer", "after": []})
    return job


def _card(number: int) -> str:
    return f"card{number:016}"


def _contact(number: int) -> str:
    return f"name{number:016}"
