/** actions/print.ts, screens/print/labels.ts: what labels say, and what happens without a network. */
import "fake-indexeddb/auto";
import { bookIn, newBooking } from "@pwa/actions/book.ts";
import { keepToPrint, type Label, printLabels, waitingLabels } from "@pwa/actions/print.ts";
import { answered, INTAKE_POINTS } from "@pwa/facts/booking.ts";
import { withDb } from "@pwa/log/db.ts";
import { deviceLabel, ticketLabel } from "@pwa/screens/parts/print/labels.ts";
import labels from "@shared/labels.json";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { AGREED, newStation, SAFE } from "./counterStation.ts";

const ORIGIN = "https://bench.local:8443";
let code = "";

beforeEach(async () => {
  await newStation();
  const blank = newBooking();
  const done = await bookIn({
    ...blank,
    noNumber: true,
    model: "Quillet 5",
    name: "Nia",
    complaint: "Broken",
    lock: "locked",
    price: "open",
    promised_at_ms: 1,
    tests: answered(blank, INTAKE_POINTS, { result: "pass", why: "" }),
    agreed: AGREED,
    safety: SAFE,
  });
  if (!done.ok) throw new Error(done.problem.detail);
  code = done.value;
});
afterEach(() => vi.unstubAllGlobals());

const made = (): readonly Label[] => [ticketLabel(code, ORIGIN), deviceLabel(code)].filter((l) => l !== null);

describe("what a label says", () => {
  type Kind = { readonly fields: Readonly<Record<string, { readonly max?: number; readonly required: boolean }>> };
  test("fields are those of the table, the needed ones are there, none is too long", () => {
    expect(made()).toHaveLength(2);
    for (const label of made()) {
      const { fields } = (labels.kinds as unknown as Readonly<Record<string, Kind>>)[label.kind] as Kind;
      for (const [name, value] of Object.entries(label.fields)) {
        expect(fields[name], `${label.kind}.${name}`).toBeDefined();
        expect(String(value).length).toBeLessThanOrEqual(fields[name]?.max ?? 200);
      }
      for (const [name, field] of Object.entries(fields))
        if (field.required) expect(label.fields[name], name).toBeTruthy();
    }
  });
  test("the ticket's address fits the alphanumeric mode of its symbol (ISO/IEC 18004, 45 characters)", () => {
    expect(ticketLabel(code, ORIGIN)?.fields.url).toMatch(/^[0-9A-Z $%*+\-./:]+$/);
    expect(ticketLabel(code, ORIGIN)?.fields.url).toMatch(/^HTTPS:\/\/BENCH\.LOCAL:8443\/T\/[0-9A-Z]{26}$/);
  });
  test("no name and no telephone number of the customer stands on a label", () => {
    expect(JSON.stringify(made())).not.toContain("Nia");
  });
});

describe("without a network", () => {
  beforeEach(() => vi.stubGlobal("fetch", () => Promise.reject(new TypeError("no network"))));
  test("a label is kept once, however often it was pressed", async () => {
    for (let press = 0; press < 3; press += 1) {
      expect(await printLabels(made())).toMatchObject({ ok: false, problem: { slug: "print-offline" } });
    }
    const waiting = await waitingLabels();
    expect(waiting.map((l) => l.kind).sort()).toEqual(["device", "ticket"]);
    expect(waiting).toEqual(expect.arrayContaining([...made()]));
  });
});

describe("with a network", () => {
  test("a refusal by the server is not kept for later", async () => {
    const body = JSON.stringify({
      type: "label-field",
      title: "",
      status: 422,
      detail: "model: at most 80 characters fit",
    });
    vi.stubGlobal("fetch", () => Promise.resolve(new Response(body, { status: 422 })));
    expect(await printLabels(made())).toMatchObject({ ok: false, problem: { slug: "label-field" } });
    expect(await waitingLabels()).toEqual([]);
  });
});

test("labels wait in the order in which they came", async () => {
  await withDb((db) =>
    db.toPrint.putMany([
      { id: "tray:T2", kind: "tray", fields: {}, at_ms: 2 },
      { id: "tray:T1", kind: "tray", fields: {}, at_ms: 1 },
    ]),
  );
  expect((await waitingLabels()).map((l) => l.code)).toEqual(["T1", "T2"]);
  await keepToPrint([{ kind: "box", code: "B3", fields: {} }]);
  expect((await waitingLabels())[2]?.code).toBe("B3");
});
