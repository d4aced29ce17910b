/** Test points that a model does not have, as known from its earlier devices (shared/test_points.json). */
import type { Job, Reading } from "../fold/state.ts";
import { testPoints } from "../tables/testPoints.ts";

/** Whether a reading says that the model does not have it. */
export const isLacking = (reading: Pick<Reading, "because"> | undefined): boolean => reading?.because === "lacking";

/** Points that not every model has. */
export const someModels: readonly string[] = Object.entries(testPoints)
  .filter(([, point]) => point.some_models === true)
  .map(([id]) => id);

/** Those of some points that intake found the model not to have. */
export const lackingOf = (job: Job, points: readonly string[]): readonly string[] =>
  points.filter((point) => isLacking(job.tests[`intake/${point}`]));

export type ModelKnown = { readonly has: ReadonlySet<string>; readonly lacks: ReadonlySet<string> };

/** Which of the points of some models this model has, as intake found; its latest device decides. */
export function knownOf(model: string, jobs: Iterable<Job>): ModelKnown {
  const name = same(model);
  const alike = [...jobs].filter((job) => name !== "" && same(job.model ?? "") === name);
  alike.sort((a, b) => (b.booked_at_ms ?? 0) - (a.booked_at_ms ?? 0));
  const has = new Set<string>();
  const lacks = new Set<string>();
  for (const point of someModels) {
    const said = alike.map((job) => job.tests[`intake/${point}`]).find((r) => r !== undefined && tells(r));
    if (said !== undefined) (said.result === "cannot" ? lacks : has).add(point);
  }
  return { has, lacks };
}

const tells = (reading: Reading): boolean => reading.result !== "cannot" || isLacking(reading);

const same = (model: string): string => model.trim().toLowerCase();
