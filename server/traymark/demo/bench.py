"""One job of the invented shop from end to end: booked in, worked on by its procedure, handed over."""

from dataclasses import dataclass, field
from typing import Any

from traymark.demo.plan import Plan
from traymark.rules.procedure import derive
from traymark.tables import enums, table

Procedure = dict[str, Any]
Step = dict[str, Any]

_SECOND_MS = 1_000
_BETWEEN_STEPS_S = 55
_BETWEEN_ENTRIES_S = 6


@dataclass
class Hands:
    """A person at a station."""

    station: str
    staff: str


@dataclass
class JobStory:
    """A job and the time its story has reached. Every method adds what happens next."""

    plan: Plan
    code: str
    device: str
    model: str
    at_ms: int
    ready_for: dict[str, Any]
    """The body of `job.booked`, as agreed at the counter."""
    tray: str | None = None
    done: list[str] = field(default_factory=list[str])

    def say(self, hands: Hands, kind: str, body: dict[str, Any], after_s: int = _BETWEEN_ENTRIES_S) -> None:
        """An event of this job, a moment later."""
        self.at_ms += after_s * _SECOND_MS
        self.plan.add(self.at_ms, hands.station, hands.staff, kind, self.code, body)

    def move(self, hands: Hands, thing: str, to: str) -> None:
        """Move a thing of this job to a place."""
        self.at_ms += _BETWEEN_ENTRIES_S * _SECOND_MS
        self.plan.move(self.at_ms, hands.station, hands.staff, thing, to)

    def book(self, hands: Hands, failing: dict[str, str], cannot: dict[str, str]) -> None:
        """Safe, agreed, tested, on the shelf. `failing` names points that fail, each with what was seen."""
        self.say(hands, "job.booked", self.ready_for)
        self.safe(hands, "counter")
        self.test(hands, "intake", failing, cannot)
        self.move(hands, self.device, "counter")
        self.at_ms += _BETWEEN_STEPS_S * _SECOND_MS
        self.move(hands, self.device, "shelf")

    def book_unsafe(self, hands: Hands, photos: list[str]) -> None:
        """The device bulges: nothing is tested, agreed or promised, and it goes to the safe place."""
        known = ("device", "card", "contact", "model", "complaint", "ticket")
        self.say(hands, "job.booked", {name: self.ready_for[name] for name in known} | {"consents": []})
        seen = {"at": "counter", "wet": "no", "bulging": "yes", "hot": "no"}
        self.say(hands, "safety.checked", seen | {"photos": photos})
        self.move(hands, self.device, "safe")

    def test(self, hands: Hands, stage: str, failing: dict[str, str], cannot: dict[str, str]) -> None:
        """Read every test point of a stage."""
        for point, row in table("test_points")["points"].items():
            if stage in row["stages"]:
                self._read(hands, stage, point, failing, cannot)

    def start(self, hands: Hands, procedure: Procedure, tray: str) -> None:
        """Bind a tray and begin the work."""
        self.tray = tray
        self.move(hands, tray, self.code)
        self.move(hands, self.device, tray)
        self.say(hands, "job.started", {"procedure": procedure["id"], "revision": procedure["rev"]})

    def take(self, hands: Hands, part: str) -> None:
        """Take a new part for this job."""
        self.say(hands, "part.assigned", {"part": part})
        self.move(hands, part, self.code)

    def work(
        self,
        hands: Hands,
        procedure: Procedure,
        part: str | None = None,
        *,
        until: str | None = None,
        core: dict[str, Any] | None = None,
        final_failing: dict[str, str] | None = None,
        final_cannot: dict[str, str] | None = None,
    ) -> None:
        """Do the steps in order, from the open one up to but not including `until`, or to the end."""
        for step in derive(procedure):
            if step["id"] == until:
                return
            if step["id"] not in self.done:
                self._gate(hands, procedure, step, part, core or {}, final_failing or {}, final_cannot or {})
                self.do(hands, procedure, step)

    def do(self, hands: Hands, procedure: Procedure, step: Step) -> None:
        """The bookings of a step, then the step itself."""
        self.at_ms += _BETWEEN_STEPS_S * _SECOND_MS
        groups = {row["id"]: row for row in procedure["fasteners"]}
        for op in step["ops"]:
            self._op(hands, step["id"], op, groups)
        self.say(hands, "step.done", {"step": step["id"]})
        self.done.append(step["id"])

    def _op(self, hands: Hands, step: str, op: dict[str, Any], groups: dict[str, dict[str, Any]]) -> None:
        match op["op"]:
            case "remove" | "insert":
                group = groups[op["group"]]
                body = {
                    "step": step,
                    "group": group["id"],
                    "pocket": group["pocket"],
                    "count": group["count"],
                }
                self.say(hands, "fastener.removed" if op["op"] == "remove" else "fastener.returned", body)
            case "unplug" | "plug":
                kind = "connector.unplugged" if op["op"] == "unplug" else "connector.plugged"
                self.say(hands, kind, {"step": step, "connector": op["connector"]})
            case _:
                pass  # lifting and seating have no event of their own

    def _gate(
        self,
        hands: Hands,
        procedure: Procedure,
        step: Step,
        part: str | None,
        core: dict[str, Any],
        final_failing: dict[str, str],
        final_cannot: dict[str, str],
    ) -> None:
        match step["gate"]:
            case "safety":
                self.safe(hands, "bench")
            case "liquid":
                self.say(hands, "liquid.inspected", {"indicator": "untouched", "signs": [], "photos": []})
            case "power":
                self.say(hands, "power.isolated", {"battery": "sound", "photos": [], "step": step["id"]})
            case "prefit":
                if part is None:
                    raise ValueError(f"{self.code} has no part to prove")
                self.prove(hands, procedure, part, 1, "first", [])
                self.cured(hands, "prefit")
                self.plan.add(
                    self.at_ms, hands.station, hands.staff, "part.judged", None, {"part": part, "verdict": "good"}
                )
            case "pair":
                self.say(hands, "pair.moved", {"pair": step["pair"], "step": step["id"]})
            case "final":
                self.test(hands, "final", final_failing, final_cannot)
                self.cured(hands, "final")
            case "recheck":
                self.say(hands, "final.rechecked", {"round": 1, "points": step["points"]})
            case "core":
                self.say(hands, "core.tagged", core)
                self.move(hands, core["core"], "bench")
            case "leftover":
                self.say(hands, "leftover.checked", {"photos": [], "traces": "removed"})
            case _:
                pass

    def cured(self, hands: Hands, stage: str) -> None:
        """Say that the complaint is cured."""
        self.say(hands, "complaint.checked", {"stage": stage, "round": 1, "cured": "yes"})

    def safe(self, hands: Hands, at: str) -> None:
        """Answer the three questions before any test or heat, all with no."""
        self.say(hands, "safety.checked", {"at": at, "wet": "no", "bulging": "no", "hot": "no", "photos": []})

    def prove(self, hands: Hands, procedure: Procedure, part: str, number: int, action: str, failed: list[str]) -> None:
        """One try of the pre-fit test."""
        still_old = {p: "Still on the old display until the new one is proven." for p in ("button", "fingerprint")}
        for point in prefit_points(procedure):
            self._read(hands, "prefit", point, dict.fromkeys(failed, "Seen at the pre-fit test."), still_old, number)
        outcome = "fail" if failed else "pass"
        body = {"try": number, "part": part, "action": action, "outcome": outcome, "failed": failed}
        self.say(hands, "prefit.tried", body)

    def _read(
        self,
        hands: Hands,
        stage: str,
        point: str,
        failing: dict[str, str],
        cannot: dict[str, str],
        number: int | None = None,
    ) -> None:
        result = "fail" if point in failing else "cannot" if point in cannot else "pass"
        body: dict[str, Any] = {"stage": stage, "point": point, "result": result}
        why = failing.get(point) or cannot.get(point)
        if why:
            body["because" if why in enums()["because"] else "why"] = why
        if number is not None:
            body["try"] = number
        self.say(hands, "test.read", body)

    def hand_over(self, hands: Hands, told: str) -> None:
        """The customer hears of it, comes, and takes the device."""
        self.say(hands, "customer.told", {"channel": "message", "what": told}, 20)
        self.say(hands, "job.handed_over", {"device": self.device, "checked": "scanned"}, 45)
        self.move(hands, self.device, "customer")


def prefit_points(procedure: Procedure) -> list[str]:
    """The test points that prove a new part: those the step names, else those of its connectors."""
    for step in procedure["turn"]:
        if step.get("gate") == "prefit" and step.get("points"):
            return list(step["points"])
    serves = set(procedure["part"]["serves"])
    points = table("test_points")["points"]
    return [id_ for id_, row in points.items() if "prefit" in row["stages"] and serves & set(row["serves"])]
