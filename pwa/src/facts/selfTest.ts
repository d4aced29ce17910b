/** What a device found about itself, as readings a technician may accept: nothing here is a reading yet. */
import { state } from "../current.ts";
import type { Job, TestResult, TestStage } from "../fold/state.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { attribute } from "../rules/attribution.ts";
import { nextStep } from "../rules/bench.ts";
import { prefitPoints } from "../rules/prefit.ts";
import { pointsOf, seen } from "../rules/tests.ts";
import { testPoints } from "../tables/testPoints.ts";
import { pointName } from "../words/points.ts";
import { presentTry } from "./prefit.ts";
import { workOf } from "./work.ts";

type Answer = "good" | "bad";
type Barred = "insecure" | "missing" | "refused";
type Asked = { readonly answer: Answer };
export type Touch = {
  readonly columns: number;
  readonly rows: number;
  /** A 1 for each cell that answered, row by row from the upper left. */
  readonly reached: string;
  readonly fingers: number;
  readonly screen_pct: number;
};
export type Spots = readonly (readonly [number, number])[];

/** The form of server/traymark/selftest/results.py; null for what was skipped. */
export type Found = {
  readonly touch: Touch | null;
  readonly picture: (Asked & { readonly spots: Spots }) | null;
  readonly light: Asked | null;
  readonly speaker: Readonly<Record<"left" | "right" | "sweep", Answer | null>> | null;
  readonly microphone: (Asked & { readonly level_pct: number }) | null;
  readonly front_camera: (Asked & { readonly width: number; readonly height: number }) | null;
  readonly rear_camera: (Asked & { readonly width: number; readonly height: number }) | null;
  readonly vibration: Asked | null;
  readonly gyroscope: (Asked & { readonly tilt_deg: number }) | null;
  readonly compass: (Asked & { readonly eighths: number }) | null;
  readonly keys: { readonly volume_up: number; readonly volume_down: number; readonly sleeps: number } | null;
  readonly network: {
    readonly sent: number;
    readonly answered: number;
    readonly median_ms: number;
    readonly over: string;
  } | null;
  readonly barred: Readonly<Record<string, Barred>>;
};

export type Proposal = {
  readonly point: string;
  /** Null when what was found is not conclusive; then a person decides. */
  readonly result: "pass" | "fail" | null;
  readonly evidence: string;
  readonly touch?: Touch;
  readonly spots?: Spots;
};

/** Which points are open to a self-test, and the try they count for. `code-unknown`, `selftest-stage`. */
export function openPoints(
  code: string,
  stage: TestStage,
): Result<{ readonly job: Job; readonly points: readonly string[]; readonly try: number | null }> {
  const job = state.value.job.get(code);
  if (job === undefined || !job.booked) return refuse("code-unknown", code);
  if (stage === "intake") {
    return job.stage === "booked" ? ok({ job, points: pointsOf("intake"), try: null }) : refuse("selftest-stage");
  }
  if (stage === "final") {
    return job.stage === "handed_over" ? refuse("selftest-stage") : ok({ job, points: pointsOf("final"), try: null });
  }
  const work = workOf(code);
  if (!work.ok) return work;
  const step = nextStep(work.value.job, work.value.procedure);
  if (step?.gate !== "prefit") return refuse("selftest-stage");
  const points = prefitPoints(work.value.procedure, step);
  const now = presentTry(job, points);
  return now.part === null ? refuse("part-missing") : ok({ job, points, try: now.number });
}

/** Proposals for the points that are open, in the order of the table of points. */
export function proposalsOf(found: Found, points: readonly string[]): readonly Proposal[] {
  const order = Object.keys(testPoints);
  return allProposals(found)
    .filter((p) => points.includes(p.point))
    .sort((a, b) => order.indexOf(a.point) - order.indexOf(b.point));
}

/** What the device's browser kept from the page, in words. */
export const barredWords = (found: Found): readonly string[] =>
  Object.entries(found.barred).map(([test, why]) => `${TEST_NAMES[test] ?? test}: ${BARRED[why]}`);

/**
 * The reason that goes on a reading. A final failure that nobody could know of is closed by a note of what was agreed with
 * the customer, and that note is this very field: evidence must not take its place, so it goes on the job's note only.
 */
