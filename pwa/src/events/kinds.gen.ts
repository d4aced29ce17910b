// Generated from shared/events.json by shared/generate.py. Do not edit.

/** The tables that say what events do: the first digits of a SHA-256 over what the fold reads of them. */
export const FOLD_TABLES = "a3102092e59c14c8";

export type TestStage = "intake" | "prefit" | "final";
export type TestResult = "pass" | "fail" | "cannot";
export type Because = "dead" | "glass" | "lacking" | "no_sim" | "no_means" | "locked" | "lost";
export type Side = "front" | "back" | "edge";
export type Mark =
  | "crack"
  | "chip"
  | "dent"
  | "scratch"
  | "bend"
  | "missing"
  | "residue"
  | "repair"
  | "swelling"
  | "gap";
export type Lock = "unlocked" | "locked";
export type Indicator = "untouched" | "tinged" | "red" | "not_visible";
export type ColourVerdict = "untouched" | "tinged" | "tripped" | "cannot_tell";
export type ColourReason =
  | "small"
  | "reference_small"
  | "glare"
  | "reference_glare"
  | "dark"
  | "reference_dark"
  | "uneven"
  | "reference_uneven"
  | "reference_coloured"
  | "other_colour";
export type Sign = "corrosion" | "rust" | "oxidation" | "residue" | "moisture";
export type Battery = "sound" | "swollen" | "punctured" | "hot" | "leaking";
export type StopReason = "liquid" | "battery" | "board" | "paired" | "customer" | "parts" | "other";
export type TryAction = "first" | "reseat" | "second_unit" | "other_lot" | "known_good" | "old_part";
export type Outcome = "pass" | "fail";
export type Verdict = "good" | "doa" | "doubtful";
export type CoreCondition = "complete" | "cracked" | "bent" | "burnt" | "incomplete" | "swollen";
export type Purpose = "credit" | "doa" | "recycling" | "battery";
export type Channel = "message" | "mail" | "call" | "in_person";
export type Loss = "lost" | "stripped" | "broken";
export type StrapItem = "wrist_strap" | "mat";
export type PhotoUse = "intake" | "mark" | "liquid" | "battery" | "test" | "repair" | "core" | "leftover" | "other";
export type Began = "joined" | "restored" | "forked";
export type ShippingCaution = "none" | "battery_inside" | "battery_loose" | "battery_failed" | "battery_damaged";
export type Erased = "asked" | "time";
export type YesNo = "yes" | "no";
export type LiftPlan = "go_on" | "cell_out" | "cell_safe";
export type Cured = "yes" | "no" | "unknown";
export type Incident = "mixed_screw" | "torn_cable" | "scratch" | "broken_part" | "other";
export type Owed = "nothing" | "repair_again" | "replace" | "refund" | "to_agree";
export type Traces = "removed" | "none";
export type Kind =
  | "station.began"
  | "staff.signed_on"
  | "strap.checked"
  | "mat.checked"
  | "job.booked"
  | "mark.noted"
  | "photo.taken"
  | "photo.marked"
  | "photo.unmarked"
  | "test.read"
  | "final.begun"
  | "final.read"
  | "job.promised"
  | "thing.moved"
  | "safety.checked"
  | "job.started"
  | "job.taken_over"
  | "step.done"
  | "step.undone"
  | "liquid.inspected"
  | "indicator.read"
  | "power.isolated"
  | "fastener.removed"
  | "fastener.returned"
  | "fastener.lost"
  | "connector.unplugged"
  | "connector.plugged"
  | "part.received"
  | "part.assigned"
  | "prefit.tried"
  | "part.judged"
  | "complaint.checked"
  | "final.rechecked"
  | "lock.changed"
  | "incident.noted"
  | "incident.settled"
  | "cell.taken_out"
  | "pair.moved"
  | "job.stopped"
  | "stop.lifted"
  | "core.tagged"
  | "leftover.checked"
  | "note.added"
  | "customer.told"
  | "job.handed_over"
  | "findings.seen"
  | "late.seen"
  | "job.put_away"
  | "box.put_away"
  | "part.put_away"
  | "data.erased"
  | "caution.set"
  | "safe.collected"
  | "box.opened"
  | "box.sealed"
  | "box.shipped";

