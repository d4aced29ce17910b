/** Half-filled gates: nothing that was answered or photographed falls out, whatever comes late. */
import "fake-indexeddb/auto";
import { dropDraft, keepDraft, readDraft } from "@pwa/actions/drafts.ts";
import { keptAnswers } from "@pwa/actions/keptAnswers.ts";
import { withDb } from "@pwa/log/db.ts";
import { beforeEach, expect, test, vi } from "vitest";
import { settled } from "./settled.ts";

type Answers = { readonly looked: string | null; readonly photos: readonly string[] };
const BLANK: Answers = { looked: null, photos: [] };
const ID = "bench:test";

vi.mock("@pwa/actions/drafts.ts", async (original) => {
  const real = await original<typeof import("@pwa/actions/drafts.ts")>();
  return {
    ...real,
    keepDraft: vi.fn(real.keepDraft),
    dropDraft: vi.fn(real.dropDraft),
    readDraft: vi.fn(real.readDraft),
  };
});

beforeEach(async () => {
  await withDb((db) => db.drafts.clear());
  vi.clearAllMocks();
});

const open = (shown: Answers[] = []) => keptAnswers<Answers>(ID, BLANK, (value) => shown.push(value));
const kept = (): Promise<void> => settled(readDraft, keepDraft, dropDraft);
const adding =
  (photo: string) =>
  (now: Answers): Partial<Answers> => ({ photos: [...now.photos, photo] });

test("two photos taken quickly are both in the list", async () => {
  const shown: Answers[] = [];
  const answers = open(shown);
  await kept();
  answers.change(adding("one"));
  answers.change(adding("two"));
  expect(shown.at(-1)).toEqual({ looked: null, photos: ["one", "two"] });
  await kept();
  expect(await readDraft(ID)).toEqual({ looked: null, photos: ["one", "two"] });
});

test("a draft that comes late takes nothing back, and what it has is not lost", async () => {
  await keepDraft(ID, { looked: "tray", photos: ["old"] });
  const shown: Answers[] = [];
  const answers = open(shown);
  answers.change({ looked: "bench" });
  answers.change(adding("new"));
  expect(answers.now()).toEqual({ looked: "bench", photos: ["new"] });
  await kept();
  expect(shown.at(-1)).toEqual({ looked: "bench", photos: ["old", "new"] });
  expect(await readDraft(ID)).toEqual({ looked: "bench", photos: ["old", "new"] });
});

test("each change is kept once", async () => {
  const answers = open();
  await kept();
  answers.change({ looked: "tray" });
  answers.change(adding("one"));
  await kept();
  expect(vi.mocked(keepDraft)).toHaveBeenCalledTimes(2);
});

test("what was dropped does not come back by a photo still on its way", async () => {
  const answers = open();
  answers.change({ looked: "tray" });
  answers.drop();
  answers.change(adding("late"));
  await kept();
  expect(await readDraft(ID)).toBeUndefined();
  expect(vi.mocked(dropDraft)).toHaveBeenCalledTimes(1);
});

test("a photo that comes after its screen was left is kept, and nothing is shown", async () => {
  const shown: Answers[] = [];
  const answers = open(shown);
  await kept();
  answers.leave();
  answers.change(adding("late"));
  await kept();
  expect(await readDraft(ID)).toEqual({ looked: null, photos: ["late"] });
  expect(shown).toEqual([]);
});

test("where the storage cannot be read, what is answered now is kept", async () => {
  vi.mocked(readDraft).mockRejectedValueOnce(new Error("no storage"));
  const answers = open();
  answers.change({ looked: "tray" });
  await kept();
  expect(await readDraft(ID)).toEqual({ looked: "tray", photos: [] });
});
