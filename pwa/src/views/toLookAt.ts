/** What waits for a lead's eye: broken rules that nobody has looked at, and what came late about something put away. */
import { state } from "../current.ts";
import { isSlug, problemText } from "../problem.ts";
import { thingName } from "./history.ts";

export type Finding = {
  readonly code: string;
  readonly name: string;
  /** All its findings are looked at together. */
  readonly count: number;
  readonly titles: readonly string[];
};
export type Late = {
  readonly id: string;
  readonly chain: string;
  readonly code: string;
  readonly staff: string | null;
  readonly at_ms: number;
};

export function unseenFindings(): readonly Finding[] {
  const { job, thing, box } = state.value;
  const found = new Map<string, Finding>();
  for (const [code, { findings, seen }] of [...job, ...thing, ...box]) {
    const fresh = findings.slice(seen ?? 0);
    if (fresh.length === 0) continue;
    const before = found.get(code);
    const titles = fresh.map(({ slug }) => (isSlug(slug) ? problemText({ slug }).title : slug));
    found.set(code, {
      code,
      name: thingName(code),
      count: Math.max(findings.length, before?.count ?? 0),
      titles: [...new Set([...(before?.titles ?? []), ...titles])],
    });
  }
  return [...found.values()];
}

/** Oldest first. */
export const lateEntries = (): readonly Late[] =>
  [...state.value.chain]
    .flatMap(([chain, { late }]) =>
      Object.entries(late).map(([id, { code, staff, at_ms }]) => ({ id, chain, code, staff, at_ms })),
    )
    .sort((x, y) => x.at_ms - y.at_ms);

/** How many rows wait. */
export const toLookAt = (): number => unseenFindings().length + lateEntries().length;
