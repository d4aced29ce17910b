"""Generated from shared/events.json by shared/generate.py. Do not edit."""

from typing import Literal, NotRequired, TypedDict

FOLD_TABLES = "a3102092e59c14c8"
"""The tables that say what events do: the first digits of a SHA-256 over what the fold reads of them."""

TestStage = Literal["intake", "prefit", "final"]
TestResult = Literal["pass", "fail", "cannot"]
Because = Literal["dead", "glass", "lacking", "no_sim", "no_means", "locked", "lost"]
Side = Literal["front", "back", "edge"]
Mark = Literal["crack", "chip", "dent", "scratch", "bend", "missing", "residue", "repair", "swelling", "gap"]
Lock = Literal["unlocked", "locked"]
Indicator = Literal["untouched", "tinged", "red", "not_visible"]
ColourVerdict = Literal["untouched", "tinged", "tripped", "cannot_tell"]
ColourReason = Literal[
    "small",
    "reference_small",
    "glare",
    "reference_glare",
    "dark",
    "reference_dark",
    "uneven",
    "reference_uneven",
    "reference_coloured",
    "other_colour",
]
Sign = Literal["corrosion", "rust", "oxidation", "residue", "moisture"]
Battery = Literal["sound", "swollen", "punctured", "hot", "leaking"]
StopReason = Literal["liquid", "battery", "board", "paired", "customer", "parts", "other"]
TryAction = Literal["first", "reseat", "second_unit", "other_lot", "known_good", "old_part"]
Outcome = Literal["pass", "fail"]
Verdict = Literal["good", "doa", "doubtful"]
CoreCondition = Literal["complete", "cracked", "bent", "burnt", "incomplete", "swollen"]
Purpose = Literal["credit", "doa", "recycling", "battery"]
Channel = Literal["message", "mail", "call", "in_person"]
Loss = Literal["lost", "stripped", "broken"]
StrapItem = Literal["wrist_strap", "mat"]
PhotoUse = Literal["intake", "mark", "liquid", "battery", "test", "repair", "core", "leftover", "other"]
Began = Literal["joined", "restored", "forked"]
ShippingCaution = Literal["none", "battery_inside", "battery_loose", "battery_failed", "battery_damaged"]
Erased = Literal["asked", "time"]
YesNo = Literal["yes", "no"]
LiftPlan = Literal["go_on", "cell_out", "cell_safe"]
Cured = Literal["yes", "no", "unknown"]
Incident = Literal["mixed_screw", "torn_cable", "scratch", "broken_part", "other"]
Owed = Literal["nothing", "repair_again", "replace", "refund", "to_agree"]
Traces = Literal["removed", "none"]
Kind = Literal[
    "station.began",
    "staff.signed_on",
    "strap.checked",
    "mat.checked",
    "job.booked",
    "mark.noted",
    "photo.taken",
    "photo.marked",
    "photo.unmarked",
    "test.read",
    "final.begun",
    "final.read",
    "job.promised",
    "thing.moved",
    "safety.checked",
    "job.started",
    "job.taken_over",
    "step.done",
    "step.undone",
    "liquid.inspected",
    "indicator.read",
    "power.isolated",
    "fastener.removed",
    "fastener.returned",
    "fastener.lost",
    "connector.unplugged",
    "connector.plugged",
    "part.received",
    "part.assigned",
    "prefit.tried",
    "part.judged",
    "complaint.checked",
    "final.rechecked",
    "lock.changed",
    "incident.noted",
    "incident.settled",
    "cell.taken_out",
    "pair.moved",
    "job.stopped",
    "stop.lifted",
    "core.tagged",
    "leftover.checked",
    "note.added",
    "customer.told",
    "job.handed_over",
    "findings.seen",
    "late.seen",
    "job.put_away",
    "box.put_away",
    "part.put_away",
    "data.erased",
    "caution.set",
    "safe.collected",
    "box.opened",
    "box.sealed",
    "box.shipped",
]


class StationBegan(TypedDict):
    """Body of `station.began`."""

    reason: Began
    old_incarnation: NotRequired[str]
    old_seq: NotRequired[int]
    old_head: NotRequired[str]


StaffSignedOn = TypedDict("StaffSignedOn", {"with": Literal["badge", "list"]})


