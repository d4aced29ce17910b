/** TypeScript makes the repair record as the vectors say. */
import { readFileSync } from "node:fs";
import { docs, state } from "@pwa/current.ts";
import { type Event, isEvent, parse } from "@pwa/events/envelope.ts";
import { EMPTY, type Job, type State } from "@pwa/fold/state.ts";
import type { Doc } from "@pwa/log/rows.ts";
import { blankRecords } from "@pwa/tables.ts";
import { customerSheet, type Sheet, shopSheet } from "@pwa/views/record.ts";
import { beforeEach, expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Records = Readonly<Record<string, object>>;
type Vector = {
  readonly name: string;
  readonly code: string;
  readonly job: Partial<Job>;
  readonly things?: Records;
  readonly docs?: Readonly<Record<string, object | null>>;
  readonly texts?: Readonly<Record<string, string>>;
  readonly events?: readonly object[];
  readonly customer?: object;
  readonly shop?: object;
};

const ALL = vectors<Vector>("record", {
  keys: ["name", "comment", "code", "job"],
  optional: ["things", "docs", "texts", "events", "customer", "shop"],
});
const SHOP = JSON.parse(
  readFileSync(new URL("../../shared/vectors/record/base/shop.json", import.meta.url), "utf8"),
) as Readonly<Record<string, object>>;

beforeEach(() => {
  state.value = EMPTY;
  docs.value = new Map();
});

it.each(ALL)("$name", (vector) => {
  const job = { ...blankRecords.job, ...vector.job } as unknown as Job;
  const things = Object.entries(vector.things ?? {}).map(([key, record]) => [
    key,
    { ...blankRecords.thing, ...record },
  ]);
  state.value = {
    ...EMPTY,
    job: new Map([[vector.code, job]]),
    thing: new Map(things as [string, object][]),
  } as unknown as State;
  const texts = Object.fromEntries(Object.entries(vector.texts ?? {}).map(([id, text]) => [id, { text }]));
  docs.value = new Map(
    Object.entries({ ...SHOP, ...vector.docs, ...texts }).map(([id, body]): [string, Doc] => {
      const kind = id === "shop" ? "settings" : id.replace(/:.*/, "");
      return [id, { id, kind, rev: 1, body }];
    }),
  );
  if (vector.customer !== undefined) expect(written(customerSheet(vector.code, job))).toEqual(vector.customer);
  if (vector.shop !== undefined) expect(written(shopSheet(vector.code, job, eventsOf(vector)))).toEqual(vector.shop);
  expect([vector.customer, vector.shop]).not.toEqual([undefined, undefined]);
});

/** Read like any bytes. */
const eventsOf = (vector: Vector): readonly Event[] =>
  (vector.events ?? []).map((event) => {
    const read = parse(JSON.stringify(event));
    if (!isEvent(read)) throw new Error(`${vector.name}: ${JSON.stringify(event)}`);
    return read;
  });

/** A sheet as a vector has it: what is empty is left out. */
function written(sheet: Sheet): unknown {
  return JSON.parse(JSON.stringify(sheet), (_, value: unknown) => {
    if (typeof value !== "object" || value === null || Array.isArray(value)) return value;
    return Object.fromEntries(Object.entries(value).filter(([, inner]) => !isEmpty(inner)));
  });
}

const isEmpty = (value: unknown): boolean =>
  value === "" || value === null || (Array.isArray(value) && value.length === 0);
