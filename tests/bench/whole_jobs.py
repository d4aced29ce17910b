"""Whole repairs as `traymark demo` tells them, some 180 events each, written by one station without a server.

Some twenty of them are under way at any time, in the order of time, as in a busy shop.

    python tests/bench/whole_jobs.py STATION INCARNATION JOBS    # prints their events, a line each
"""

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from itertools import repeat
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "server"))

from shop_events import Writer

from traymark.demo import shop
from traymark.demo.bench import Hands, JobStory
from traymark.demo.plan import Plan
from traymark.docs.shop import shared_procedures
from traymark.events.texts import taken_out
from traymark.events.write import write_event
from traymark.tables import kinds
from traymark_labels.codes import mint

AT_MS = 1_795_000_000_000
APART_MS = 4 * 60_000
"""A job is booked every so often; it takes about 80 minutes of work."""
PHOTOS = 5
SUPPLIER = "fernwick"
FAILING = {"touch": "Dead strip at the top.", "glass": "Cracked from the corner."}
NOT_HERE = {"cellular": "no_sim", "charging_wireless": "No pad at the counter."}


@dataclass(frozen=True)
class Job:
    """The codes by which a job is found."""

    code: str
    tray: str


class Station:
    """A chain of its own, and the codes minted in it."""

    def __init__(self, writer: Writer) -> None:
        self.id, self.incarnation, self.writer = writer.station, writer.incarnation, writer
        self._next_counter = 1

    def mint(self, kind: str) -> str:
        minted = mint(kind, self.incarnation, self._next_counter)
        self._next_counter = minted.next_counter
        return minted.code

    def write(self, kind: str, staff: str | None, at_ms: int, job: str | None, body: dict[str, Any]) -> str:
        seq = len(self.writer.lines) + 1
        named, texts = taken_out(kind, job, body, repeat("0" * 26))
        self.writer.texts += texts
        self.writer.keep(write_event(kind, self.id, self.incarnation, seq, staff, at_ms, job, named))
        return f"{self.incarnation}.{seq}"

    def push_all(self, _now_ms: int) -> None:
        """Nothing is sent: the lines stay in `writer`."""


Heads = dict[str, list[str]]
"""The last moves of things, by code."""


def write_jobs(
    station: Station, count: int, staff: str = "W001", trays: Sequence[str] = (), heads: Heads | None = None
) -> list[Job]:
    """Finished jobs, all of them by one person at one station; on these trays in turn, else each on one of its own.

    `heads` are those of the trays, and are kept up to date.
    """
    return _written(station, count, staff, (shop.DISPLAY, shop.BATTERY), _to_the_end, trays, heads)


def write_half_jobs(station: Station, count: int, staff: str, until: str) -> list[Job]:
    """Jobs that wait at a step of the display's procedure, each with a tray of its own."""
    return _written(station, count, staff, (shop.DISPLAY,), lambda telling: _to_step(telling, until))


@dataclass(frozen=True)
class _Telling:
    """What one job is told with."""

    station: Station
    plan: Plan
    hands: Hands
    story: JobStory
    procedure: dict[str, Any]
    box: str
    tray: str


def _written(
    station: Station, count: int, staff: str, by: tuple[str, ...], tell: Callable[[_Telling], Job],
    trays: Sequence[str] = (), heads: Heads | None = None,
) -> list[Job]:  # fmt: skip
    plan = Plan(heads)
    hands = Hands("bench", staff)
    procedures = [body for body in shared_procedures() if body["id"] in by]
    if not station.writer.lines:
        plan.add(AT_MS, "bench", None, "station.began", None, {"reason": "joined"})
    jobs: list[Job] = []
    box = ""
    for number in range(count):
        procedure = procedures[number % len(procedures)]
        at_ms = AT_MS + 1 + number * APART_MS
        if number % 25 == 0:
            box = station.mint("B")
            body = {"box": box, "supplier": SUPPLIER, "purpose": "recycling"}
            plan.add(at_ms, "bench", staff, "box.opened", None, body)
        story = _booked(station, plan, at_ms, number, procedure)
        tray = trays[number % len(trays)] if trays else station.mint("T")
        jobs.append(tell(_Telling(station, plan, hands, story, procedure, box, tray)))
    plan.write({"bench": station}, AT_MS + (count + 100) * APART_MS)  # pyright: ignore[reportArgumentType]
    return jobs


