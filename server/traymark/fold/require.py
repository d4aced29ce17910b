"""The rules of which a breach is a finding (F5.7)."""

from collections.abc import Callable

from traymark.events.envelope import Event
from traymark.fold.changes import Changes, Record

Holds = Callable[[Changes, Record, Event], bool]


def _not_stopped(_: Changes, job: Record, __: Event) -> bool:
    """A wet job may still have its battery unplugged, and what lies over it taken off for that."""
    is_isolating = job["stop"] is not None and job["stop"]["reason"] == "liquid" and not job["power"]
    return job["stage"] != "stopped" or is_isolating


def _ledger_zero(_: Changes, job: Record, __: Event) -> bool:
    return all(in_tray(counters) == 0 for counters in job["ledger"].values())


def _connectors_in(_: Changes, job: Record, __: Event) -> bool:
    stays_unplugged = job["stop"] is not None and job["stop"]["reason"] in ("battery", "liquid")
    return stays_unplugged or all(c.get("out", 0) == c.get("back", 0) for c in job["connectors"].values())


def _box_open(_: Changes, box: Record, __: Event) -> bool:
    return box["sealed"] is None


def _box_fits(changes: Changes, box: Record, event: Event) -> bool:
    thing = changes.look("thing", event.body["thing"])
    if thing is None:
        return True
    is_part = event.body["thing"][0] == "P"
    purpose = ("doa" if thing["verdict"] == "doa" else None) if is_part else thing["purpose"]
    if is_part and thing["verdict"] is not None and purpose is None:
        return False
    return _same(thing["supplier"], box["supplier"]) and _same(purpose, box["purpose"])


def _nothing_pressed(_: Changes, job: Record, __: Event) -> bool:
    return job["stop"] is None or job["stop"]["reason"] != "battery" or job["cell"] == "out"


def _safe_place(changes: Changes, thing: Record, event: Event) -> bool:
    to, caution = event.body["to"], thing["shipping_caution"]
    if to not in ("shelf", "bin"):
        return True
    if caution in ("battery_failed", "battery_damaged") or (to == "bin" and caution not in (None, "none")):
        return False
    job = changes.look("job", thing["job"]) if event.body["thing"][0] == "D" and thing["job"] is not None else None
    return job is None or job["cell"] not in _UNSAFE


def _owner_told(_: Changes, job: Record, event: Event) -> bool:
    return job["cell"] not in _UNSAFE or (job["cell"] == "swollen" and event.body.get("owner_told") is not None)


_UNSAFE = ("swollen", "punctured", "hot", "leaking")


def _same(one: str | None, other: str | None) -> bool:
    return one is None or other is None or one == other


def in_tray(counters: dict[str, int]) -> int:
    """How many fasteners of a group should now be in the tray."""
    return counters.get("out", 0) + counters.get("replaced", 0) - counters.get("lost", 0) - counters.get("back", 0)


RULES: dict[str, tuple[str, Holds]] = {
    "not_stopped": ("worked-after-stop", _not_stopped),
    "ledger_zero": ("ledger-open", _ledger_zero),
    "connectors_in": ("connector-open", _connectors_in),
    "box_open": ("box-sealed", _box_open),
    "box_fits": ("box-misfit", _box_fits),
    "nothing_pressed": ("pressed-after-unsafe", _nothing_pressed),
    "safe_place": ("unsafe-place", _safe_place),
    "owner_told": ("unsafe-handed-over", _owner_told),
}
