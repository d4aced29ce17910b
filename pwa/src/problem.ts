/** Bad input and refusals are values: a slug of problems.json, and details of this occurrence where there are any. */
import { type ProblemText, problems, type Slug } from "./tables.ts";

export type Problem = { readonly slug: Slug; readonly detail?: string };
export type Result<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: Problem };

export const ok = <T>(value: T): Result<T> => ({ ok: true, value });

export function refuse(slug: Slug, detail?: string): { readonly ok: false; readonly problem: Problem } {
  return { ok: false, problem: detail === undefined ? { slug } : { slug, detail } };
}

/** Title and next step of a problem, for the screen. */
export function problemText(problem: Problem): ProblemText {
  return problems[problem.slug];
}

/** Whether the server named a slug that this program knows. */
export function isSlug(value: unknown): value is Slug {
  return typeof value === "string" && Object.hasOwn(problems, value);
}