export function whyOf(job: Job, stage: TestStage, proposal: Proposal, result: TestResult): string | null {
  const { point } = proposal;
  const isAgreement =
    stage === "final" &&
    result === "fail" &&
    attribute(seen(job, "intake", point), seen(job, "prefit", point), "fail") === "unknown_before";
  if (isAgreement) return null;
  return proposal.result !== null && proposal.result !== result
    ? clip(`judged by hand; the device said: ${proposal.evidence}`, WHY_MOST)
    : clip(proposal.evidence, WHY_MOST);
}

/** The job's note: every reading, with the evidence for it. */
export function noteOf(
  stage: TestStage,
  taken: readonly { readonly proposal: Proposal; readonly result: TestResult }[],
): string {
  const lines = taken.map(
    ({ proposal, result }) =>
      `${pointName(proposal.point)} ${result === "pass" ? "works" : "fails"} (${proposal.evidence})`,
  );
  return clip(`The device tested itself, ${STAGE_WORDS[stage]}: ${lines.join("; ")}`, NOTE_MOST);
}

export const STAGE_WORDS: Readonly<Record<TestStage, string>> = {
  intake: "at intake",
  prefit: "before fitting",
  final: "at the end",
};

/** "lower right", "middle": where most of the dead cells lie, by thirds of the glass. */
export function deadZone({ columns, rows, reached }: Touch): string {
  const dead = [...reached].flatMap((bit, cell) =>
    bit === "0" ? [{ x: cell % columns, y: Math.floor(cell / columns) }] : [],
  );
  const third = (part: "x" | "y", whole: number): 0 | 1 | 2 => {
    const middle = dead.reduce((sum, cell) => sum + cell[part] + 0.5, 0) / dead.length;
    return Math.min(2, Math.floor((3 * middle) / whole)) as 0 | 1 | 2;
  };
  const words = [["upper", "", "lower"][third("y", rows)], ["left", "", "right"][third("x", columns)]];
  return words.filter((w) => w !== "").join(" ") || "middle";
}

/** Never 100 while any cell is missing. */
export const coveragePct = ({ reached }: Touch): number =>
  Math.floor((100 * (reached.split("1").length - 1)) / reached.length);

// events.json: `why` of test.read, `note` of note.added
const WHY_MOST = 200;
const NOTE_MOST = 600;
/** An unintended tilt of the hand does not prove a sensor; most of the circle must have been seen (our choice). */
const TILT_DEG = 20;
const EIGHTHS = 6;

