/** A draft of a procedure: no change is lost to a second tab, a late photo, a publishing on its way, or a file. */
import "fake-indexeddb/auto";
import { readFileSync } from "node:fs";
import { heldDraft, replaceDraft } from "@pwa/actions/drafts.ts";
import { importProcedure, publish } from "@pwa/actions/procedure.ts";
import { draftInHand } from "@pwa/actions/procedureDraft.ts";
import { docs, signedOn, takeDocs } from "@pwa/current.ts";
import { type Draft, draftName } from "@pwa/facts/procedureDraft.ts";
import { withDb } from "@pwa/log/db.ts";
import type { Procedure } from "@pwa/rules/procedure.ts";
import { addPhoto, changeStep } from "@pwa/rules/procedureEdit.ts";
import { beforeEach, describe, expect, test, vi } from "vitest";
import { settled } from "./settled.ts";

const { $schema: _, ...body } = JSON.parse(
  readFileSync(new URL("../../shared/procedures/quillet5-battery.json", import.meta.url), "utf8"),
);
const battery = body as Procedure;
const asked = vi.hoisted(() => vi.fn());
vi.mock("@pwa/sync/client.ts", async (original) => ({ ...(await original<object>()), ask: asked }));
vi.mock("@pwa/actions/drafts.ts", async (original) => {
  const real = await original<typeof import("@pwa/actions/drafts.ts")>();
  return { ...real, heldDraft: vi.fn(real.heldDraft), replaceDraft: vi.fn(real.replaceDraft) };
});
vi.mock("@pwa/sync/loop.ts", () => ({ syncSoon: () => undefined, countAndSync: () => undefined }));

/** Each test writes another procedure, since what is in hand lasts for as long as the tab. */
let number = 0;
let procedure = battery;
let name = "";

const publishedAs = (revision: Procedure): void =>
  takeDocs([{ id: `procedure:${revision.id}.${revision.rev}`, kind: "procedure", rev: revision.rev, body: revision }]);
const titled =
  (title: string) =>
  (p: Procedure): Procedure => ({ ...p, title });
const kept = async (): Promise<Draft | undefined> => (await heldDraft(name))?.value as Draft | undefined;
const written = (): Promise<void> => settled(heldDraft, replaceDraft);
const opened = async () => {
  const hand = draftInHand(procedure.id);
  await hand.open();
  return hand;
};
const inOtherTab = async (title: string): Promise<void> => {
  const seen = (await heldDraft(name))?.at_ms ?? null;
  const value: Draft = { base: 1, procedure: { ...procedure, title } };
  await replaceDraft(name, seen, { id: name, at_ms: (seen ?? 0) + 1_000, value });
};

beforeEach(async () => {
  await withDb((db) => db.drafts.clear());
  number += 1;
  procedure = { ...battery, id: `battery-${number}` };
  name = draftName(procedure.id);
  docs.value = new Map();
  takeDocs([{ id: "staff:W001", kind: "staff", rev: 1, body: { name: "Ombra", role: "lead" } }]);
  publishedAs(procedure);
  signedOn.value = "W001";
  asked.mockReset();
});

describe("a draft in hand", () => {
  test("is kept at every change, and taking all of them back leaves none", async () => {
    const hand = await opened();
    expect(hand.shown.value).toMatchObject({ draft: null, isRead: true, canUndo: false });
    hand.change(titled("One"));
    hand.change(titled("Two"));
    await written();
    expect((await kept())?.procedure.title).toBe("Two");
    hand.undo();
    hand.undo();
    await written();
    expect(hand.shown.value).toMatchObject({ draft: null, canUndo: false });
    expect(await kept()).toBeUndefined();
  });

  test("is not written over one that another tab has changed since", async () => {
    const hand = await opened();
    hand.change(titled("Here"));
    await written();
    await inOtherTab("There");
    hand.change(titled("Here again"));
    await written();
    expect(hand.shown.value.problem?.slug).toBe("draft-elsewhere");
    expect((await kept())?.procedure.title).toBe("There");
    await hand.takeOther();
    expect(hand.shown.value).toMatchObject({ problem: null, draft: { procedure: { title: "There" } } });
    await inOtherTab("There again");
    hand.change(titled("Mine"));
    await written();
    await hand.keepThis();
    await written();
    expect(hand.shown.value.problem).toBeNull();
    expect((await kept())?.procedure.title).toBe("Mine");
  });

  test("is not thrown away over one that another tab has changed since", async () => {
    const hand = await opened();
    hand.change(titled("Here"));
    await written();
    await inOtherTab("There");
    hand.drop();
    await written();
    expect(hand.shown.value.problem?.slug).toBe("draft-elsewhere");
    expect((await kept())?.procedure.title).toBe("There");
  });

  test("shows what another tab kept when it is opened again", async () => {
    const hand = await opened();
    await inOtherTab("There");
    await hand.open();
    expect(hand.shown.value.draft?.procedure.title).toBe("There");
  });

  test("gets a photo that comes late, beside what was written and taken meanwhile", async () => {
    const hand = await opened();
    const step = procedure.in[0]?.id ?? "";
    const late = (photo: string) => (p: Procedure) => addPhoto(p, step, photo);
    hand.change((p) => changeStep(p, step, { photos: [{ photo: "a", say: "typed meanwhile" }] }));
    await (await opened()).open();
    hand.change(late("b"));
    hand.change(late("b"));
    await written();
    expect((await kept())?.procedure.in[0]?.photos).toEqual([{ photo: "a", say: "typed meanwhile" }, { photo: "b", say: "" }]); // biome-ignore format: one row
    for (const photo of ["c", "d", "e"]) hand.change(late(photo));
    expect(hand.shown.value.draft?.procedure.in[0]?.photos).toHaveLength(4);
    const before = hand.shown.value.draft;
    hand.change((p) => addPhoto(p, "gone", "f"));
    expect(hand.shown.value.draft).toBe(before);
  });

  test("says so when it could not be kept, and is kept with the next change", async () => {
    const hand = await opened();
    const put = vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(() => {
      throw new DOMException("no room", "QuotaExceededError");
    });
    hand.change(titled("One"));
    await written();
    expect(hand.shown.value.problem?.slug).toBe("storage-failed");
    put.mockRestore();
    hand.change(titled("Two"));
    await written();
    expect(hand.shown.value.problem).toBeNull();
    expect((await kept())?.procedure.title).toBe("Two");
  });
});

