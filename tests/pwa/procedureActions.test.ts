/** Beginning, publishing and taking in procedures on a lead's station, with a server that answers as ours does. */
import "fake-indexeddb/auto";
import { readDraft } from "@pwa/actions/drafts.ts";
import { beginProcedure, importProcedure, publish } from "@pwa/actions/procedure.ts";
import { docs, signedOn } from "@pwa/current.ts";
import { type Draft, draftName, faultLines, newestRevision, revisions } from "@pwa/facts/procedureDraft.ts";
import { withDb } from "@pwa/log/db.ts";
import type { Result } from "@pwa/problem.ts";
import type { Procedure } from "@pwa/rules/procedure.ts";
import shipped from "@shared/procedures/quillet5-display.json";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { joinedStation, LEAD } from "./shippingShop.ts";

const { $schema: _, ...body } = shipped;
const display = body as unknown as Procedure;
const draft: Draft = { base: 1, procedure: { ...display, minutes: 25 } };
const slug = (result: Result<unknown>): string | null => (result.ok ? null : result.problem.slug);

type Asked = { readonly path: string; readonly sent: { readonly body?: Procedure } };
let asked: Asked[] = [];

function serverAnswers(answer: object, status = 200): void {
  vi.stubGlobal("fetch", (path: string, init: RequestInit) => {
    asked.push({ path, sent: JSON.parse(String(init.body ?? "{}")) });
    return Promise.resolve(new Response(JSON.stringify(answer), { status }));
  });
}

beforeEach(async () => {
  asked = [];
  await joinedStation();
  await withDb((db) => db.drafts.clear());
  serverAnswers({ id: "", rev: 9 });
});
afterEach(() => vi.unstubAllGlobals());

test("a draft becomes the next revision, and the one before stays", async () => {
  const published = await publish(draft, 2);
  expect(published).toEqual({ ok: true, value: 2 });
  const [{ path, sent }] = asked as [Asked];
  expect(path).toBe(`/api/docs/procedure:${display.id}.2`);
  expect(sent).toEqual({ kind: "procedure", body: { ...draft.procedure, rev: 2 } });
  expect(newestRevision(display.id)).toBe(2);
  expect(revisions(display.id).map((p) => [p.rev, p.minutes])).toEqual([
    [2, 25],
    [1, display.minutes],
  ]);
});

test("what has a fault is refused before anything is sent", async () => {
  const liquid = display.in.filter((row) => row.gate !== "liquid");
  expect(slug(await publish({ base: 1, procedure: { ...display, in: liquid } }, 2))).toBe("procedure-unsound");
  expect(asked).toEqual([]);
});

test("what the shop has already is published, in whatever order it is written, and no new revision", async () => {
  const { fasteners, ...rest } = display;
  expect(await publish({ base: 1, procedure: { fasteners, ...rest } }, 2)).toEqual({ ok: true, value: 1 });
  expect(asked).toEqual([]);
});

test("the later of two leads who publish at once is told so, and keeps the draft", async () => {
  serverAnswers({ type: "/problems/revision-stands" }, 409);
  expect(slug(await publish(draft, 2))).toBe("doc-changed");
  expect(newestRevision(display.id)).toBe(1);
});

test("without a network nothing is published", async () => {
  vi.stubGlobal("fetch", () => Promise.reject(new TypeError("no network")));
  expect(slug(await publish(draft, 2))).toBe("shop-offline");
});

test("nobody but a lead begins, publishes or takes in", async () => {
  signedOn.value = "W999";
  expect(slug(await beginProcedure("Battery", "Quillet 5"))).toBe("lead-only");
  expect(slug(await publish(draft, 2))).toBe("lead-only");
  expect(slug(await importProcedure(new Blob([JSON.stringify(display)])))).toBe("lead-only");
  signedOn.value = LEAD;
});

test("a new procedure begins as a draft with an id that nothing else has", async () => {
  const first = await beginProcedure("Display", "Quillet 5");
  const second = await beginProcedure("Display", "Quillet 5");
  expect([first, second].map((begun) => begun.ok && begun.value)).toEqual(["quillet-5-display", "quillet-5-display-2"]);
  const kept = await readDraft<Draft>(draftName("quillet-5-display"));
  expect(kept?.base).toBe(0);
  expect(faultLines(kept?.procedure as Procedure).length).toBeGreaterThan(0);
  expect(slug(await beginProcedure(" ", "Quillet 5"))).toBe("field-missing");
});

test("a file with the id of one of the shop's procedures becomes a draft of its next revision", async () => {
  const taken = await importProcedure(new Blob([JSON.stringify(shipped)]));
  expect(taken).toEqual({ ok: true, value: { id: display.id, missing: 0 } });
  const kept = await readDraft<Draft>(draftName(display.id));
  expect(kept).toEqual({ base: 1, procedure: display });
  expect(docs.value.has(`procedure:${display.id}.2`)).toBe(false);
});

test.each(["", "{", "[]", "7", "null", '{"traymark": "unsent"}', '{"id": "x"}'])(
  "%s is no procedure file",
  async (text) => {
    expect(slug(await importProcedure(new Blob([text])))).toBe("procedure-file");
  },
);