class StrapChecked(TypedDict):
    """Body of `strap.checked`."""

    item: StrapItem
    ohms: int
    limit_ohms: int


class MatChecked(TypedDict):
    """Body of `mat.checked`."""

    ohms: int
    limit_ohms: int


class JobBooked(TypedDict):
    """Body of `job.booked`."""

    device: str
    card: str
    contact: str
    model: str
    complaint: str
    lock: NotRequired[Lock]
    consents: list[str]
    price_limit_minor: NotRequired[int]
    promised_at_ms: NotRequired[int]
    ticket: str
    procedure: NotRequired[str]
    revision: NotRequired[int]
    terms: NotRequired[int]


class MarkNoted(TypedDict):
    """Body of `mark.noted`."""

    mark: str
    side: Side
    what: Mark
    x_pm: int
    y_pm: int
    note: NotRequired[str]
    photos: list[str]


class PhotoTaken(TypedDict):
    """Body of `photo.taken`."""

    photo: str
    use: PhotoUse
    bytes: int
    width: int
    height: int
    note: NotRequired[str]


class PhotoMarked(TypedDict):
    """Body of `photo.marked`."""

    photo: str
    mark: str
    shape: Literal["circle", "arrow"]
    x_pm: int
    y_pm: int
    r_pm: NotRequired[int]
    to_x_pm: NotRequired[int]
    to_y_pm: NotRequired[int]
    note: NotRequired[str]


class PhotoUnmarked(TypedDict):
    """Body of `photo.unmarked`."""

    photo: str
    mark: str


TestRead = TypedDict(
    "TestRead",
    {
        "stage": TestStage,
        "point": str,
        "result": TestResult,
        "because": NotRequired[Because],
        "why": NotRequired[str],
        "try": NotRequired[int],
    },
)


class FinalBegun(TypedDict):
    """Body of `final.begun`."""

    round: int
    why: NotRequired[str]


class FinalRead(TypedDict):
    """Body of `final.read`."""

    round: int
    point: str
    result: TestResult
    because: NotRequired[Because]
    why: NotRequired[str]


class JobPromised(TypedDict):
    """Body of `job.promised`."""

    promised_at_ms: int
    price_limit_minor: NotRequired[int]
    why: str


class ThingMoved(TypedDict):
    """Body of `thing.moved`."""

    thing: str
    to: str
    after: list[str]
    why: NotRequired[str]


class SafetyChecked(TypedDict):
    """Body of `safety.checked`."""

    at: Literal["counter", "bench"]
    wet: YesNo
    bulging: YesNo
    hot: YesNo
    photos: list[str]
    note: NotRequired[str]


class JobStarted(TypedDict):
    """Body of `job.started`."""

    procedure: str
    revision: int


class JobTakenOver(TypedDict):
    """Body of `job.taken_over`."""


class StepDone(TypedDict):
    """Body of `step.done`."""

    step: str


class StepUndone(TypedDict):
    """Body of `step.undone`."""

    step: str
    why: NotRequired[str]


class LiquidInspected(TypedDict):
    """Body of `liquid.inspected`."""

    indicator: Indicator
    signs: list[Sign]
    photos: list[str]
    note: NotRequired[str]


class IndicatorRead(TypedDict):
    """Body of `indicator.read`."""

    photo: str
    x_pm: int
    y_pm: int
    r_pm: int
    reference_x_pm: int
    reference_y_pm: int
    reference_r_pm: int
    verdict: ColourVerdict
    sure_pm: int
    reason: NotRequired[ColourReason]
    de00_centi: NotRequired[int]
    hue_deg: NotRequired[int]
    revision: int


class PowerIsolated(TypedDict):
    """Body of `power.isolated`."""

    battery: Battery
    photos: list[str]
    step: str


class FastenerRemoved(TypedDict):
    """Body of `fastener.removed`."""

    step: str
    group: str
    pocket: int
    count: int


class FastenerReturned(TypedDict):
    """Body of `fastener.returned`."""

    step: str
    group: str
    pocket: int
    count: int


class FastenerLost(TypedDict):
    """Body of `fastener.lost`."""

    group: str
    count: int
    what: Loss
    why: str
    replaced: int
    replaced_by: NotRequired[str]


class ConnectorUnplugged(TypedDict):
    """Body of `connector.unplugged`."""

    step: str
    connector: str


