"""What remains to be done on a stopped job. The words for an unsafe battery are those of safety.json."""

from traymark.rules.procedure import Procedure, Step, derive, step_of
from traymark.tables import table


def when_stopped(procedure: Procedure, done: set[str], reason: str, cell: str | None = None) -> list[Step]:
    """The steps that are left; `cell` is what the job record says of the battery.

    Nothing is pressed, seated or screwed on an unsafe battery. A wet device is closed once its battery is unplugged.
    Any other is closed as it was opened, once a trial in progress is taken back; the old part is tagged if the new one
    is in. A battery that stopped the job, or that of a wet device, stays unplugged.
    """
    if reason == "battery" and cell != "out":
        return _unsafe_way(procedure, done)
    is_wet = reason == "liquid"
    power = _power_of(procedure) if is_wet or reason == "battery" else set[str]()
    moved_over = bool(procedure["turn"]) and all(row["id"] in done for row in procedure["turn"])
    isolating = _isolating_steps(procedure, done) if is_wet else set[str]()
    remaining: list[Step] = []
    for step in derive(procedure):
        takes_back = step["phase"] == "turn" and step["undoes"] in done
        closes = step["source"] in done and step["id"] == f"{step['source']}-back"
        tags = moved_over and step["id"] == "core"
        if not (step["id"] in isolating or takes_back or closes or tags or step["id"] == "leftover"):
            continue
        ops = [op for op in step["ops"] if op["op"] != "plug" or op["connector"] not in power]
        if ops or not step["ops"]:
            remaining.append(step | {"ops": ops})
    live_again = is_wet and _is_live_again(procedure, done)
    return [_unsafe_step("unplug", "unplug"), *remaining] if live_again else remaining


def _unsafe_way(procedure: Procedure, done: set[str]) -> list[Step]:
    opened = any(step["id"] in done and step["ops"] for step in derive(procedure))
    # A step that was answered stays in the walk, or the walk would change in the person's hands.
    is_live = "unsafe-unplug" in done or not is_power_out(procedure, done)
    return [
        *([_unsafe_step("aside")] if opened else []),
        *([_unsafe_step("unplug", "unplug")] if opened and is_live else []),
        _unsafe_step("label"),
        _unsafe_step("bring", "bring"),
    ]


def _unsafe_step(name: str, gate: str | None = None) -> Step:
    return step_of({"id": f"unsafe-{name}", **table("safety")["steps"][name], "gate": gate}, "out")


def _isolating_steps(procedure: Procedure, done: set[str]) -> set[str]:
    """For an open, wet device: the steps up to the one that unplugs its battery. Before it is open there are none."""
    power, rows = _power_of(procedure), procedure["in"]
    gate = next((place for place, row in enumerate(rows) if row.get("gate") == "liquid"), None)
    if gate is None or any(row["id"] not in done for row in rows[:gate]):
        return set()
    unplugs = next((place for place, row in enumerate(rows) if _unplugs(row, power)), -1)
    return {row["id"] for row in rows[gate + 1 : unplugs + 1]}


def _unplugs(row: Step, connectors: set[str]) -> bool:
    return any(op["op"] == "unplug" and op["connector"] in connectors for op in row.get("ops", []))


def _is_live_again(procedure: Procedure, done: set[str]) -> bool:
    """Whether power was unplugged on the way in and is plugged in again, in a device that is not closed."""
    steps = derive(procedure)
    was_out = any(row.get("gate") == "power" and row["id"] in done for row in procedure["in"])
    trial = any(s["phase"] == "turn" and s["undoes"] in done and s["id"] not in done for s in steps)
    is_open = any(s["id"].endswith("-back") and s["source"] in done and s["id"] not in done for s in steps)
    return was_out and not trial and is_open and ("unsafe-unplug" in done or not is_power_out(procedure, done))


def is_power_out(procedure: Procedure, done: set[str]) -> bool:
    """Whether every power connector is out after these steps."""
    power = _power_of(procedure)
    live = set(power)
    for op in (op for step in derive(procedure) if step["id"] in done for op in step["ops"]):
        if op["op"] == "unplug":
            live.discard(op["connector"])
        elif op["op"] == "plug" and op["connector"] in power:
            live.add(op["connector"])
    return not live


def _power_of(procedure: Procedure) -> set[str]:
    return {row["id"] for row in procedure["connectors"] if row.get("power")}
