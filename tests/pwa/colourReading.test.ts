import "fake-indexeddb/auto";
import { act } from "@pwa/actions/act.ts";
import { keepReading } from "@pwa/actions/colour.ts";
import { mint } from "@pwa/codes/codes.ts";
import { COLOUR_REVISION, judge, type Reading } from "@pwa/rules/colour.ts";
import { FIRST_DISCS } from "@pwa/rules/discs.ts";
import { discsOf, isKept, lastReading, readingNext, readingWords, verdictName } from "@pwa/views/colour.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { JOB, PHOTO } from "./benchKit.ts";
import { emptyStation, job } from "./benchStation.ts";

const GLARE: Reading = { verdict: "cannot_tell", sure_pm: 0, reason: "glare", de00_centi: null, hue_deg: null };
const MOVED = { ...FIRST_DISCS, reference: { x_pm: 701, y_pm: 330, r_pm: 31 } };

beforeEach(async () => {
  await emptyStation();
  const body = { photo: PHOTO, use: "liquid" as const, bytes: 10, width: 2048, height: 1536 };
  await act(() => [{ kind: "photo.taken", job: JOB, body }]);
});

describe("a reading that is kept", () => {
  test("stands on the job with its discs, its numbers and the limits it was made with", async () => {
    const kept = await keepReading(JOB, PHOTO, MOVED, judge(1435, 16));
    expect(kept.ok).toBe(true);
    expect(job().readings).toHaveLength(1);
    expect(job().readings[0]).toMatchObject({
      photo: PHOTO,
      x_pm: 350,
      reference_x_pm: 701,
      reference_r_pm: 31,
      verdict: "tinged",
      de00_centi: 1435,
      hue_deg: 16,
      sure_pm: 950,
      reason: null,
      revision: COLOUR_REVISION,
    });
  });
  test("stops nothing and answers no question of the gate", async () => {
    const { stage } = job();
    await keepReading(JOB, PHOTO, FIRST_DISCS, judge(2600, 20));
    expect(job()).toMatchObject({ stage, stop: null, liquid: [], findings: [] });
  });
  test("has no numbers where nothing was measured", async () => {
    await keepReading(JOB, PHOTO, FIRST_DISCS, GLARE);
    expect(job().readings[0]).toMatchObject({
      verdict: "cannot_tell",
      reason: "glare",
      de00_centi: null,
      hue_deg: null,
    });
  });
  test("is known again by its discs until one of them is moved", async () => {
    await keepReading(JOB, PHOTO, MOVED, judge(1435, 16));
    const last = lastReading(job(), PHOTO);
    expect(last === undefined ? null : discsOf(last)).toEqual(MOVED);
    expect(isKept(last, MOVED)).toBe(true);
    expect(isKept(last, FIRST_DISCS)).toBe(false);
    expect(isKept(undefined, MOVED)).toBe(false);
    expect(lastReading(job(), "b".repeat(64))).toBeUndefined();
  });
});

describe("a reading is refused", () => {
  test("for a photo that is not of the job", async () => {
    const kept = await keepReading(JOB, "b".repeat(64), FIRST_DISCS, GLARE);
    expect(kept.ok ? "ok" : kept.problem.slug).toBe("code-unknown");
    const other = await keepReading(mint("J", "7K2", 90).code, PHOTO, FIRST_DISCS, GLARE);
    expect(other.ok ? "ok" : other.problem.slug).toBe("code-unknown");
  });
  test("once the device is with the customer", async () => {
    await act(() => [
      { kind: "job.handed_over", job: JOB, body: { device: mint("D", "7K2", 2).code, checked: "none" } },
    ]);
    const kept = await keepReading(JOB, PHOTO, FIRST_DISCS, GLARE);
    expect(kept.ok ? "ok" : kept.problem.slug).toBe("job-closed");
    expect(job().readings).toEqual([]);
  });
});

describe("words of a reading", () => {
  test("give verdict, difference, hue and how sure", () => {
    expect(verdictName(judge(1435, 16))).toBe("Looks tinged");
    expect(readingWords(judge(1435, 16))).toBe("Difference 14.35, hue 16°, quite sure (95 of 100).");
    expect(readingWords(judge(505, 0))).toBe("Difference 5.05, hue 0°, unsure (51 of 100).");
  });
  test("say why there is no verdict and what to do", () => {
    expect(readingWords(GLARE)).toBe("Glare on the indicator.");
    expect(readingNext(GLARE)).toBe("Tilt the device or the lamp and take the photo again.");
    expect(readingWords(judge(1840, 182))).toBe("Coloured, but not red. Difference 18.40, hue 182°.");
  });
});
