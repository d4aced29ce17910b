/** The three questions before any test, charge, heat, cup or pick, and the way that a yes leads to (shared/safety.json). */
import safetyTable from "@shared/safety.json";
import type { YesNo } from "../events/kinds.gen.ts";
import type { Job } from "../fold/state.ts";

export type Question = keyof typeof safetyTable.questions;
export type SafetyAnswers = Readonly<Partial<Record<Question, YesNo>>>;
export type UnsafePath = keyof typeof safetyTable.paths;

export const QUESTIONS: readonly { readonly id: Question; readonly ask: string; readonly look: string }[] = (
  Object.keys(safetyTable.questions) as Question[]
).map((id) => ({ id, ...safetyTable.questions[id] }));

/** Ways that the answers lead to, the most dangerous first; none if every answer is no. */
export function unsafePaths(answers: SafetyAnswers): readonly UnsafePath[] {
  const reasons = QUESTIONS.filter(({ id }) => answers[id] === "yes").map(({ id }) => safetyTable.questions[id].reason);
  return (["battery", "liquid"] as const).filter((path) => reasons.includes(path));
}

/** The answers given when the device came in, for a job that is still stopped by them. */
export function bookedUnsafe(job: Job): readonly UnsafePath[] {
  const check = job.safety.find(({ at }) => at === "counter");
  return check === undefined || job.stop === null ? [] : unsafePaths(check);
}

export const isSafetyAnswered = (answers: SafetyAnswers): answers is Readonly<Record<Question, YesNo>> =>
  QUESTIONS.every(({ id }) => answers[id] !== undefined);

export const pathWords = (path: UnsafePath): { readonly title: string; readonly do: readonly string[] } =>
  safetyTable.paths[path];