class ConnectorPlugged(TypedDict):
    """Body of `connector.plugged`."""

    step: str
    connector: str


class PartReceived(TypedDict):
    """Body of `part.received`."""

    part: str
    name: str
    part_kind: str
    supplier: str
    lot: str
    shipping_caution: ShippingCaution
    energy_mwh: NotRequired[int]


class PartAssigned(TypedDict):
    """Body of `part.assigned`."""

    part: str


PrefitTried = TypedDict(
    "PrefitTried",
    {
        "try": int,
        "part": NotRequired[str],
        "action": TryAction,
        "outcome": Outcome,
        "failed": list[str],
    },
)


class PartJudged(TypedDict):
    """Body of `part.judged`."""

    part: str
    verdict: Verdict
    shipping_caution: NotRequired[ShippingCaution]
    why: NotRequired[str]


class ComplaintChecked(TypedDict):
    """Body of `complaint.checked`."""

    stage: Literal["prefit", "final"]
    round: int
    cured: Cured
    note: NotRequired[str]


class FinalRechecked(TypedDict):
    """Body of `final.rechecked`."""

    round: int
    points: list[str]


class LockChanged(TypedDict):
    """Body of `lock.changed`."""

    lock: Lock
    why: NotRequired[str]


class IncidentNoted(TypedDict):
    """Body of `incident.noted`."""

    incident: str
    what: Incident
    where: str
    looked: YesNo
    points: list[str]
    note: NotRequired[str]
    photos: list[str]


class IncidentSettled(TypedDict):
    """Body of `incident.settled`."""

    incident: str
    owed: Owed
    say: str


class CellTakenOut(TypedDict):
    """Body of `cell.taken_out`."""

    core: str
    step: str


class PairMoved(TypedDict):
    """Body of `pair.moved`."""

    pair: str
    step: str


class JobStopped(TypedDict):
    """Body of `job.stopped`."""

    reason: StopReason
    battery: NotRequired[Battery]
    note: NotRequired[str]


class StopLifted(TypedDict):
    """Body of `stop.lifted`."""

    reason: StopReason
    plan: LiftPlan
    why: str


class CoreTagged(TypedDict):
    """Body of `core.tagged`."""

    core: str
    name: str
    part_kind: str
    supplier: NotRequired[str]
    condition: CoreCondition
    purpose: Purpose
    replaced_by: NotRequired[str]
    shipping_caution: ShippingCaution
    energy_mwh: NotRequired[int]
    photos: list[str]


class LeftoverChecked(TypedDict):
    """Body of `leftover.checked`."""

    photos: list[str]
    traces: Traces


class NoteAdded(TypedDict):
    """Body of `note.added`."""

    note: str


class CustomerTold(TypedDict):
    """Body of `customer.told`."""

    channel: Channel
    what: str


class JobHandedOver(TypedDict):
    """Body of `job.handed_over`."""

    device: str
    checked: Literal["scanned", "compared", "none"]
    owner_told: NotRequired[str]


class FindingsSeen(TypedDict):
    """Body of `findings.seen`."""

    of: str
    count: int


class LateSeen(TypedDict):
    """Body of `late.seen`."""

    late: str
    chain: str


class JobPutAway(TypedDict):
    """Body of `job.put_away`."""

    things: list[str]


class BoxPutAway(TypedDict):
    """Body of `box.put_away`."""

    box: str


class PartPutAway(TypedDict):
    """Body of `part.put_away`."""

    part: str


class DataErased(TypedDict):
    """Body of `data.erased`."""

    why: Erased


class CautionSet(TypedDict):
    """Body of `caution.set`."""

    thing: str
    shipping_caution: ShippingCaution
    why: str


class SafeCollected(TypedDict):
    """Body of `safe.collected`."""

    things: list[str]
    who: str
    paper: NotRequired[str]
    photos: list[str]


class BoxOpened(TypedDict):
    """Body of `box.opened`."""

    box: str
    supplier: str
    purpose: Purpose


class BoxSealed(TypedDict):
    """Body of `box.sealed`."""

    box: str
    count: int
    weight_g: int
    cores: list[str]


class BoxShipped(TypedDict):
    """Body of `box.shipped`."""

    box: str
    reference: NotRequired[str]
