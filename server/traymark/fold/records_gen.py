"""Generated from shared/events.json by shared/generate.py. Do not edit."""

from typing import Literal, NotRequired, TypedDict

from traymark.events.kinds_gen import (
    Battery,
    Because,
    Channel,
    ColourReason,
    ColourVerdict,
    CoreCondition,
    Cured,
    Incident,
    Indicator,
    LiftPlan,
    Lock,
    Loss,
    Mark,
    Outcome,
    Owed,
    PhotoUse,
    Purpose,
    ShippingCaution,
    Side,
    Sign,
    StopReason,
    TestResult,
    Traces,
    TryAction,
    Verdict,
    YesNo,
)


class Stamp(TypedDict):
    """Who wrote it and when, and by which event."""

    event: str
    staff: str | None
    at_ms: int


class Finding(TypedDict):
    """A rule that was broken (F5.8)."""

    slug: str
    event: str


class Head(TypedDict):
    """A last move of a thing (F6.2)."""

    to: str
    staff: str | None
    at_ms: int
    why: str | None


class Late(Stamp):
    """An event about something put away (F5.12)."""

    code: str


class JobStop(Stamp):
    reason: StopReason


class JobLifts(Stamp):
    reason: StopReason
    plan: LiftPlan
    why: str


class JobMarks(Stamp):
    side: Side
    what: Mark
    x_pm: int
    y_pm: int
    note: str | None
    photos: list[str]


class JobPhotos(Stamp):
    use: PhotoUse
    note: str | None
    width: int
    height: int


class JobPhotoMarks(Stamp):
    shape: Literal["circle", "arrow"]
    x_pm: int
    y_pm: int
    r_pm: int | None
    to_x_pm: int | None
    to_y_pm: int | None
    note: str | None


JobTests = TypedDict(
    "JobTests",
    {
        "result": TestResult,
        "because": Because | None,
        "why": str | None,
        "try": int | None,
        "event": str,
        "staff": str | None,
        "at_ms": int,
    },
)


class JobFinalRounds(Stamp):
    round: int
    why: str | None


class JobFinalTests(Stamp):
    result: TestResult
    because: Because | None
    why: str | None


JobTries = TypedDict(
    "JobTries",
    {
        "try": int,
        "part": str | None,
        "action": TryAction,
        "outcome": Outcome,
        "failed": list[str],
        "event": str,
        "staff": str | None,
        "at_ms": int,
    },
)


class JobLiquid(Stamp):
    indicator: Indicator
    signs: list[Sign]
    photos: list[str]
    note: str | None


class JobReadings(Stamp):
    photo: str
    x_pm: int
    y_pm: int
    r_pm: int
    reference_x_pm: int
    reference_y_pm: int
    reference_r_pm: int
    verdict: ColourVerdict
    sure_pm: int
    reason: ColourReason | None
    de00_centi: int | None
    hue_deg: int | None
    revision: int


class JobPower(Stamp):
    battery: Battery
    photos: list[str]
    step: str


class JobSteps(Stamp):
    pass


class JobLedger(TypedDict):
    out: NotRequired[int]
    back: NotRequired[int]
    lost: NotRequired[int]
    replaced: NotRequired[int]


class JobLosses(Stamp):
    group: str
    count: int
    what: Loss
    why: str
    replaced: int
    replaced_by: str | None


class JobConnectors(TypedDict):
    out: NotRequired[int]
    back: NotRequired[int]


class JobPairs(Stamp):
    pass


class JobParts(Stamp):
    pass


class JobCores(Stamp):
    name: str


class JobLeftover(Stamp):
    photos: list[str]
    traces: Traces


class JobNotes(Stamp):
    note: str


class JobTold(Stamp):
    channel: Channel
    what: str


class JobPromises(Stamp):
    promised_at_ms: int
    why: str


class JobSafety(Stamp):
    at: Literal["counter", "bench"]
    wet: YesNo
    bulging: YesNo
    hot: YesNo
    photos: list[str]
    note: str | None


class JobLockChanges(Stamp):
    lock: Lock
    why: str | None


class JobComplaintChecks(Stamp):
    cured: Cured
    note: str | None


class JobRechecks(Stamp):
    round: int
    points: list[str]


class JobIncidents(Stamp):
    what: Incident
    where: str
    looked: YesNo
    points: list[str]
    note: str | None
    photos: list[str]


class JobSettlements(Stamp):
    owed: Owed
    say: str


class JobStaticChecks(Stamp):
    ohms: int
    limit_ohms: int
    of: str


