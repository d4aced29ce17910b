/** The ledger under any order of valid entries, written through the format and folded. */
import { inTray, lossFits, openGroups, takingBack } from "@pwa/rules/ledger.ts";
import fc from "fast-check";
import { expect, it } from "vitest";
import { BRACKETS, JOB, Play } from "./benchKit.ts";

const GROUPS = ["base", "bracket-short", "bracket-long"] as const;
const WHATS = ["lost", "stripped", "broken"] as const;

type Entry =
  | { readonly do: "out" | "back"; readonly group: string; readonly count: number }
  | {
      readonly do: "lose";
      readonly group: string;
      readonly count: number;
      readonly replaced: number;
      readonly what: (typeof WHATS)[number];
    };

const group = fc.constantFrom(...GROUPS);
const count = fc.integer({ min: 1, max: 4 });
const entry: fc.Arbitrary<Entry> = fc.oneof(
  fc.record({ do: fc.constantFrom("out" as const, "back" as const), group, count }),
  fc.record({
    do: fc.constant("lose" as const),
    group,
    count,
    replaced: fc.nat({ max: 4 }),
    what: fc.constantFrom(...WHATS),
  }),
);
const entries = fc.array(entry, { maxLength: 24 });

/** Writes what the rules allow; returns what was written, and where every fastener is by plain counting. */
function written(play: Play, asked: readonly Entry[]) {
  const tray = new Map<string, number>(GROUPS.map((g) => [g, 0]));
  const taken: Entry[] = [];
  for (const e of asked) {
    const held = tray.get(e.group) ?? 0;
    if (e.do === "back" && e.count > held) continue;
    if (e.do === "lose" && !lossFits(play.job.ledger[e.group], e.count, e.replaced)) continue;
    write(play, e);
    taken.push(e);
    const more = e.do === "lose" ? e.replaced - e.count : e.do === "out" ? e.count : -e.count;
    tray.set(e.group, held + more);
  }
  return { tray, taken };
}

function write(play: Play, e: Entry): void {
  const body = { step: "s", group: e.group, pocket: 1, count: e.count };
  if (e.do === "out") play.write({ kind: "fastener.removed", job: JOB, body });
  if (e.do === "back") play.write({ kind: "fastener.returned", job: JOB, body });
  if (e.do === "lose") {
    const { group: g, count: n, what, replaced } = e;
    play.write({ kind: "fastener.lost", job: JOB, body: { group: g, count: n, what, why: "it fell", replaced } });
  }
}

it("knows where every fastener is after any valid entries", () => {
  fc.assert(
    fc.property(entries, (asked) => {
      const play = new Play(BRACKETS);
      const { tray } = written(play, asked);
      for (const [id, held] of tray) expect(inTray(play.job.ledger[id])).toBe(held);
      expect(
        openGroups(play.job.ledger)
          .map((g) => g.group)
          .sort(),
      ).toEqual(
        [...tray]
          .filter(([, held]) => held !== 0)
          .map(([id]) => id)
          .sort(),
      );
    }),
    { numRuns: 60 },
  );
});

it("never holds fewer than none", () => {
  fc.assert(
    fc.property(entries, (asked) => {
      const play = new Play(BRACKETS);
      for (const e of asked) {
        written(play, [e]);
        for (const g of GROUPS) expect(inTray(play.job.ledger[g])).toBeGreaterThanOrEqual(0);
      }
    }),
    { numRuns: 40 },
  );
});

it("says the same when the same entries arrive in another order", () => {
  const shuffled = entries.chain((asked) =>
    fc.tuple(fc.constant(asked), fc.array(fc.nat(), { minLength: asked.length, maxLength: asked.length })),
  );
  fc.assert(
    fc.property(shuffled, ([asked, dice]) => {
      const one = new Play(BRACKETS);
      const { taken } = written(one, asked);
      const other = new Play(BRACKETS);
      const order = taken.map((e, n) => ({ e, at: dice[n] ?? 0 })).sort((a, b) => a.at - b.at);
      for (const { e } of order) write(other, e);
      expect(other.job.ledger).toEqual(one.job.ledger);
      expect(other.job.losses).toHaveLength(one.job.losses.length);
    }),
    { numRuns: 60 },
  );
});

it("closes with every fastener returned, or entered as lost and not replaced", () => {
  fc.assert(
    fc.property(entries, (asked) => {
      const play = new Play(BRACKETS);
      const { tray } = written(play, asked);
      for (const [id, held] of tray) if (held > 0) write(play, { do: "back", group: id, count: held });
      expect(openGroups(play.job.ledger)).toEqual([]);
    }),
    { numRuns: 40 },
  );
});

it("takes nothing back that the tray does not hold, whatever was lost between", () => {
  fc.assert(
    fc.property(count, entries, (out, asked) => {
      const play = new Play(BRACKETS);
      const booked = { kind: "fastener.removed" as const, group: "base", pocket: 1, count: out };
      play.book({ id: "s" } as never, [booked]);
      for (const e of asked) if (e.do === "lose") written(play, [e]);
      const held = inTray(play.job.ledger.base);
      const back = takingBack([booked], play.job.ledger);
      play.book({ id: "s" } as never, back);
      expect(inTray(play.job.ledger.base)).toBe(Math.max(0, held - out));
    }),
    { numRuns: 40 },
  );
});
