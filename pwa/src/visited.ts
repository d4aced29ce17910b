/** What was read from the archive, laid under what is shown. */
import { codesOf } from "./events/about.ts";
import { isEvent } from "./events/envelope.ts";
import { fold } from "./fold/fold.ts";
import { type AnyState, EMPTY, type State } from "./fold/state.ts";
import type { Kept } from "./log/archive.ts";
import type { Doc } from "./log/db.ts";
import type { Placed } from "./log/pulled.ts";
import { stateOf } from "./log/records.ts";
import { COLLECTIONS } from "./tables.ts";

export type Visited = {
  readonly state: State;
  readonly docs: readonly Doc[];
  /** By position. */
  readonly lines: ReadonlyMap<number, Placed>;
};

export const NOTHING_VISITED: Visited = { state: EMPTY, docs: [], lines: new Map() };

/** With what the archive answered; what was read before under the same codes is replaced. */
export function keptOf(before: Visited, kept: Kept): Visited {
  return {
    state: over(before.state, stateOf(kept.records) ?? EMPTY),
    docs: [...before.docs, ...kept.docs],
    lines: new Map([...before.lines, ...kept.lines.map((p) => [p.position, p] as const)]),
  };
}

/** With what came meanwhile about something visited: the server's archive has it too (F5.13). */
export function visitedAfter(before: Visited, pulled: readonly Placed[]): Visited {
  const { state } = before;
  const isHeld = (code: string) => state.job.has(code) || state.thing.has(code) || state.box.has(code);
  const about = pulled.filter(({ event }) => isEvent(event) && codesOf(event).some(isHeld));
  if (about.length === 0) return before;
  const after = fold(
    state,
    about.map((p) => p.entry),
  ) as unknown as AnyState;
  const held = Object.fromEntries(
    COLLECTIONS.map((name) => {
      const keys = [...(state as unknown as AnyState)[name].keys()];
      return [name, new Map(keys.flatMap((key) => (after[name].has(key) ? [[key, after[name].get(key)]] : [])))];
    }),
  ) as unknown as State;
  return { ...before, state: held, lines: new Map([...before.lines, ...about.map((p) => [p.position, p] as const)]) };
}

/** The live state with what was visited under it. */
export const withVisited = (live: State, { state }: Visited): State => (state === EMPTY ? live : over(state, live));

/** Each record of `upper`, and of `lower` those that `upper` has not. */
function over(lower: State, upper: State): State {
  const [low, up] = [lower as unknown as AnyState, upper as unknown as AnyState];
  const all = COLLECTIONS.map((name) => [name, up[name].size === 0 ? low[name] : new Map([...low[name], ...up[name]])]);
  return Object.fromEntries(all) as unknown as State;
}
