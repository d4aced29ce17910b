/** What the fold makes: records by collection and key (F5.1). Field names are those of events.json. */
import type {
  Battery,
  ColourReason,
  ColourVerdict,
  Cured,
  Incident,
  LiftPlan,
  Lock,
  Owed,
  StopReason,
  Traces,
  TryAction,
  Verdict,
  YesNo,
} from "../events/kinds.gen.ts";
import type { Collection, StageId } from "../tables.ts";

export type Stamp = { readonly event: string; readonly staff: string | null; readonly at_ms: number };
export type Finding = { readonly slug: string; readonly event: string };
export type TestStage = "intake" | "prefit" | "final";
export type TestResult = "pass" | "fail" | "cannot";
export type Reading = Stamp & { readonly result: TestResult; readonly why: string | null; readonly try: number | null };
/** A reading of a later round of the final test; the first round stands in `tests`. */
export type FinalReading = Stamp & { readonly result: TestResult; readonly why: string | null };
export type FinalRound = Stamp & { readonly round: number; readonly why: string | null };
export type Try = Stamp & {
  readonly try: number;
  /** Null for the old part, tried crosswise, and for a unit that carries no label. */
  readonly part: string | null;
  readonly action: TryAction;
  readonly outcome: "pass" | "fail";
  readonly failed: readonly string[];
};
export type Mark = Stamp & {
  readonly side: "front" | "back" | "edge";
  readonly what: string;
  readonly x_pm: number;
  readonly y_pm: number;
  readonly note: string | null;
  readonly photos: readonly string[];
};
export type Photo = Stamp & {
  readonly use: string;
  readonly note: string | null;
  readonly width: number;
  readonly height: number;
};
/** A circle or an arrow on a photo: places in thousandths of its width and height, the radius of its longer side. */
export type PhotoMark = Stamp & {
  readonly shape: "circle" | "arrow";
  readonly x_pm: number;
  readonly y_pm: number;
  readonly r_pm: number | null;
  readonly to_x_pm: number | null;
  readonly to_y_pm: number | null;
  readonly note: string | null;
};
export type LiquidCheck = Stamp & {
  readonly indicator: string;
  readonly signs: readonly string[];
  readonly photos: readonly string[];
  readonly note: string | null;
};
/** A colour reading of an indicator: where it was marked on the photo, and what the rules said. */
export type IndicatorReading = Stamp & {
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
export type PowerCheck = Stamp & {
  readonly battery: string;
  readonly photos: readonly string[];
  readonly step: string;
};
export type Counters = {
  readonly out?: number;
  readonly back?: number;
  readonly lost?: number;
  readonly replaced?: number;
};
export type Loss = Stamp & {
  readonly group: string;
  readonly count: number;
  readonly what: string;
  readonly why: string;
  readonly replaced: number;
  readonly replaced_by: string | null;
};

export type Lift = Stamp & { readonly reason: StopReason; readonly plan: LiftPlan; readonly why: string };
/** The three questions before any test, charge, heat, cup or pick. */
export type SafetyCheck = Stamp & {
  readonly at: "counter" | "bench";
  readonly wet: YesNo;
  readonly bulging: YesNo;
  readonly hot: YesNo;
  readonly photos: readonly string[];
  readonly note: string | null;
};
/** Something that went wrong by the shop's own doing. */
export type IncidentNoted = Stamp & {
  readonly what: Incident;
  readonly where: string;
  /** Whether the hole and the board below it were looked at. */
  readonly looked: YesNo;
  /** Test points of what was harmed. */
  readonly points: readonly string[];
  readonly note: string | null;
  readonly photos: readonly string[];
};

export type Job = {
  readonly booked: boolean;
  readonly stage: StageId;
  readonly stop: (Stamp & { readonly reason: string }) | null;
  readonly lifts: readonly Lift[];
  readonly device: string | null;
  readonly card: string | null;
  readonly contact: string | null;
  readonly model: string | null;
  readonly complaint: string | null;
  readonly lock: Lock | null;
  readonly consents: readonly string[];
  readonly price_limit_minor: number | null;
  readonly promised_at_ms: number | null;
  readonly ticket: string | null;
  readonly procedure: string | null;
  readonly revision: number | null;
  readonly bench_staff: string | null;
  readonly marks: Readonly<Record<string, Mark>>;
  readonly photos: Readonly<Record<string, Photo>>;
  readonly photo_marks: Readonly<Record<string, PhotoMark>>;
  readonly tests: Readonly<Record<string, Reading>>;
  readonly final_rounds: readonly FinalRound[];
  readonly final_tests: Readonly<Record<string, FinalReading>>;
  readonly tries: readonly Try[];
  readonly liquid: readonly LiquidCheck[];
  readonly readings: readonly IndicatorReading[];
  readonly power: readonly PowerCheck[];
  readonly steps: Readonly<Record<string, Stamp>>;
  readonly ledger: Readonly<Record<string, Counters>>;
  readonly losses: readonly Loss[];
  readonly connectors: Readonly<Record<string, Counters>>;
  readonly pairs: Readonly<Record<string, Stamp>>;
  readonly parts: Readonly<Record<string, Stamp>>;
  readonly cores: Readonly<Record<string, Stamp & { readonly name: string }>>;
  readonly leftover: readonly (Stamp & { readonly photos: readonly string[]; readonly traces: Traces })[];
  readonly notes: readonly (Stamp & { readonly note: string })[];
  readonly told: readonly (Stamp & { readonly channel: string; readonly what: string })[];
  readonly promises: readonly (Stamp & { readonly promised_at_ms: number; readonly why: string })[];
  readonly handed_over: number | null;
  /** What the owner of a device with an unsafe cell inside was told when a lead handed it out. */
  readonly owner_told: string | null;
  readonly safety: readonly SafetyCheck[];
  /** What is known of the battery: the last state that was seen, `out` once an unsafe cell is taken out. */
  readonly cell: Battery | "out" | null;
  /** A lead lifted the stop so that the unsafe cell is taken out; until it is. */
  readonly cell_lifted: true | null;
  /** A lead lifted a stop for liquid: the device is wet and work goes on. */
  readonly wet_lifted: true | null;
  readonly lock_changes: readonly (Stamp & { readonly lock: Lock; readonly why: string | null })[];
  /** Whether the complaint is cured, by stage and round of the final test: `prefit/1`, `final/2`. */
  readonly complaint_checks: Readonly<Record<string, Stamp & { readonly cured: Cured; readonly note: string | null }>>;
  readonly rechecks: readonly (Stamp & { readonly round: number; readonly points: readonly string[] })[];
  readonly incidents: Readonly<Record<string, IncidentNoted>>;
  readonly settlements: Readonly<Record<string, Stamp & { readonly owed: Owed; readonly say: string }>>;
  /** The revision of the shop's own terms that the customer was shown. */
  readonly terms: number | null;
  readonly booked_by: string | null;
  readonly booked_at_ms: number | null;
  readonly findings: readonly Finding[];
};

export type Head = {
  readonly to: string;
  readonly staff: string | null;
  readonly at_ms: number;
  readonly why: string | null;
};

export type Thing = {
  readonly heads: Readonly<Record<string, Head>>;
  readonly job: string | null;
  readonly name: string | null;
  readonly part_kind: string | null;
  readonly supplier: string | null;
  readonly lot: string | null;
  readonly verdict: Verdict | null;
  readonly condition: string | null;
  readonly purpose: string | null;
  readonly replaced_by: string | null;
  readonly shipping_caution: string | null;
  readonly energy_mwh: number | null;
  readonly findings: readonly Finding[];
};

export type Box = {
  readonly supplier: string | null;
  readonly purpose: string | null;
  readonly opened: number | null;
  readonly sealed:
    | (Stamp & { readonly count: number; readonly weight_g: number; readonly cores: readonly string[] })
    | null;
  readonly shipped: (Stamp & { readonly reference: string | null }) | null;
  readonly findings: readonly Finding[];
};

/** A measured resistance and the limit it had to stay below. */
export type StaticCheck = Stamp & { readonly ohms: number; readonly limit_ohms: number };

export type StaffDay = {
  readonly strap: Readonly<Record<string, StaticCheck>>;
  readonly checks: readonly (StaticCheck & { readonly item: string })[];
  readonly signed_on: number | null;
};

export type State = {
  readonly job: ReadonlyMap<string, Job>;
  readonly thing: ReadonlyMap<string, Thing>;
  readonly box: ReadonlyMap<string, Box>;
  readonly staff: ReadonlyMap<string, StaffDay>;
  readonly chain: ReadonlyMap<string, { readonly seq: number }>;
  readonly station: ReadonlyMap<string, { readonly mats: readonly StaticCheck[] }>;
};

export const EMPTY: State = {
  job: new Map(),
  thing: new Map(),
  box: new Map(),
  staff: new Map(),
  chain: new Map(),
  station: new Map(),
};

export type AnyRecord = Record<string, unknown>;
export type AnyState = Readonly<Record<Collection, ReadonlyMap<string, AnyRecord>>>;
