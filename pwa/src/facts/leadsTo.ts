/** Where a scan leads, as data: from what was read, and who is signed on. The router makes an address of it. */
import type { Scanned } from "../codes/scanned.ts";
import { docs, state } from "../current.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { type DeviceCard, signedOnStaff } from "./people.ts";
import { isAway, jobOfTray, placeOfCode } from "./things.ts";

export type Target =
  | { readonly screen: "bench" | "job"; readonly job: string }
  | { readonly screen: "tray" | "box" | "part" | "trace" | "sign-on" | "join"; readonly code: string }
  /** Of a job that is not here: it may be put away. */
  | { readonly screen: "put-away"; readonly ticket: string }
  | { readonly screen: "book"; readonly imei: string };

/** The screen for what was read. `code-unreadable`, `code-unknown`, `core-not-known`. */
export function leadsTo(scanned: Scanned): Result<Target> {
  switch (scanned.is) {
    case "join":
      return ok({ screen: "join", code: scanned.code });
    case "badge":
      return ok({ screen: "sign-on", code: scanned.badge });
    case "imei": {
      const last = jobsOfDevice({ imei: scanned.imei }).at(-1);
      return ok(last === undefined ? { screen: "book", imei: scanned.imei } : jobScreen(last));
    }
    case "ticket": {
      const job = jobOfScan(scanned);
      return ok(job === null ? { screen: "put-away", ticket: scanned.token } : { screen: "job", job });
    }
    case "code":
      return byCode(scanned);
    case "other":
      return refuse("code-unreadable");
  }
}

/** The job behind a ticket, a job code, a device label or a bound tray; null when there is none. */
export function jobOfScan(scanned: Scanned): string | null {
  if (scanned.is === "ticket") {
    for (const [code, job] of state.value.job) if (job.ticket === scanned.token) return code;
    return null;
  }
  if (scanned.is !== "code") return null;
  const { kind, code } = scanned;
  if (kind === "J") return state.value.job.has(code) ? code : null;
  if (kind === "D") return state.value.thing.get(code)?.job ?? null;
  return kind === "T" && placeOfCode(code).kind !== "clash" ? jobOfTray(code) : null;
}

function byCode(scanned: Extract<Scanned, { is: "code" }>): Result<Target> {
  const { kind, code } = scanned;
  const isKnown = state.value.thing.has(code);
  switch (kind) {
    case "J":
    case "D": {
      if (isAway(code)) return ok(kind === "J" ? { screen: "job", job: code } : { screen: "trace", code });
      const job = jobOfScan(scanned);
      return job === null ? refuse("code-unknown", code) : ok(jobScreen(job));
    }
    case "T": {
      if (placeOfCode(code).kind === "clash") return ok({ screen: "trace", code });
      const job = jobOfTray(code);
      return ok(job === null ? { screen: "tray", code } : jobScreen(job));
    }
    case "B":
      return ok({ screen: "box", code });
    case "P":
      return ok({ screen: isKnown || isAway(code) ? "trace" : "part", code });
    case "C":
      return isKnown || isAway(code) ? ok({ screen: "trace", code }) : refuse("core-not-known", code);
  }
}

/** The bench for those who work there; the status for everybody else, and for jobs that have left the bench. */
function jobScreen(job: string): Target {
  const role = signedOnStaff()?.role;
  const stage = state.value.job.get(job)?.stage;
  const atBench = role === "bench" || (role === "lead" && stage !== "booked");
  const isOpen = stage === "booked" || stage === "bench" || stage === "stopped";
  return { screen: atBench && isOpen ? "bench" : "job", job };
}

/** Jobs of a device known by IMEI or serial number, oldest first. */
export function jobsOfDevice(card: DeviceCard): readonly string[] {
  const same = (c: DeviceCard | null) =>
    (card.imei !== undefined && c?.imei === card.imei) || (card.serial !== undefined && c?.serial === card.serial);
  const refs = new Set(
    [...docs.value.values()].filter((d) => d.kind === "device" && same(d.body as DeviceCard | null)).map((d) => d.id),
  );
  return [...state.value.job]
    .filter(([, job]) => job.card !== null && refs.has(job.card))
    .sort(([, a], [, b]) => (a.booked_at_ms ?? 0) - (b.booked_at_ms ?? 0))
    .map(([code]) => code);
}
