/** The words of each outcome in message and status, for every vector of the rule; and that no entry shows a bare slug. */
import { readdirSync, readFileSync } from "node:fs";
import type { Job } from "@pwa/fold/state.ts";
import { outcome, reasonTold } from "@pwa/rules/outcome.ts";
import { enums, stopReasons } from "@pwa/tables.ts";
import { message } from "@pwa/views/message.ts";
import { incidentLines, outcomeLines, outcomeWords, reasonWords } from "@pwa/views/outcome.ts";
import { valueWord } from "@pwa/words/values.ts";
import recordTable from "@shared/record.json";
import { beforeEach, describe, expect, test } from "vitest";
import { aJob } from "./counterStation.ts";
import { textOf } from "./texts.ts";

const FOLDER = new URL("../../shared/vectors/outcome/", import.meta.url);
type Vector = { readonly name: string; readonly job: Partial<Job> };
const ALL = readdirSync(FOLDER).map((file) => JSON.parse(readFileSync(new URL(file, FOLDER), "utf8")) as Vector);
const WORDS = { name: "Nia", shop: "Corner bench", phone: "", ticket: "J7K20 00018", promised: "Fri 6:00" };

/** What people wrote in these vectors. */
const WRITTEN = ["button", "Told by call"];

describe("the message of each outcome", () => {
  beforeEach(() => WRITTEN.forEach((text) => void textOf(text)));
  test.each(ALL)("$name", ({ job: changed }) => {
    const job = aJob(changed);
    const kind = job.stop === null ? "ready" : "returned";
    const text = message(job, { kind }, WORDS);
    expect(text).toContain(outcomeWords(job).say);
    const reason = reasonWords(job);
    if (reason !== null) expect(text).toContain(reason);
    for (const line of incidentLines(job)) {
      expect(line).toContain(": button.");
      expect(text).toContain(line);
    }
    const claims = /\bIt is repaired\b/.test(text);
    expect(claims).toBe(outcome(job) === "repaired" || outcome(job) === "repaired_but");
    expect(text).not.toMatch(/undefined|null|\{\w+\}/);
  });
});

describe("the words of the record", () => {
  test("name what came of it: repaired, but, not repaired, closed without a battery", () => {
    const name = (id: keyof typeof recordTable.outcomes) => recordTable.outcomes[id].name;
    expect(name("repaired")).toBe("Repaired");
    for (const id of ["repaired_but", "not_cured", "not_known"] as const) expect(name(id)).toMatch(/, but /);
    for (const id of ["not_repaired", "not_begun", "no_battery"] as const) expect(name(id)).toMatch(/^Not repaired/);
  });
  test("a paired part lost in our work is not said to have been damaged", () => {
    const lost = ALL.map(({ job }) => aJob(job)).filter((job) => reasonTold(job) === "paired_ours");
    expect(lost).toHaveLength(1);
    expect(outcomeLines(lost[0] as Job)).toEqual([recordTable.reasons.paired_ours]);
    expect(outcomeLines(lost[0] as Job)).not.toContain(stopReasons.paired?.customer);
  });
});

describe("entries", () => {
  test.each(Object.entries(enums))("no value of %s is shown as a bare slug", (name, values) => {
    for (const value of values) expect(valueWord(name, value)).not.toMatch(/_/);
  });
});