class Job(TypedDict):
    """A record of `job`."""

    booked: bool
    stage: str
    stop: JobStop | None
    lifts: list[JobLifts]
    """Stops that a lead lifted."""
    device: str | None
    card: str | None
    contact: str | None
    model: str | None
    complaint: str | None
    lock: Lock | None
    consents: list[str]
    price_limit_minor: int | None
    promised_at_ms: int | None
    ticket: str | None
    procedure: str | None
    revision: int | None
    bench_staff: str | None
    marks: dict[str, JobMarks]
    photos: dict[str, JobPhotos]
    photo_marks: dict[str, JobPhotoMarks]
    """Circles and arrows on photos: places in thousandths of width and height, radius of the longer side."""
    tests: dict[str, JobTests]
    final_rounds: list[JobFinalRounds]
    final_tests: dict[str, JobFinalTests]
    """Readings of later rounds of the final test, by round and point; those of the first round are in `tests`."""
    tries: list[JobTries]
    liquid: list[JobLiquid]
    readings: list[JobReadings]
    """Colour readings of an indicator: where it was marked on the photo, and what the rules said."""
    power: list[JobPower]
    steps: dict[str, JobSteps]
    ledger: dict[str, JobLedger]
    losses: list[JobLosses]
    connectors: dict[str, JobConnectors]
    pairs: dict[str, JobPairs]
    parts: dict[str, JobParts]
    cores: dict[str, JobCores]
    leftover: list[JobLeftover]
    notes: list[JobNotes]
    told: list[JobTold]
    promises: list[JobPromises]
    handed_over: int | None
    owner_told: str | None
    """What the owner of a device with an unsafe cell inside was told when a lead handed it out."""
    safety: list[JobSafety]
    """The three questions before any test, charge, heat, cup or pick."""
    cell: Battery | Literal["hot"] | Literal["out"] | Literal["swollen"] | None
    """What is known of the battery: the state seen last, `out` once an unsafe cell is taken out."""
    cell_lifted: Literal[True] | None
    """A lead lifted the stop so that the unsafe cell can be taken out; until it is."""
    wet_lifted: Literal[True] | None
    """A lead lifted a stop for liquid: the device is wet and work continues."""
    lock_changes: list[JobLockChanges]
    complaint_checks: dict[str, JobComplaintChecks]
    """Whether the complaint is cured, by stage and round: `prefit/1`, `final/2`."""
    rechecks: list[JobRechecks]
    incidents: dict[str, JobIncidents]
    """What the shop itself did wrong, by its slug; `settlements` has what a lead decided."""
    settlements: dict[str, JobSettlements]
    terms: int | None
    """Revision of the shop's own terms that the customer was shown."""
    static_checks: dict[str, JobStaticChecks]
    """The static checks that stood when steps were done, by their event: of a wrist strap or a mat."""
    booked_by: str | None
    booked_at_ms: int | None
    findings: list[Finding]
    seen: int | None
    """How many of the findings a lead has looked at."""


class Thing(TypedDict):
    """A record of `thing`."""

    heads: dict[str, Head]
    job: str | None
    name: str | None
    part_kind: str | None
    supplier: str | None
    lot: str | None
    verdict: Verdict | None
    condition: CoreCondition | None
    purpose: Purpose | None
    replaced_by: str | None
    shipping_caution: ShippingCaution | None
    energy_mwh: int | None
    findings: list[Finding]
    seen: int | None
    """How many of the findings a lead has looked at."""


class BoxSealed(Stamp):
    count: int
    weight_g: int
    cores: list[str]


class BoxShipped(Stamp):
    reference: str | None


class Box(TypedDict):
    """A record of `box`."""

    supplier: str | None
    purpose: Purpose | None
    opened: int | None
    sealed: BoxSealed | None
    shipped: BoxShipped | None
    findings: list[Finding]
    seen: int | None
    """How many of the findings a lead has looked at."""


class StaffStrap(Stamp):
    ohms: int
    limit_ohms: int


class StaffStraps(Stamp):
    ohms: int
    limit_ohms: int


class Staff(TypedDict):
    """A record of `staff`."""

    strap: dict[str, StaffStrap]
    straps: list[StaffStraps]
    """The latest static checks of the wrist strap: a measured resistance and the limit it had to stay below."""
    signed_on: int | None


class Chain(TypedDict):
    """A record of `chain`."""

    seq: int
    away: list[list[int]]
    """Counters of this chain's codes that were put away (F5.11): ranges from and to, in ascending order."""
    late: dict[str, Late]
    """Events of this chain about something put away (F5.12), by their id, until a lead has looked at them."""


class StationMats(Stamp):
    ohms: int
    limit_ohms: int


class Station(TypedDict):
    """A record of `station`."""

    mats: list[StationMats]
    """The latest static checks of the mat at this bench."""