/**
 * The id of a text (F7.9): a string, which the compiler takes for a symbol, so that neither JSX nor a template
 * shows it in place of its text.
 */
export type TextId = symbol;

/** What is written of each kind (F2.5); texts as they were typed. */
export type Bodies = {
  readonly "station.began": {
    readonly reason: Began;
    readonly old_incarnation?: string;
    readonly old_seq?: number;
    readonly old_head?: string;
  };
  readonly "staff.signed_on": {
    readonly with: "badge" | "list";
  };
  readonly "strap.checked": {
    readonly item: StrapItem;
    readonly ohms: number;
    readonly limit_ohms: number;
  };
  readonly "mat.checked": {
    readonly ohms: number;
    readonly limit_ohms: number;
  };
  readonly "job.booked": {
    readonly device: string;
    readonly card: string;
    readonly contact: string;
    readonly model: string;
    readonly complaint: string;
    readonly lock?: Lock;
    readonly consents: readonly string[];
    readonly price_limit_minor?: number;
    readonly promised_at_ms?: number;
    readonly ticket: string;
    readonly procedure?: string;
    readonly revision?: number;
    readonly terms?: number;
  };
  readonly "mark.noted": {
    readonly mark: string;
    readonly side: Side;
    readonly what: Mark;
    readonly x_pm: number;
    readonly y_pm: number;
    readonly note?: string;
    readonly photos: readonly string[];
  };
  readonly "photo.taken": {
    readonly photo: string;
    readonly use: PhotoUse;
    readonly bytes: number;
    readonly width: number;
    readonly height: number;
    readonly note?: string;
  };
  readonly "photo.marked": {
    readonly photo: string;
    readonly mark: string;
    readonly shape: "circle" | "arrow";
    readonly x_pm: number;
    readonly y_pm: number;
    readonly r_pm?: number;
    readonly to_x_pm?: number;
    readonly to_y_pm?: number;
    readonly note?: string;
  };
  readonly "photo.unmarked": {
    readonly photo: string;
    readonly mark: string;
  };
  readonly "test.read": {
    readonly stage: TestStage;
    readonly point: string;
    readonly result: TestResult;
    readonly because?: Because;
    readonly why?: string;
    readonly try?: number;
  };
  readonly "final.begun": {
    readonly round: number;
    readonly why?: string;
  };
  readonly "final.read": {
    readonly round: number;
    readonly point: string;
    readonly result: TestResult;
    readonly because?: Because;
    readonly why?: string;
  };
  readonly "job.promised": {
    readonly promised_at_ms: number;
    readonly price_limit_minor?: number;
    readonly why: string;
  };
  readonly "thing.moved": {
    readonly thing: string;
    readonly to: string;
    readonly after: readonly string[];
    readonly why?: string;
  };
  readonly "safety.checked": {
    readonly at: "counter" | "bench";
    readonly wet: YesNo;
    readonly bulging: YesNo;
    readonly hot: YesNo;
    readonly photos: readonly string[];
    readonly note?: string;
  };
  readonly "job.started": {
    readonly procedure: string;
    readonly revision: number;
  };
  readonly "job.taken_over": Readonly<Record<string, never>>;
  readonly "step.done": {
    readonly step: string;
  };
  readonly "step.undone": {
    readonly step: string;
    readonly why?: string;
  };
  readonly "liquid.inspected": {
    readonly indicator: Indicator;
    readonly signs: readonly Sign[];
    readonly photos: readonly string[];
    readonly note?: string;
  };
  readonly "indicator.read": {
    readonly photo: string;
    readonly x_pm: number;
    readonly y_pm: number;
    readonly r_pm: number;
    readonly reference_x_pm: number;
    readonly reference_y_pm: number;
    readonly reference_r_pm: number;
    readonly verdict: ColourVerdict;
    readonly sure_pm: number;
    readonly reason?: ColourReason;
    readonly de00_centi?: number;
    readonly hue_deg?: number;
    readonly revision: number;
  };
  readonly "power.isolated": {
    readonly battery: Battery;
    readonly photos: readonly string[];
    readonly step: string;
  };
  readonly "fastener.removed": {
    readonly step: string;
    readonly group: string;
    readonly pocket: number;
    readonly count: number;
  };
  readonly "fastener.returned": {
    readonly step: string;
    readonly group: string;
    readonly pocket: number;
    readonly count: number;
  };
  readonly "fastener.lost": {
    readonly group: string;
    readonly count: number;
    readonly what: Loss;
    readonly why: string;
    readonly replaced: number;
    readonly replaced_by?: string;
  };
  readonly "connector.unplugged": {
    readonly step: string;
    readonly connector: string;
  };
  readonly "connector.plugged": {
    readonly step: string;
    readonly connector: string;
  };
  readonly "part.received": {
    readonly part: string;
    readonly name: string;
    readonly part_kind: string;
    readonly supplier: string;
    readonly lot: string;
    readonly shipping_caution: ShippingCaution;
    readonly energy_mwh?: number;
  };
  readonly "part.assigned": {
    readonly part: string;
  };
  readonly "prefit.tried": {
    readonly try: number;
    readonly part?: string;
    readonly action: TryAction;
    readonly outcome: Outcome;
    readonly failed: readonly string[];
  };
  readonly "part.judged": {
    readonly part: string;
    readonly verdict: Verdict;
    readonly shipping_caution?: ShippingCaution;
    readonly why?: string;
  };
  readonly "complaint.checked": {
    readonly stage: "prefit" | "final";
    readonly round: number;
    readonly cured: Cured;
    readonly note?: string;
  };
  readonly "final.rechecked": {
    readonly round: number;
    readonly points: readonly string[];
  };
  readonly "lock.changed": {
    readonly lock: Lock;
    readonly why?: string;
  };
  readonly "incident.noted": {
    readonly incident: string;
    readonly what: Incident;
    readonly where: string;
    readonly looked: YesNo;
    readonly points: readonly string[];
    readonly note?: string;
    readonly photos: readonly string[];
  };
  readonly "incident.settled": {
    readonly incident: string;
    readonly owed: Owed;
    readonly say: string;
  };
  readonly "cell.taken_out": {
    readonly core: string;
    readonly step: string;
  };
  readonly "pair.moved": {
    readonly pair: string;
    readonly step: string;
  };
  readonly "job.stopped": {
    readonly reason: StopReason;
    readonly battery?: Battery;
    readonly note?: string;
  };
  readonly "stop.lifted": {
    readonly reason: StopReason;
    readonly plan: LiftPlan;
    readonly why: string;
  };
  readonly "core.tagged": {
    readonly core: string;
    readonly name: string;
    readonly part_kind: string;
    readonly supplier?: string;
    readonly condition: CoreCondition;
    readonly purpose: Purpose;
    readonly replaced_by?: string;
    readonly shipping_caution: ShippingCaution;
    readonly energy_mwh?: number;
    readonly photos: readonly string[];
  };
  readonly "leftover.checked": {
    readonly photos: readonly string[];
    readonly traces: Traces;
  };
  readonly "note.added": {
    readonly note: string;
  };
  readonly "customer.told": {
    readonly channel: Channel;
    readonly what: string;
  };
  readonly "job.handed_over": {
    readonly device: string;
    readonly checked: "scanned" | "compared" | "none";
    readonly owner_told?: string;
  };
  readonly "findings.seen": {
    readonly of: string;
    readonly count: number;
  };
  readonly "late.seen": {
    readonly late: string;
    readonly chain: string;
  };
  readonly "job.put_away": {
    readonly things: readonly string[];
  };
  readonly "box.put_away": {
    readonly box: string;
  };
  readonly "part.put_away": {
    readonly part: string;
  };
  readonly "data.erased": {
    readonly why: Erased;
  };
  readonly "caution.set": {
    readonly thing: string;
    readonly shipping_caution: ShippingCaution;
    readonly why: string;
  };
  readonly "safe.collected": {
    readonly things: readonly string[];
    readonly who: string;
    readonly paper?: string;
    readonly photos: readonly string[];
  };
  readonly "box.opened": {
    readonly box: string;
    readonly supplier: string;
    readonly purpose: Purpose;
  };
  readonly "box.sealed": {
    readonly box: string;
    readonly count: number;
    readonly weight_g: number;
    readonly cores: readonly string[];
  };
  readonly "box.shipped": {
    readonly box: string;
    readonly reference?: string;
  };
};