def _booked(station: Station, plan: Plan, at_ms: int, number: int, procedure: dict[str, Any]) -> JobStory:
    device, job = station.mint("D"), station.mint("J")
    name = sha256(job.encode()).hexdigest()
    body = {
        "device": device, "card": name[:20], "contact": name[20:40], "model": shop.MODEL,
        "complaint": "Fell on the stairs; glass cracked, touch dead at the top.", "lock": "unlocked",
        "consents": ["data_loss", "liquid_rule", "warranty_terms"], "price_limit_minor": 12_000,
        "promised_at_ms": at_ms + 86_400_000, "ticket": f"{job}{number:016}",
        "procedure": procedure["id"], "revision": procedure["rev"],
    }  # fmt: skip
    return JobStory(plan, job, device, shop.MODEL, at_ms, body)


def _begun(telling: _Telling) -> tuple[str, str]:
    """Booked in with photos and a mark, tray and part at hand; the codes of both."""
    story, hands, station = telling.story, telling.hands, telling.station
    story.book(hands, FAILING, NOT_HERE)
    for n in range(PHOTOS):
        photo = sha256(f"{story.code} {n}".encode()).hexdigest()
        body = {"photo": photo, "use": "intake", "bytes": 210_000, "width": 1600, "height": 1200}
        story.say(hands, "photo.taken", body)
    story.say(
        hands, "mark.noted", {"mark": "edge", "side": "edge", "what": "dent", "x_pm": 610, "y_pm": 940, "photos": []}
    )
    tray, part = telling.tray, station.mint("P")
    row = telling.procedure["part"]
    received = {
        "part": part, "name": row["name"], "part_kind": row["kind"], "supplier": SUPPLIER, "lot": "FW-0931",
    }  # fmt: skip
    if "shipping_caution" in kinds()["part.received"]["fields"]:  # an older checkout has it not
        received["shipping_caution"] = telling.procedure["core"]["shipping_caution"]
    telling.plan.add(story.at_ms, hands.station, hands.staff, "part.received", None, received)
    story.move(hands, part, "shelf")
    story.start(hands, telling.procedure, tray)
    story.take(hands, part)
    return tray, part


def _to_step(telling: _Telling, until: str) -> Job:
    tray, part = _begun(telling)
    telling.story.work(telling.hands, telling.procedure, part, until=until)
    return Job(telling.story.code, tray)


def _to_the_end(telling: _Telling) -> Job:
    tray, part = _begun(telling)
    story, hands, row = telling.story, telling.hands, telling.procedure["core"]
    core = {
        "core": telling.station.mint("C"), "name": row["name"], "part_kind": row["kind"], "supplier": SUPPLIER,
        "condition": "cracked", "purpose": "recycling", "replaced_by": part,
        "shipping_caution": row["shipping_caution"], "photos": [],
    }  # fmt: skip
    story.work(hands, telling.procedure, part, core=core, final_cannot=NOT_HERE)
    for thing, place in (
        (core["core"], "shipping"),
        (tray, "shelf"),
        (story.device, "shelf"),
        (core["core"], telling.box),
    ):
        story.move(hands, thing, place)
    story.hand_over(hands, "ready")
    return Job(story.code, tray)


if __name__ == "__main__":
    told = Station(Writer(sys.argv[1], sys.argv[2]))
    write_jobs(told, int(sys.argv[3]))
    sys.stdout.buffer.writelines(line + b"\n" for line in told.writer.lines)
