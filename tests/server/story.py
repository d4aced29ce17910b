"""A job from the counter to its end, told event by event to a server under test."""

from typing import Any

from tests.server.conftest import NOW_MS, Desk
from tests.server.shop_events import Writer
from traymark.rules.putting_away import DAY_MS
from traymark_labels.codes import mint

PREFIX = "7K2"
SUPPLIER = "fernwick"
LATER_MS = NOW_MS + 31 * DAY_MS
MUCH_LATER_MS = NOW_MS + 91 * DAY_MS


def code(kind: str, number: int = 1) -> str:
    return mint(kind, PREFIX, number).code


JOB, DEVICE, TRAY, PART, CORE, BOX = (code(kind, n) for n, kind in enumerate("JDTPCB", start=1))
CARD, CONTACT = "a" * 20, "b" * 20


class Story:
    """A job from the counter to its end, told event by event."""

    def __init__(self, desk: Desk, writer: Writer) -> None:
        self._desk, self._writer = desk, writer
        self._heads: dict[str, str] = {}

    def say(self, kind: str, body: dict[str, Any], job: str | None = JOB) -> str:
        known = len(self._writer.texts)
        self._writer.write(kind, job, body)
        for text in self._writer.texts[known:]:
            put = self._desk.ask("PUT", f"/api/docs/{text.id}", json={"kind": "text", "body": text._asdict()})
            assert put.status_code == 200, put.text
        seq = len(self._writer.lines)
        answer = self._desk.push(self._writer, seq)
        assert answer.status_code == 200 and answer.json()["malformed"] == [], answer.text
        return f"{PREFIX}.{seq}"

    def move(self, thing: str, to: str) -> None:
        after = [self._heads[thing]] if thing in self._heads else []
        self._heads[thing] = self.say("thing.moved", {"thing": thing, "to": to, "after": after}, None)

    def book(self, job: str = JOB, device: str = DEVICE, ticket: str = "A" * 26) -> None:
        body = {
            "device": device, "card": CARD, "contact": CONTACT, "model": "Quillet 5", "complaint": "Dark display",
            "lock": "unlocked", "consents": [], "promised_at_ms": NOW_MS, "ticket": ticket,
        }  # fmt: skip
        self.say("job.booked", body, job)
        self.move(device, "counter")

    def fit(self) -> None:
        part = {"part": PART, "name": "Display", "part_kind": "display", "supplier": SUPPLIER, "lot": "1"}
        self.say("part.received", part | {"shipping_caution": "none"}, None)
        self.say("part.assigned", {"part": PART})
        self.move(PART, JOB)

    def tag(self) -> None:
        core = {"core": CORE, "name": "Display", "part_kind": "display", "supplier": SUPPLIER}
        more = {"condition": "cracked", "purpose": "credit", "shipping_caution": "none", "photos": []}
        self.say("core.tagged", core | more)

    def ship(self) -> None:
        self.say("box.opened", {"box": BOX, "supplier": SUPPLIER, "purpose": "credit"}, None)
        self.move(CORE, BOX)
        self.say("box.sealed", {"box": BOX, "count": 1, "weight_g": 100, "cores": [CORE]}, None)
        self.say("box.shipped", {"box": BOX}, None)

    def hand_over(self, job: str = JOB, device: str = DEVICE) -> None:
        for kind, body in (
            ("job.started", {"procedure": "quillet5-display", "revision": 1}),
            ("leftover.checked", {"photos": [], "traces": "none"}),
            ("job.handed_over", {"device": device, "checked": "scanned"}),
        ):
            self.say(kind, body, job)
        self.move(device, "customer")
