/** The shop's trays: which are free, and which job has which. */
import { state } from "../current.ts";
import { jobOfTray, placeOfCode } from "../facts/things.ts";

export type TrayLine = {
  readonly code: string;
  readonly job: string | null;
  readonly model: string | null;
  readonly clash: boolean;
};

/** Trays in use first, then the free ones, each by code. */
export function trays(): readonly TrayLine[] {
  const all = [...state.value.thing.keys()].filter((code) => code.startsWith("T")).sort();
  const lines = all.map((code) => {
    const job = jobOfTray(code);
    const model = job === null ? null : (state.value.job.get(job)?.model ?? null);
    return { code, job, model, clash: placeOfCode(code).kind === "clash" };
  });
  return [...lines.filter((t) => t.job !== null || t.clash), ...lines.filter((t) => t.job === null && !t.clash)];
}
