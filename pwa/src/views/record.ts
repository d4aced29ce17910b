/**
 * The repair record as a sheet of words: the short form for the customer, and the long form for the shop. The server
 * makes the same for its PDF (server/traymark/views/record.py); shared/vectors/record holds them together. The
 * customer's form is built from what a customer may read, not by taking things out of the long form.
 */

import recordTable from "@shared/record.json";
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import { procedure } from "../facts/catalogue.ts";
import { shop } from "../facts/people.ts";
import { said } from "../facts/texts.ts";
import type { Job } from "../fold/state.ts";
import type { Seen } from "../rules/attribution.ts";
import { isDone, type Outcome, outcome } from "../rules/outcome.ts";
import { enums } from "../tables.ts";
import { groupCode, upper } from "../words/format.ts";
import { valueWord } from "../words/values.ts";
import { outcomeLines, outcomeWords } from "./outcome.ts";
import { marksOf } from "./photoMarks.ts";
import { agreedWords, cautionsOf, conditionPart, foundPart, oursPart } from "./recordFound.ts";
import { lockedPart, pointsOf, roundsPart, toldRows } from "./recordTests.ts";
import { by, day, filled, line, moment } from "./recordWords.ts";
import { longParts } from "./shopRecord.ts";

export type Form = "customer" | "shop";
/** What is told, and what of it. */
export type Fact = readonly [string, string];
export type Part = { readonly title: string; readonly facts: readonly Fact[]; readonly lines: readonly string[] };
/** A point, its results at intake, with the new part and at the end, and what they say together. */
export type Row = {
  readonly name: string;
  readonly results: readonly Seen[];
  readonly fails: boolean;
  readonly says: string;
};
export type Photo = { readonly sha256: string; readonly caption: string };
export type Sign = "done" | "warn" | "stop" | "under_way";

/** All that stands on the record, in this order. */
export type Sheet = {
  readonly title: string;
  readonly shop: string;
  readonly contact: string;
  readonly sign: Sign;
  readonly outcome: string;
  readonly reason: readonly string[];
  readonly facts: readonly Fact[];
  readonly cautions: readonly string[];
  readonly parts: readonly Part[];
  readonly rows: readonly Row[];
  /** Points that need no line of their own: what is said of all of them, and their names. */
  readonly alike: readonly Fact[];
  /** Earlier rounds of the final test. */
  readonly rounds: Part | null;
  readonly photos: readonly Photo[];
  /** What the shop's form alone has, and last of all every entry. */
  readonly long: readonly Part[];
  readonly foot: string;
};

const { facts: NAMES, titles, feet } = recordTable;
/** Photos that show the device; the others show the shop's own work. */
const CUSTOMER_USES = ["intake", "mark", "liquid", "battery", "repair"];

export const SIGNS: Readonly<Record<Outcome, Sign>> = {
  not_begun: "stop",
  under_way: "under_way",
  repaired: "done",
  repaired_but: "warn",
  not_cured: "warn",
  not_known: "warn",
  not_repaired: "stop",
  no_battery: "stop",
};

/** The short form. */
export function customerSheet(code: string, job: Job): Sheet {
  const { shop_name = "", phone = "", mail = "" } = shop();
  const parts = [oursPart(job), conditionPart(job), foundPart(job), lockedPart(job)];
  return {
    title: filled(titles.customer, { model: job.model ?? titles.no_model }),
    shop: shop_name,
    contact: [phone, mail].filter((said) => said !== "").join(", "),
    sign: SIGNS[outcome(job)],
    outcome: outcomeWords(job).name,
    reason: outcomeLines(job),
    facts: [...outcomeFacts(code, job, job.handed_over), ...dates(job)],
    cautions: cautionsOf(job),
    parts: parts.filter((part) => part.lines.length > 0),
    ...toldRows(job),
    rounds: roundsPart(job),
    photos: photosOf(job, CUSTOMER_USES),
    long: [],
    foot: filled(feet.customer, { code: groupCode(code) }),
  };
}

/** The long form: the short one with every point and photo, and all that the shop knows. */
export function shopSheet(code: string, job: Job, events: readonly Event[]): Sheet {
  return {
    ...customerSheet(code, job),
    title: filled(titles.shop, { model: job.model ?? titles.no_model }),
    rows: pointsOf(job).map(({ row }) => row),
    alike: [],
    photos: photosOf(job, enums.photo_use as readonly string[]).map(({ sha256, caption }) => {
      const photo = job.photos[sha256];
      return { sha256, caption: photo === undefined ? caption : `${caption} (${by(photo)})` };
    }),
    long: longParts(code, job, events),
    foot: filled(feet.shop, { code: groupCode(code) }),
  };
}

/** What came of the job, as it is also said at hand-over. The warranty ends by a day once it is known when it began. */
export function outcomeFacts(code: string, job: Job, handedOver: number | null): readonly Fact[] {
  const points = pointsOf(job);
  const done = isDone(job);
  const { warranty_days } = shop();
  const named = (of: typeof points) => of.map(({ row }) => row.name).join(", ");
  return [
    [NAMES.ticket, groupCode(code)],
    [NAMES.complaint, job.complaint === null ? "" : `“${said(job.complaint)}”`],
    [NAMES.work, done ? (procedure(job.procedure, job.revision)?.title ?? line("repair")) : ""],
    [NAMES.new_part, done ? fitted(job) : ""],
    [NAMES.works_again, named(points.filter(({ verdict }) => verdict === "cured"))],
    [NAMES.fails, named(points.filter(({ row }) => row.fails))],
    [NAMES.warranty, done && warranty_days !== undefined ? warranty(warranty_days, handedOver) : ""],
  ].flatMap(([name = "", said = ""]): readonly Fact[] => (said === "" ? [] : [[name, said]]));
}

const DAY_MS = 86_400_000;
const { warranty: WARRANTY } = recordTable;

const warranty = (days: number, from: number | null): string =>
  from === null ? filled(WARRANTY.days, { days }) : filled(WARRANTY.until, { days, day: day(from + days * DAY_MS) });

/** Units of the new part, without those that were refused or are doubtful. */
const fitted = (job: Job): string =>
  Object.keys(job.parts)
    .flatMap((code) => state.value.thing.get(code) ?? [])
    .filter(({ verdict }) => verdict !== "doa" && verdict !== "doubtful")
    .map(({ name, lot }) => `${name ?? line("part")}${lot === null ? "" : `, ${line("lot", { lot })}`}`)
    .join("; ");

function dates(job: Job): readonly Fact[] {
  const agreed = agreedWords(job);
  return [
    ...(job.booked_at_ms === null ? [] : [[NAMES.booked, moment(job.booked_at_ms)] as const]),
    ...(agreed === "" ? [] : [[NAMES.agreed, agreed] as const]),
    ...(job.handed_over === null ? [] : [[NAMES.handed_over, moment(job.handed_over)] as const]),
  ];
}

const photosOf = (job: Job, uses: readonly string[]): readonly Photo[] =>
  uses.flatMap((use) =>
    Object.entries(job.photos)
      .filter(([, photo]) => photo.use === use)
      .map(([sha256]) => {
        const notes = marksOf(job, sha256).flatMap(({ number, note }) =>
          note === null ? [] : [`${number}: ${said(note)}`],
        );
        return { sha256, caption: [upper(valueWord("photo_use", use)), ...notes].join(". ") };
      }),
  );
