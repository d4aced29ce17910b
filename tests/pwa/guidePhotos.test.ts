/** Photos of steps are on the station before a bench needs them. */
import { fetchGuidePhotos } from "@pwa/actions/guidePhotos.ts";
import { docs, state } from "@pwa/current.ts";
import type { Job } from "@pwa/fold/state.ts";
import { blankRecords } from "@pwa/tables.ts";
import { expect, test, vi } from "vitest";
import { DISPLAY } from "./benchKit.ts";

const fetched = vi.hoisted(() => vi.fn());
vi.mock("@pwa/sync/photos.ts", () => ({ keepSmall: fetched }));

const showing = (rev: number, photo: string) => {
  const [first, ...rest] = DISPLAY.in;
  const body = { ...DISPLAY, rev, in: [{ ...first, photos: [{ photo, say: photo }] }, ...rest] };
  return [
    `procedure:${DISPLAY.id}.${rev}`,
    { id: `procedure:${DISPLAY.id}.${rev}`, kind: "procedure", rev, body },
  ] as const;
};
const job = (code: string, changes: Partial<Job>): readonly [string, Job] => [
  code,
  { ...(blankRecords.job as unknown as Job), procedure: DISPLAY.id, ...changes },
];

test("of the newest revision and of those that jobs work by, each once; what failed is asked for again", async () => {
  docs.value = new Map([showing(1, "old"), showing(2, "in work"), showing(3, "newest")]);
  const jobs = [job("J1", { stage: "handed_over", revision: 1 }), job("J2", { stage: "bench", revision: 2 })];
  state.value = { ...state.value, job: new Map(jobs) };
  fetched.mockImplementation(async (photo) => photo !== "in work");
  await fetchGuidePhotos();
  expect(fetched.mock.calls.flat()).toEqual(["newest", "in work"]);
  fetched.mockClear();
  await fetchGuidePhotos();
  expect(fetched.mock.calls.flat()).toEqual(["in work"]);
});