describe("publishing", () => {
  test("leaves what was changed while it was on its way, as a draft of the next revision", async () => {
    const hand = await opened();
    hand.change(titled("Sent"));
    const sent = hand.shown.value.draft as Draft;
    asked.mockImplementation(async () => {
      hand.change(titled("Typed meanwhile"));
      return { ok: true, value: { rev: 9 } };
    });
    const published = await publish(sent, 2);
    expect(published).toEqual({ ok: true, value: 2 });
    hand.published(sent, 2);
    await written();
    expect(await kept()).toMatchObject({ base: 2, procedure: { title: "Typed meanwhile" } });
  });

  test("ends the draft that was sent", async () => {
    const hand = await opened();
    hand.change(titled("Sent"));
    const sent = hand.shown.value.draft as Draft;
    asked.mockResolvedValue({ ok: true, value: { rev: 9 } });
    expect((await publish(sent, 2)).ok).toBe(true);
    hand.published(sent, 2);
    await written();
    expect(hand.shown.value.draft).toBeNull();
    expect(await kept()).toBeUndefined();
  });

  test("as a revision that came from somewhere else meanwhile is refused", async () => {
    publishedAs({ ...procedure, rev: 2, title: "Of another lead" });
    const refused = await publish({ base: 1, procedure: { ...procedure, title: "Mine" } }, 2);
    expect(refused).toMatchObject({ ok: false, problem: { slug: "doc-changed" } });
    expect(asked).not.toHaveBeenCalled();
  });

  test("again what is published already, when the answer was lost, makes no further revision", async () => {
    publishedAs({ ...procedure, rev: 2, title: "Sent" });
    expect(await publish({ base: 1, procedure: { ...procedure, title: " Sent " } }, 3)).toEqual({ ok: true, value: 2 });
    expect(asked).not.toHaveBeenCalled();
  });
});

describe("a file", () => {
  const file = (document: unknown): Blob => new Blob([JSON.stringify(document)]);
  const slugOf = async (from: Blob): Promise<string | null> => {
    const taken = await importProcedure(from);
    return taken.ok ? null : taken.problem.slug;
  };

  test("becomes a draft, but not over one that is there", async () => {
    expect(await slugOf(file({ ...procedure, rev: 7 }))).toBeNull();
    expect(await kept()).toMatchObject({ base: 1, procedure: { id: procedure.id } });
    await inOtherTab("Half written");
    expect(await slugOf(file(procedure))).toBe("draft-stands");
    expect((await kept())?.procedure.title).toBe("Half written");
  });

  test.each([
    ["a number", 5],
    ["nothing", null],
    ["a list", []],
    ["an empty object", {}],
    ["a way in that is no list", { in: 3 }],
    ["the wrapping alone", { traymark: "procedure" }],
    ["a step that is nothing", { ...battery, in: [null] }],
  ])("that is no procedure is refused: %s", async (_what, document) => {
    expect(await slugOf(file(document))).toBe("procedure-file");
  });

  test("that is deep, long or large is refused and stops nothing", async () => {
    const deep = `${"[".repeat(200_000)}${"]".repeat(200_000)}`;
    const wrapped = `{"traymark":"procedure","format":1,"photos":[],"procedure":{"deep":${deep}}}`;
    expect(await slugOf(new Blob([deep]))).toBe("procedure-file");
    expect(await slugOf(new Blob([wrapped]))).toBe("procedure-file");
    const serves = `[${deep},${deep}]`;
    const bare = JSON.stringify({ ...procedure, part: { ...procedure.part, serves: "HERE" } }).replace(
      '"HERE"',
      serves,
    );
    expect(await slugOf(new Blob([bare]))).toBe("procedure-file");
    const many = Object.fromEntries(Array.from({ length: 200_000 }, (_each, at) => [`m${at}`, at]));
    expect(await slugOf(file({ ...procedure, ...many }))).toBe("procedure-file");
    expect(await slugOf(file({ ...procedure, in: Array.from({ length: 200_000 }, () => 1) }))).toBe("procedure-file");
    expect(await slugOf({ size: 64_000_001 } as Blob)).toBe("procedure-file");
  });
});
