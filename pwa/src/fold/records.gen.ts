// Generated from shared/events.json by shared/generate.py. Do not edit.
import type {
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
  TextId,
  Traces,
  TryAction,
  Verdict,
  YesNo,
} from "../events/kinds.gen.ts";
import type { StageId } from "../tables.ts";

/** Who wrote it and when, and by which event. */
export type Stamp = { readonly event: string; readonly staff: string | null; readonly at_ms: number };
/** A rule that was broken (F5.8). */
export type Finding = { readonly slug: string; readonly event: string };
/** A last move of a thing (F6.2). */
export type Head = {
  readonly to: string;
  readonly staff: string | null;
  readonly at_ms: number;
  readonly why: TextId | null;
};
/** Counters from and to, both included (F5.11). */
export type Range = readonly [from: number, to: number];
/** An event about something put away (F5.12). */
export type Late = Stamp & { readonly code: string };
export type JobLifts = Stamp & { readonly reason: StopReason; readonly plan: LiftPlan; readonly why: TextId };
export type JobMarks = Stamp & {
  readonly side: Side;
  readonly what: Mark;
  readonly x_pm: number;
  readonly y_pm: number;
  readonly note: TextId | null;
  readonly photos: readonly string[];
};
export type JobPhotos = Stamp & {
  readonly use: PhotoUse;
  readonly note: TextId | null;
  readonly width: number;
  readonly height: number;
};
export type JobPhotoMarks = Stamp & {
  readonly shape: "arrow" | "circle";
  readonly x_pm: number;
  readonly y_pm: number;
  readonly r_pm: number | null;
  readonly to_x_pm: number | null;
  readonly to_y_pm: number | null;
  readonly note: TextId | null;
};
export type JobTests = Stamp & {
  readonly result: TestResult;
  readonly because: Because | null;
  readonly why: TextId | null;
  readonly try: number | null;
};
export type JobFinalRounds = Stamp & { readonly round: number; readonly why: string | null };
export type JobFinalTests = Stamp & {
  readonly result: TestResult;
  readonly because: Because | null;
  readonly why: TextId | null;
};
export type JobTries = Stamp & {
  readonly try: number;
  readonly part: string | null;
  readonly action: TryAction;
  readonly outcome: Outcome;
  readonly failed: readonly string[];
};
export type JobLiquid = Stamp & {
  readonly indicator: Indicator;
  readonly signs: readonly Sign[];
  readonly photos: readonly string[];
  readonly note: TextId | null;
};
export type JobReadings = Stamp & {
  readonly photo: string;
  readonly x_pm: number;
  readonly y_pm: number;
  readonly r_pm: number;
  readonly reference_x_pm: number;
  readonly reference_y_pm: number;
  readonly reference_r_pm: number;
  readonly verdict: ColourVerdict;
  readonly sure_pm: number;
  readonly reason: ColourReason | null;
  readonly de00_centi: number | null;
  readonly hue_deg: number | null;
  readonly revision: number;
};
export type JobPower = Stamp & { readonly battery: Battery; readonly photos: readonly string[]; readonly step: string };
export type JobSteps = Stamp;
export type JobLedger = {
  readonly out?: number;
  readonly back?: number;
  readonly lost?: number;
  readonly replaced?: number;
};
export type JobLosses = Stamp & {
  readonly group: string;
  readonly count: number;
  readonly what: Loss;
  readonly why: TextId;
  readonly replaced: number;
  readonly replaced_by: string | null;
};
export type JobConnectors = { readonly out?: number; readonly back?: number };
export type JobPairs = Stamp;
export type JobParts = Stamp;
export type JobCores = Stamp & { readonly name: string };
export type JobLeftover = Stamp & { readonly photos: readonly string[]; readonly traces: Traces };
export type JobNotes = Stamp & { readonly note: TextId };
export type JobTold = Stamp & { readonly channel: Channel; readonly what: string };
export type JobPromises = Stamp & { readonly promised_at_ms: number; readonly why: TextId };
export type JobSafety = Stamp & {
  readonly at: "bench" | "counter";
  readonly wet: YesNo;
  readonly bulging: YesNo;
  readonly hot: YesNo;
  readonly photos: readonly string[];
  readonly note: TextId | null;
};
export type JobLockChanges = Stamp & { readonly lock: Lock; readonly why: TextId | null };
export type JobComplaintChecks = Stamp & { readonly cured: Cured; readonly note: TextId | null };
export type JobRechecks = Stamp & { readonly round: number; readonly points: readonly string[] };
export type JobIncidents = Stamp & {
  readonly what: Incident;
  readonly where: TextId;
  readonly looked: YesNo;
  readonly points: readonly string[];
  readonly note: TextId | null;
  readonly photos: readonly string[];
};
export type JobSettlements = Stamp & { readonly owed: Owed; readonly say: TextId };
export type JobStaticChecks = Stamp & { readonly ohms: number; readonly limit_ohms: number; readonly of: string };

