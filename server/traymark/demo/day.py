"""The story of the invented shop: four past weeks, and half of today."""

import secrets
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any, NamedTuple

from traymark.blobs.files import BlobFiles
from traymark.blobs.keep import keep_blob
from traymark.config import Settings
from traymark.demo import pictures, shop
from traymark.demo.bench import Hands, JobStory, Procedure
from traymark.demo.plan import Plan
from traymark.demo.virtual_station import VirtualStation
from traymark.docs.keep import put_doc
from traymark.events.field_types import ALPHABET
from traymark.log.store import Store
from traymark.refused import Refused
from traymark.rules.lacking import points_of_some_models
from traymark.rules.locked import barred_points
from traymark.tables import table
from traymark_labels.codes import imei_check_digit
from traymark_labels.payload import ticket_payload

MINUTE_MS = 60_000
HOUR_MS = 60 * MINUTE_MS
DAY_MS = 24 * HOUR_MS

# People promise by the half hour.
_PROMISE_STEP_MS = 30 * MINUTE_MS

_REF_LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789"
_CONSENTS = list(table("agreement")["consents"])
_BROKEN_GLASS = {
    "display_image": "Lines across the picture.",
    "touch": "Dead strip at the top.",
    "glass": "Cracked from the corner.",
}
_WEAK_BATTERY = {"battery_health": "Below what the device itself asks to replace."}


def _not_here(*has: str) -> dict[str, str]:
    """What cannot be tested at the counter, except points of some models only that this model `has`."""
    lacking = {point: "lacking" for point in points_of_some_models() if point not in has}
    return {"cellular": "no_sim", **lacking}


_NOT_HERE = _not_here("button", "fingerprint", "mute_switch", "nfc")


class Shown(NamedTuple):
    """A label to print: its kind and fields as in shared/labels.json, and a caption for whoever tries the demo."""

    kind: str
    fields: dict[str, Any]
    caption: str


@dataclass
class Box:
    """A box and how many pieces the story has put into it."""

    code: str
    supplier: str
    purpose: str
    pieces: int = 0

    def take(self, day: "Day", at_ms: int, thing: str) -> None:
        """The shipping clerk scans a piece into it."""
        clerk = day.hands("shipping", "quarto")
        day.plan.move(at_ms, clerk.station, clerk.staff, thing, self.code)
        self.pieces += 1


