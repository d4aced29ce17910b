/** What a record says of the device: cautions, condition, what was found, what went wrong by us, what was agreed. */
import recordTable from "@shared/record.json";
import { consentTitle } from "../facts/agreement.ts";
import { procedure } from "../facts/catalogue.ts";
import { said } from "../facts/texts.ts";
import type { Job, Loss } from "../fold/state.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import { outcome } from "../rules/outcome.ts";
import { isWet } from "../rules/wet.ts";
import { upper } from "../words/format.ts";
import { valueWord } from "../words/values.ts";
import { INCIDENT_TITLE, incidentLines } from "./outcome.ts";
import type { Part } from "./record.ts";
import { filled, line } from "./recordWords.ts";

const { headings, cautions, safety, agreed } = recordTable;

/** What whoever gets the device has to mind. */
export function cautionsOf(job: Job): readonly string[] {
  const opened = [job.steps, job.ledger, job.connectors].some((done) => Object.keys(done).length > 0);
  const wet = job.liquid.some(isWet) || job.safety.some((check) => check.wet === "yes");
  // A lead let work go on, so somebody has dried and looked at it.
  const workedOn = job.stop === null && job.wet_lifted === true;
  const holds: readonly (readonly [keyof typeof cautions, boolean])[] = [
    ["battery", isCellUnsafe(job)],
    ["battery_out", outcome(job) === "no_battery"],
    ["liquid", wet && !workedOn],
    ["liquid_lifted", wet && workedOn],
    ["opened", opened],
  ];
  return holds.filter(([, there]) => there).map(([id]) => cautions[id]);
}

export const oursPart = (job: Job): Part => ({ title: INCIDENT_TITLE, facts: [], lines: incidentLines(job) });

export function conditionPart(job: Job): Part {
  const lines = Object.values(job.marks).map(
    ({ what, side, note }) =>
      `${upper(valueWord("mark", what))}, ${valueWord("side", side)}${note === null ? "" : `: ${said(note)}`}`,
  );
  return { title: headings.condition, facts: [], lines };
}

export function foundPart(job: Job): Part {
  const lines = [
    ...job.safety.flatMap(safetyWords),
    ...job.liquid.map(liquidWords),
    ...batteryOf(job),
    ...job.losses.map((loss) => lossWords(job, loss)),
  ];
  return { title: headings.found, facts: [], lines };
}

function liquidWords(check: Job["liquid"][number]): string {
  if (!isWet(check)) return line("no_signs");
  const indicator = line("indicator", { indicator: valueWord("indicator", check.indicator) });
  return line("signs", { found: [indicator, ...check.signs.map((sign) => valueWord("sign", sign))].join(", ") });
}

/** What was looked at before any test; nothing where all was well. */
export function safetyWords(check: Job["safety"][number]): readonly string[] {
  const seen = (["wet", "bulging", "hot"] as const).filter((question) => check[question] === "yes");
  return seen.map((question) => `${safety[question]} ${safety[check.at]}`);
}

/** States of the battery as they were found, and that an unsafe one was taken out. */
function batteryOf(job: Job): readonly string[] {
  const found = job.power.filter((check) => check.battery !== "sound").map((check) => check.battery);
  const { cell } = job;
  const last = cell === null || cell === "sound" || cell === "out" || found.includes(cell) ? [] : [cell];
  const states = [...found, ...last].map((state) => line("battery", { battery: valueWord("battery", state) }));
  return cell === "out" ? [...states, safety.out] : states;
}

/** What the customer agreed to, and that the shop's own terms were shown. */
export function agreedWords(job: Job): string {
  const said = job.consents.length === 0 ? [] : [`${job.consents.map(consentTitle).join(". ")}.`];
  const shown = job.terms === null ? [] : [filled(agreed.terms, { terms: job.terms })];
  return [...said, ...shown].join(" ");
}

/** One loss in a line. */
export function lossWords(job: Job, loss: Loss): string {
  const { count, what, replaced, replaced_by: other } = loss;
  const again =
    replaced === 0
      ? line("not_replaced")
      : other === null
        ? line("replaced", { count: replaced })
        : line("replaced_by", { count: replaced, what: other });
  const followed = procedure(job.procedure, job.revision);
  const group = followed?.fasteners.find((f) => f.id === loss.group)?.name ?? line("screw");
  return line("loss", { count, group, what: valueWord("loss", what), again });
}