export type Job = {
  readonly booked: boolean;
  readonly stage: StageId;
  readonly stop: (Stamp & { readonly reason: StopReason }) | null;
  /** Stops that a lead lifted. */
  readonly lifts: readonly JobLifts[];
  readonly device: string | null;
  readonly card: string | null;
  readonly contact: string | null;
  readonly model: string | null;
  readonly complaint: TextId | null;
  readonly lock: Lock | null;
  readonly consents: readonly string[];
  readonly price_limit_minor: number | null;
  readonly promised_at_ms: number | null;
  readonly ticket: string | null;
  readonly procedure: string | null;
  readonly revision: number | null;
  readonly bench_staff: string | null;
  readonly marks: Readonly<Record<string, JobMarks>>;
  readonly photos: Readonly<Record<string, JobPhotos>>;
  /** Circles and arrows on photos: places in thousandths of width and height, radius of the longer side. */
  readonly photo_marks: Readonly<Record<string, JobPhotoMarks>>;
  readonly tests: Readonly<Record<string, JobTests>>;
  readonly final_rounds: readonly JobFinalRounds[];
  /** Readings of later rounds of the final test, by round and point; those of the first round are in `tests`. */
  readonly final_tests: Readonly<Record<string, JobFinalTests>>;
  readonly tries: readonly JobTries[];
  readonly liquid: readonly JobLiquid[];
  /** Colour readings of an indicator: where it was marked on the photo, and what the rules said. */
  readonly readings: readonly JobReadings[];
  readonly power: readonly JobPower[];
  readonly steps: Readonly<Record<string, JobSteps>>;
  readonly ledger: Readonly<Record<string, JobLedger>>;
  readonly losses: readonly JobLosses[];
  readonly connectors: Readonly<Record<string, JobConnectors>>;
  readonly pairs: Readonly<Record<string, JobPairs>>;
  readonly parts: Readonly<Record<string, JobParts>>;
  readonly cores: Readonly<Record<string, JobCores>>;
  readonly leftover: readonly JobLeftover[];
  readonly notes: readonly JobNotes[];
  readonly told: readonly JobTold[];
  readonly promises: readonly JobPromises[];
  readonly handed_over: number | null;
  /** What the owner of a device with an unsafe cell inside was told when a lead handed it out. */
  readonly owner_told: TextId | null;
  /** The three questions before any test, charge, heat, cup or pick. */
  readonly safety: readonly JobSafety[];
  /** What is known of the battery: the state seen last, `out` once an unsafe cell is taken out. */
  readonly cell: "hot" | "out" | "swollen" | Battery | null;
  /** A lead lifted the stop so that the unsafe cell can be taken out; until it is. */
  readonly cell_lifted: true | null;
  /** A lead lifted a stop for liquid: the device is wet and work continues. */
  readonly wet_lifted: true | null;
  readonly lock_changes: readonly JobLockChanges[];
  /** Whether the complaint is cured, by stage and round: `prefit/1`, `final/2`. */
  readonly complaint_checks: Readonly<Record<string, JobComplaintChecks>>;
  readonly rechecks: readonly JobRechecks[];
  /** What the shop itself did wrong, by its slug; `settlements` has what a lead decided. */
  readonly incidents: Readonly<Record<string, JobIncidents>>;
  readonly settlements: Readonly<Record<string, JobSettlements>>;
  /** Revision of the shop's own terms that the customer was shown. */
  readonly terms: number | null;
  /** The static checks that stood when steps were done, by their event: of a wrist strap or a mat. */
  readonly static_checks: Readonly<Record<string, JobStaticChecks>>;
  readonly booked_by: string | null;
  readonly booked_at_ms: number | null;
  readonly findings: readonly Finding[];
  /** How many of the findings a lead has looked at. */
  readonly seen: number | null;
};

export type Thing = {
  readonly heads: Readonly<Record<string, Head>>;
  readonly job: string | null;
  readonly name: string | null;
  readonly part_kind: string | null;
  readonly supplier: string | null;
  readonly lot: string | null;
  readonly verdict: Verdict | null;
  readonly condition: CoreCondition | null;
  readonly purpose: Purpose | null;
  readonly replaced_by: string | null;
  readonly shipping_caution: ShippingCaution | null;
  readonly energy_mwh: number | null;
  readonly findings: readonly Finding[];
  /** How many of the findings a lead has looked at. */
  readonly seen: number | null;
};
export type BoxSealed = Stamp & {
  readonly count: number;
  readonly weight_g: number;
  readonly cores: readonly string[];
};
export type BoxShipped = Stamp & { readonly reference: string | null };

export type Box = {
  readonly supplier: string | null;
  readonly purpose: Purpose | null;
  readonly opened: number | null;
  readonly sealed: BoxSealed | null;
  readonly shipped: BoxShipped | null;
  readonly findings: readonly Finding[];
  /** How many of the findings a lead has looked at. */
  readonly seen: number | null;
};
export type StaffStrap = Stamp & { readonly ohms: number; readonly limit_ohms: number };
export type StaffStraps = Stamp & { readonly ohms: number; readonly limit_ohms: number };

export type Staff = {
  readonly strap: Readonly<Record<string, StaffStrap>>;
  /** The latest static checks of the wrist strap: a measured resistance and the limit it had to stay below. */
  readonly straps: readonly StaffStraps[];
  readonly signed_on: number | null;
};

export type Chain = {
  readonly seq: number;
  /** Counters of this chain's codes that were put away (F5.11): ranges from and to, in ascending order. */
  readonly away: readonly Range[];
  /** Events of this chain about something put away (F5.12), by their id, until a lead has looked at them. */
  readonly late: Readonly<Record<string, Late>>;
};
export type StationMats = Stamp & { readonly ohms: number; readonly limit_ohms: number };

export type Station = {
  /** The latest static checks of the mat at this bench. */
  readonly mats: readonly StationMats[];
};