@dataclass
class Day:
    """What the story is written with, and the codes that labels are printed for."""

    store: Store
    stations: dict[str, VirtualStation]
    staff: dict[str, str]
    procedures: dict[str, Procedure]
    now_ms: int
    base_url: str
    plan: Plan = field(default_factory=Plan)
    shown: list[Shown] = field(default_factory=list[Shown])
    _customer: int = 0
    _device: int = 0

    def ago(self, *, days: float = 0, hours: float = 0, minutes: float = 0) -> int:
        """A moment before now."""
        return self.now_ms - round(days * DAY_MS + hours * HOUR_MS + minutes * MINUTE_MS)

    def hands(self, station: str, person: str) -> Hands:
        """A member of the staff at a station."""
        return Hands(station, self.staff[person])

    def show(self, kind: str, caption: str, **fields: Any) -> None:
        """Print a label."""
        self.shown.append(Shown(kind, fields, caption))

    def show_job(self, job: JobStory, caption: str) -> None:
        """Print the ticket and the device label of a job."""
        self.show(
            "ticket",
            caption,
            url=ticket_payload(self.base_url, job.ready_for["ticket"]),
            job=job.code,
            shop=shop.SHOP_NAME,
            phone=shop.SHOP_PHONE,
            model=job.model,
        )
        self.show("device", caption, code=job.device, job=job.code, model=job.model)

    def show_core(self, job: JobStory, core: dict[str, Any], caption: str) -> None:
        """Print the label of an old part."""
        self.show(
            "core",
            caption,
            code=core["core"],
            job=job.code,
            part=core["name"],
            supplier=shop.SUPPLIERS[core["supplier"]],
            condition=core["condition"],
            purpose=core["purpose"],
            battery_caution=core["shipping_caution"],
        )

    def photo(self, job: JobStory, hands: Hands, use: str, data: bytes, note: str) -> str:
        """Keep a drawing as a photo. Returns its hash."""
        name = sha256(data).hexdigest()
        station = self.stations[hands.station]
        most = Settings().max_blob_pixels
        kept = keep_blob(self.store, BlobFiles(self.store.data_dir), station.id, name, data, most, self.now_ms)
        if isinstance(kept, Refused):
            raise ValueError(kept.slug)
        body = {"photo": name, "use": use, "bytes": len(data), "width": kept.width, "height": kept.height, "note": note}
        job.say(hands, "photo.taken", body)
        return name

    def new_job(
        self,
        at_ms: int,
        promised_at_ms: int,
        complaint: str,
        *,
        procedure: str | None = None,
        model: str = shop.MODEL,
        lock: str = "unlocked",
        limit_minor: int = 12_000,
        again: JobStory | None = None,
    ) -> JobStory:
        """A job about to be booked. `again`: the device and customer of an earlier one."""
        counter = self.stations["counter"]
        device = again.device if again else counter.mint("D")
        body: dict[str, Any] = {
            "device": device,
            "card": again.ready_for["card"] if again else self._device_card(model),
            "contact": again.ready_for["contact"] if again else self._contact_card(),
            "model": model,
            "complaint": complaint,
            "lock": lock,
            "consents": _CONSENTS,
            "price_limit_minor": limit_minor,
            "promised_at_ms": -(-promised_at_ms // _PROMISE_STEP_MS) * _PROMISE_STEP_MS,
            "ticket": "".join(secrets.choice(ALPHABET) for _ in range(26)),
        }
        if procedure is not None:
            body |= {"procedure": procedure, "revision": self.procedures[procedure]["rev"]}
        return JobStory(self.plan, counter.mint("J"), device, model, at_ms, body)

    def new_part(self, kind: str, received_at_ms: int, lot: int = 0) -> str:
        """A new part from its supplier, on the shelf."""
        part = self.stations["office"].mint("P")
        name = self.procedures[kind]["part"]["name"]
        body = {
            "part": part,
            "name": name,
            "part_kind": kind,
            "supplier": shop.SUPPLIER_OF[kind],
            "lot": shop.LOTS[kind][lot],
            **self.battery_of(kind),
        }
        lead = self.hands("office", "lead")
        self.plan.add(received_at_ms, lead.station, lead.staff, "part.received", None, body)
        self.plan.move(received_at_ms, lead.station, lead.staff, part, "shelf")
        return part

    def battery_of(self, kind: str) -> dict[str, Any]:
        """The battery that a new part of this kind is or holds: like that of the old part it replaces."""
        core = self.procedures[kind]["core"]
        energy = {"energy_mwh": core["energy_mwh"]} if "energy_mwh" in core else {}
        return {"shipping_caution": core["shipping_caution"], **energy}

    def core(self, kind: str, part: str, condition: str, **other: Any) -> dict[str, Any]:
        """The body of `core.tagged` for the old part that this new one replaces."""
        row = self.procedures[kind]["core"]
        body: dict[str, Any] = {
            "core": self.stations["bench1"].mint("C"), "name": row["name"], "part_kind": row["kind"],
            "supplier": shop.SUPPLIER_OF[kind],
            "condition": condition, "purpose": row["purpose"], "replaced_by": part,
            "shipping_caution": row["shipping_caution"], "photos": [],
        }  # fmt: skip
        if "energy_mwh" in row:
            body["energy_mwh"] = row["energy_mwh"]
        return body | other

    def _contact_card(self) -> str:
        customer = shop.CUSTOMERS[self._customer % len(shop.CUSTOMERS)]
        self._customer += 1
        return self._card("contact", {"name": customer.name, "phone": customer.phone, "mail": customer.mail})

    def _device_card(self, model: str) -> str:
        self._device += 1
        # TACs that begin with 00 are for test devices (GSMA TS.06, from memory).
        digits = f"00440300{self._device:06}"
        return self._card("device", {"imei": digits + imei_check_digit(digits), "serial": "", "model": model})

    def _card(self, kind: str, body: dict[str, Any]) -> str:
        ref = "".join(secrets.choice(_REF_LETTERS) for _ in range(20))
        kept = put_doc(self.store, ref, kind, body)
        if isinstance(kept, Refused):
            raise ValueError(kept.slug)
        return ref


def tell_story(day: Day) -> None:
    """Put the whole story into the plan."""
    trays = [day.stations["bench1"].mint("T") for _ in range(5)]
    boxes = _boxes(day)
    people_come_in(day)
    old = _weeks_before(day, trays[4], boxes)
    _half_open_display(day, trays[0])
    _battery_just_begun(day, trays[1])
    _liquid(day, trays[2])
    _board_fault(day, trays[3])
    _swollen_battery(day)
    _failed_cells(day)
    _dead_on_arrival(day, trays[4], boxes)
    _ready_battery(day, trays[4], boxes)
    _comeback(day, old)
    _waiting(day)
    for number, tray in enumerate(trays, 1):
        day.show("tray", "A free tray" if number == len(trays) else "A tray in use", code=tray, name=f"No. {number}")
    for kind in (shop.DISPLAY, shop.DISPLAY, shop.BATTERY, shop.BATTERY):
        name, supplier = day.procedures[kind]["part"]["name"], shop.SUPPLIERS[shop.SUPPLIER_OF[kind]]
        part = day.new_part(kind, day.ago(days=1))
        day.show(
            "part",
            f"{name}, not taken yet",
            code=part,
            part=name,
            supplier=supplier,
            lot=shop.LOTS[kind][0],
            battery_caution=day.battery_of(kind)["shipping_caution"],
        )
    for name, box in boxes.items():
        state = f"{box.pieces} in it, {'sealed' if name == 'sealed' else 'open'}"
        day.show(
            "box", state, code=box.code, supplier=shop.SUPPLIERS[box.supplier], purpose=box.purpose, count=box.pieces
        )


def people_come_in(day: Day) -> None:
    """Sign-on and static check of today. Wembra has not measured yet, and the bench says so."""
    for person, station, hours in (
        ("lead", "office", 6.2), ("dapple", "counter", 6.1), ("fennick", "bench1", 6.0), ("wispa", "bench2", 5.9),
        ("quarto", "shipping", 5.0),
    ):  # fmt: skip
        day.plan.add(day.ago(hours=hours), station, day.staff[person], "staff.signed_on", None, {"with": "badge"})
    limits = {item: check["below_ohms"] for item, check in table("esd")["checks"].items()}
    strap = {"item": "wrist_strap", "ohms": 1_120_000, "limit_ohms": limits["wrist_strap"]}
    mat = {"ohms": 24_000_000, "limit_ohms": limits["mat"]}
    day.plan.add(day.ago(hours=5.95), "bench1", day.staff["fennick"], "strap.checked", None, strap)
    day.plan.add(day.ago(hours=5.95), "bench1", day.staff["fennick"], "mat.checked", None, mat)


def _boxes(day: Day) -> dict[str, Box]:
    """One open box for each purpose, and one for credit that will be sealed."""
    shipping, clerk = day.stations["shipping"], day.hands("shipping", "quarto")
    opened: dict[str, Box] = {}
    for name, supplier, purpose, days in (
        ("sealed", shop.SKIRLWICK, "credit", 26.0), ("credit", shop.SKIRLWICK, "credit", 5.0),
        ("doa", shop.SKIRLWICK, "doa", 12.0),
        ("recycling", shop.GREENFOLD, "recycling", 20.0), ("battery", shop.UMBREL, "battery", 20.0),
    ):  # fmt: skip
        box = shipping.mint("B")
        opened[name] = Box(box, supplier, purpose)
        body = {"box": box, "supplier": supplier, "purpose": purpose}
        day.plan.add(day.ago(days=days), clerk.station, clerk.staff, "box.opened", None, body)
        day.plan.move(day.ago(days=days), clerk.station, clerk.staff, box, "shipping")
    return opened


def _whole_repair(
    day: Day, job: JobStory, kind: str, tray: str, person: str, box: Box, condition: str
) -> dict[str, Any]:
    """From the shelf to ready, the old part in its box. Returns the body of its `core.tagged`."""
    hands = day.hands("bench1" if person == "fennick" else "bench2", person)
    part = day.new_part(kind, job.at_ms - DAY_MS)
    core = day.core(kind, part, condition, supplier=box.supplier, purpose=box.purpose)
    job.start(hands, day.procedures[kind], tray)
    job.take(hands, part)
    job.work(hands, day.procedures[kind], part, core=core, final_cannot=_NOT_HERE)
    job.move(hands, core["core"], "shipping")
    job.move(hands, tray, "shelf")
    job.move(hands, job.device, "shelf")
    box.take(day, min(job.at_ms + HOUR_MS, day.now_ms - MINUTE_MS), core["core"])
    return core


_PAST = (
    (24, shop.DISPLAY, "sealed"),
    (19, shop.BATTERY, "battery"), (15, shop.DISPLAY, "sealed"), (13, shop.DISPLAY, "recycling"),
    (11, shop.DISPLAY, "sealed"),
    (8, shop.BATTERY, "battery"), (4, shop.DISPLAY, "credit"), (2, shop.DISPLAY, "credit"),
)  # fmt: skip


# The past job in which the shop's own screwdriver slipped.
_SCRATCHED = 4


def _scratch(day: Day, job: JobStory) -> None:
    """Damage by the shop itself: noted at the bench, settled by the lead before the customer comes."""
    bench, lead = day.hands("bench2", "wispa"), day.hands("office", "lead")
    noted: dict[str, Any] = {
        "incident": "i-frame", "what": "scratch", "where": "Frame, lower left corner", "looked": "yes", "points": [],
        "note": "The screwdriver slipped at the last bottom screw.", "photos": [],
    }  # fmt: skip
    job.say(bench, "incident.noted", noted)
    settled = {"incident": "i-frame", "owed": "refund", "say": "We are sorry. A fifth of the price is given back."}
    job.say(lead, "incident.settled", settled, 900)


def _weeks_before(day: Day, tray: str, boxes: dict[str, Box]) -> JobStory:
    """Past jobs; the first of them comes back today. The first box is sealed and waits for the shipper."""
    counter = day.hands("counter", "dapple")
    jobs: list[JobStory] = []
    cores: list[tuple[str, dict[str, Any]]] = []
    for number, (days, kind, box) in enumerate(_PAST):
        is_display = kind == shop.DISPLAY
        begin = day.ago(days=days)
        words = (
            "Fell on the stairs; glass cracked, touch dead at the top." if is_display else "Battery is empty by noon."
        )
        job = day.new_job(begin, begin + DAY_MS, words, procedure=kind)
        job.book(counter, _BROKEN_GLASS if is_display else _WEAK_BATTERY, _NOT_HERE)
        job.at_ms += 2 * HOUR_MS
        person, condition = (
            "fennick" if number % 2 else "wispa",
            "burnt" if box == "recycling" else "cracked" if is_display else "complete",
        )
        cores.append((box, _whole_repair(day, job, kind, tray, person, boxes[box], condition)))
        if number == _SCRATCHED:
            _scratch(day, job)
        job.at_ms += 3 * HOUR_MS
        job.hand_over(counter, "ready")
        jobs.append(job)
    day.show_core(jobs[-1], cores[-1][1], "An old part in the open credit box")
    clerk, inside = day.hands("shipping", "quarto"), [core["core"] for box, core in cores if box == "sealed"]
    body = {"box": boxes["sealed"].code, "count": len(inside), "weight_g": 412, "cores": inside}
    day.plan.add(day.ago(days=5.5), clerk.station, clerk.staff, "box.sealed", None, body)
    return jobs[0]


def _half_open_display(day: Day, tray: str) -> None:
    """Open on bench one: power isolated, shield off, the part at hand; the three upper cables come next."""
    job = day.new_job(
        day.ago(hours=4), day.now_ms + 2 * HOUR_MS, "Glass broken, picture has lines.", procedure=shop.DISPLAY
    )
    counter, bench = day.hands("counter", "dapple"), day.hands("bench1", "fennick")
    job.book(counter, _BROKEN_GLASS, _NOT_HERE)
    mark = day.photo(job, counter, "mark", pictures.cracked_front(3), "Front at booking in")
    body = {"mark": "front-corner", "side": "front", "what": "crack", "x_pm": 240, "y_pm": 130, "photos": [mark]}
    job.say(counter, "mark.noted", body)
    job.say(
        counter,
        "mark.noted",
        {"mark": "lower-edge", "side": "edge", "what": "dent", "x_pm": 610, "y_pm": 940, "photos": []},
    )
    job.at_ms = day.ago(minutes=40)
    job.start(bench, day.procedures[shop.DISPLAY], tray)
    job.take(bench, day.new_part(shop.DISPLAY, day.ago(days=3), 1))
    job.work(bench, day.procedures[shop.DISPLAY], until="cables")
    day.show_job(job, "Half open on bench one")


def _battery_just_begun(day: Day, tray: str) -> None:
    """On bench two, before the liquid gate."""
    job = day.new_job(
        day.ago(hours=3), day.now_ms + 5 * HOUR_MS, "Switches off at thirty per cent.", procedure=shop.BATTERY
    )
    job.book(day.hands("counter", "dapple"), _WEAK_BATTERY, _NOT_HERE)
    job.at_ms = day.ago(minutes=14)
    bench = day.hands("bench2", "wispa")
    job.start(bench, day.procedures[shop.BATTERY], tray)
    job.work(bench, day.procedures[shop.BATTERY], until="liquid")


def _liquid(day: Day, tray: str) -> None:
    """Stopped at the liquid gate, with its photos; the device is still open."""
    job = day.new_job(day.ago(hours=5), day.now_ms + HOUR_MS, "Stays dark since yesterday.", procedure=shop.DISPLAY)
    job.book(day.hands("counter", "dapple"), {"display_image": "Dark.", "touch": "No answer."}, _NOT_HERE)
    bench = day.hands("bench1", "fennick")
    job.at_ms = day.ago(hours=2.4)
    job.start(bench, day.procedures[shop.DISPLAY], tray)
    job.work(bench, day.procedures[shop.DISPLAY], until="liquid")
    job.say(bench, "lock.changed", {"lock": "locked", "why": "It was restarted and asks for the code"})
    photo = day.photo(job, bench, "liquid", pictures.liquid_board(), "Indicator and connector")
    body = {
        "indicator": "red",
        "signs": ["corrosion", "residue"],
        "photos": [photo],
        "note": "Deposits at the lower connector.",
    }
    job.say(bench, "liquid.inspected", body)


def _board_fault(day: Day, tray: str) -> None:
    """Units of two lots fail the same point: the board. The customer knows; it is still to be closed."""
    job = day.new_job(
        day.ago(days=1, hours=3), day.now_ms + 3 * HOUR_MS, "Picture is gone, it still rings.", procedure=shop.DISPLAY
    )
    job.book(day.hands("counter", "dapple"), {"display_image": "Dark.", "display_light": "No light."}, _NOT_HERE)
    bench, procedure = day.hands("bench2", "wispa"), day.procedures[shop.DISPLAY]
    first, second = (day.new_part(shop.DISPLAY, day.ago(days=3), lot) for lot in (1, 0))
    job.at_ms = day.ago(days=1)
    job.start(bench, procedure, tray)
    job.take(bench, first)
    job.work(bench, procedure, first, until="prefit")
    job.prove(bench, procedure, first, 1, "first", ["display_light"])
    job.prove(bench, procedure, first, 2, "reseat", ["display_light"])
    job.take(bench, second)
    job.prove(bench, procedure, second, 3, "second_unit", ["display_light"])
    why = {"why": "Failed before fitting, and the board may be at fault: Backlight"}
    for unit in (first, second):
        body = {"part": unit, "verdict": "doubtful"} | why
        day.plan.add(job.at_ms, bench.station, bench.staff, "part.judged", None, body)
        job.move(bench, unit, "bench")
    job.say(bench, "job.stopped", {"reason": "board", "note": "Failed with units of two lots: Backlight"})
    job.say(day.hands("counter", "dapple"), "customer.told", {"channel": "call", "what": "stop-board"}, 1800)


def _swollen_battery(day: Day) -> None:
    """Bulging when it came in: booked in the short way, in the safe place, a lead decides."""
    job = day.new_job(day.ago(hours=2), day.now_ms + DAY_MS, "Back comes off by itself.", procedure=shop.BATTERY)
    counter = day.hands("counter", "dapple")
    photo = day.photo(job, counter, "battery", pictures.swollen_battery(), "As it was handed in")
    job.book_unsafe(counter, [photo])
    body = {"mark": "gap", "side": "back", "what": "swelling", "x_pm": 500, "y_pm": 520, "photos": [photo]}
    job.say(counter, "mark.noted", body)
    job.say(counter, "customer.told", {"channel": "in_person", "what": "stop-battery"}, 30)


def _failed_cells(day: Day) -> None:
    """Two new cells that failed before they were fitted: one was collected with paper, one waits in the safe place."""
    bench, lead = day.hands("bench1", "fennick"), day.hands("office", "lead")
    gone, here = (day.new_part(shop.BATTERY, day.ago(days=days), 0) for days in (13, 5))
    for part, days in ((gone, 12), (here, 4)):
        judged = {"part": part, "verdict": "doa", "shipping_caution": "battery_failed", "why": "Failed: battery health"}
        day.plan.add(day.ago(days=days), bench.station, bench.staff, "part.judged", None, judged)
        day.plan.move(day.ago(days=days), bench.station, bench.staff, part, "safe")
    said = {
        "thing": here,
        "shipping_caution": "battery_damaged",
        "why": "A corner is dented, seen when it was put away.",
    }
    day.plan.add(day.ago(days=3.9), lead.station, lead.staff, "caution.set", None, said)
    taken = {"things": [gone], "who": "Greenfold Recycling", "paper": "GF-2231", "photos": []}
    day.plan.add(day.ago(days=6), lead.station, lead.staff, "safe.collected", None, taken)
    day.plan.move(day.ago(days=6), lead.station, lead.staff, gone, "recycler")


def _dead_on_arrival(day: Day, tray: str, boxes: dict[str, Box]) -> None:
    """The first unit fails, the second passes: the first goes back as dead on arrival. Ready, not told yet."""
    job = day.new_job(
        day.ago(hours=5.5), day.now_ms + HOUR_MS, "Touch does nothing in the lower half.", procedure=shop.DISPLAY
    )
    job.book(
        day.hands("counter", "dapple"), {"touch": "Lower half dead.", "multi_touch": "Lower half dead."}, _NOT_HERE
    )
    bench, procedure = day.hands("bench1", "fennick"), day.procedures[shop.DISPLAY]
    dead, good = (day.new_part(shop.DISPLAY, day.ago(days=3), 1) for _ in range(2))
    job.at_ms = day.ago(hours=4.6)
    job.start(bench, procedure, tray)
    job.take(bench, dead)
    job.work(bench, procedure, dead, until="prefit")
    job.prove(bench, procedure, dead, 1, "first", ["touch", "multi_touch"])
    job.prove(bench, procedure, dead, 2, "reseat", ["touch", "multi_touch"])
    job.take(bench, good)
    job.prove(bench, procedure, good, 3, "second_unit", [])
    why = {"why": "No touch, also after reseating; another unit passed."}
    day.plan.add(job.at_ms, bench.station, bench.staff, "part.judged", None, {"part": dead, "verdict": "doa"} | why)
    day.plan.add(job.at_ms, bench.station, bench.staff, "part.judged", None, {"part": good, "verdict": "good"})
    job.move(bench, dead, "bench")
    job.cured(bench, "prefit")
    step = next(s for s in procedure["turn"] if s.get("gate") == "prefit")
    job.do(bench, procedure, step | {"ops": []})
    core = day.core(shop.DISPLAY, good, "complete")
    job.work(bench, procedure, good, core=core, final_cannot=_NOT_HERE)
    job.move(bench, core["core"], "shipping")
    job.move(bench, tray, "shelf")
    job.move(bench, job.device, "shelf")
    boxes["doa"].take(day, job.at_ms + 20 * MINUTE_MS, dead)
    day.show_core(job, core, "An old part that is in no box yet")


def _ready_battery(day: Day, tray: str, boxes: dict[str, Box]) -> None:
    """Ready, and the customer knows."""
    job = day.new_job(day.ago(days=1, hours=5), day.ago(hours=-1), "Battery is empty by noon.", procedure=shop.BATTERY)
    counter = day.hands("counter", "dapple")
    job.book(counter, _WEAK_BATTERY, _NOT_HERE)
    job.at_ms = day.ago(days=1, hours=4)
    _whole_repair(day, job, shop.BATTERY, tray, "wispa", boxes["battery"], "complete")
    job.say(counter, "customer.told", {"channel": "message", "what": "ready"}, 600)
    day.show_job(job, "Ready to be handed over")


def _comeback(day: Day, old: JobStory) -> None:
    """The first job's device is here again with the same complaint, within the warranty."""
    job = day.new_job(
        day.ago(hours=1.5), day.now_ms + 26 * HOUR_MS, "Touch dead at the top again.", procedure=shop.DISPLAY, again=old
    )
    job.book(day.hands("counter", "dapple"), {"touch": "Dead strip at the top."}, _NOT_HERE)
    job.say(
        day.hands("counter", "dapple"),
        "note.added",
        {"note": f"Comeback of {old.code}, same complaint, within the warranty."},
    )


def _waiting(day: Day) -> None:
    """On the shelf: one late, one locked, one without a procedure here; one handed back unrepaired this morning."""
    counter = day.hands("counter", "dapple")
    late = day.new_job(
        day.ago(days=2), day.ago(hours=2), "Front glass shattered, splinters taped.", procedure=shop.DISPLAY
    )
    late.book(counter, _BROKEN_GLASS, _NOT_HERE)
    photo = day.photo(late, counter, "mark", pictures.cracked_front(11), "Front at booking in")
    body = {"mark": "front", "side": "front", "what": "crack", "x_pm": 500, "y_pm": 400, "photos": [photo]}
    late.say(counter, "mark.noted", body)

    locked = day.new_job(
        day.ago(hours=1), day.now_ms + 20 * HOUR_MS, "Loses charge overnight.", procedure=shop.BATTERY, lock="locked"
    )
    locked.book(counter, {}, _NOT_HERE | dict.fromkeys(barred_points(), "locked"))
    day.show_job(locked, "On the shelf, battery")

    fresh = day.new_job(
        day.ago(minutes=50), day.now_ms + 22 * HOUR_MS, "Dropped; picture flickers.", procedure=shop.DISPLAY
    )
    fresh.book(counter, {"display_image": "Flickers."}, _NOT_HERE)
    day.show_job(fresh, "On the shelf, display: try this one")

    other = day.new_job(
        day.ago(minutes=35),
        day.now_ms + 48 * HOUR_MS,
        "Charges only at an angle.",
        model=shop.OTHER_MODELS[1],
        limit_minor=0,
    )
    other.book(
        counter, {"charging": "Only when held."}, _not_here("fingerprint", "charging_wireless", "rear_wide", "nfc")
    )

    back = day.new_job(day.ago(days=1, hours=6), day.ago(hours=-3), "Rear glass cracked.", model=shop.OTHER_MODELS[0])
    back.book(counter, {}, _not_here("button", "fingerprint", "rear_far", "nfc"))
    back.say(counter, "job.stopped", {"reason": "customer", "note": "Found another phone in a drawer."}, 7200)
    back.at_ms = day.ago(hours=3)
    back.hand_over(counter, "stop-customer")