function allProposals(found: Found): readonly Proposal[] {
  const made: Proposal[] = [];
  const { touch, picture, light, speaker, microphone, vibration, gyroscope, compass, keys, network } = found;
  if (touch !== null) made.push(touchOf(touch), fingersOf(touch));
  if (picture !== null) {
    const many = picture.spots.length;
    const where = many === 0 ? "" : `, ${many} ${many === 1 ? "place" : "places"} shown`;
    made.push({
      point: "display_image",
      ...said(picture.answer, "every colour whole", `something on a plain colour${where}`),
      spots: picture.spots,
    });
  }
  if (light !== null) made.push({ point: "display_light", ...said(light.answer, "even", "not even, or it flickers") });
  if (vibration !== null) {
    made.push({ point: "vibration", ...said(vibration.answer, "it vibrates", "it does not vibrate well") });
  }
  if (speaker !== null) made.push(speakerOf(speaker));
  if (microphone !== null) {
    const level = `, measured: loudest ${microphone.level_pct} % of full`;
    made.push({ point: "microphone", ...said(microphone.answer, `clear${level}`, `not clear${level}`) });
  }
  for (const point of ["front_camera", "rear_camera"] as const) {
    const camera = found[point];
    if (camera === null) continue;
    const size = `, picture of ${camera.width} x ${camera.height}`;
    made.push({ point, ...said(camera.answer, `sharp${size}`, `not sharp, or spots${size}`) });
  }
  if (gyroscope !== null) {
    const { evidence, result } = said(gyroscope.answer, "the bubble follows", "the bubble does not follow");
    made.push({
      point: "gyroscope",
      result: gyroscope.tilt_deg < TILT_DEG && result === "pass" ? null : result,
      evidence: `${evidence}, measured: tilted by ${gyroscope.tilt_deg} degrees`,
    });
  }
  if (compass !== null) {
    const { evidence, result } = said(compass.answer, "north stays", "north does not stay");
    made.push({
      point: "compass",
      result: compass.eighths < EIGHTHS && result === "pass" ? null : result,
      evidence: `${evidence}, measured: ${compass.eighths} of 8 directions`,
    });
  }
  if (keys !== null) {
    // A press that the page does not see means nothing: most browsers keep these keys to themselves.
    if (keys.volume_up > 0 && keys.volume_down > 0) {
      const evidence = `measured: volume up ${keys.volume_up}, volume down ${keys.volume_down} times`;
      made.push({ point: "volume_buttons", result: "pass", evidence });
    }
    if (keys.sleeps > 0) {
      const times = keys.sleeps === 1 ? "once" : `${keys.sleeps} times`;
      made.push({ point: "power_button", result: "pass", evidence: `measured: slept and woke ${times}` });
    }
  }
  if (network !== null && network.over !== "cellular" && network.over !== "other") {
    const all = network.answered === network.sent;
    const over = network.over === "wifi" ? "" : "; over which network the browser does not say";
    made.push({
      point: "wifi",
      result: all && network.over === "wifi" ? "pass" : null,
      evidence: `measured: the server answered ${network.answered} of ${network.sent} times, in ${network.median_ms} ms${over}`,
    });
  }
  return made;
}

function touchOf(touch: Touch): Proposal {
  const pct = coveragePct(touch);
  const dead = touch.reached.split("0").length - 1;
  const where = dead === 0 ? "" : `; ${dead} of ${touch.reached.length} cells dead, ${deadZone(touch)}`;
  return {
    point: "touch",
    result: dead === 0 ? "pass" : "fail",
    evidence: `measured: ${pct} % of the glass answers${where}; the page had ${touch.screen_pct} % of the screen`,
    touch,
  };
}

function fingersOf(touch: Touch): Proposal {
  return touch.fingers >= 2
    ? { point: "multi_touch", result: "pass", evidence: `measured: ${touch.fingers} fingers at once` }
    : { point: "multi_touch", result: null, evidence: "measured: never two fingers at once" };
}

function speakerOf(speaker: NonNullable<Found["speaker"]>): Proposal {
  const parts = (["left", "right", "sweep"] as const).filter((part) => speaker[part] !== null);
  const bad = parts.filter((part) => speaker[part] === "bad");
  const names = { left: "left tone", right: "right tone", sweep: "rising tone" };
  if (bad.length > 0) {
    return {
      point: "loudspeaker",
      result: "fail",
      evidence: `answered: ${bad.map((p) => names[p]).join(", ")} not clear`,
    };
  }
  return {
    point: "loudspeaker",
    result: parts.length === 3 ? "pass" : null,
    evidence: parts.length === 0 ? "answered: nothing" : `answered: ${parts.map((p) => names[p]).join(", ")} clear`,
  };
}

const said = (answer: Answer, good: string, bad: string): Pick<Proposal, "result" | "evidence"> =>
  answer === "good"
    ? { result: "pass", evidence: `answered: ${good}` }
    : { result: "fail", evidence: `answered: ${bad}` };

function clip(text: string, most: number): string {
  const letters = [...text];
  return letters.length <= most ? text : `${letters.slice(0, most - 1).join("")}…`;
}

const BARRED: Readonly<Record<Barred, string>> = {
  insecure: "the page came without https",
  missing: "its browser does not offer it",
  refused: "its browser was told not to allow it",
};
const TEST_NAMES: Readonly<Record<string, string>> = {
  touch: "Touch",
  picture: "Picture",
  light: "Backlight",
  speaker: "Loudspeaker",
  microphone: "Microphone",
  front_camera: "Front camera",
  rear_camera: "Rear camera",
  vibration: "Vibration",
  gyroscope: "Motion sensor",
  compass: "Compass",
  keys: "Buttons",
  network: "Network",
};
