/** Where a scan leads: from what was read, and who is signed on, to a screen. */
import { parseCode, parseImei } from "../codes/codes.ts";
import { docs, state } from "../current.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { type DeviceCard, signedOnStaff } from "./people.ts";
import { jobOfTray, placeOfCode } from "./things.ts";

/** The address of the screen for a scan. `code-unreadable`, `code-check-failed`, `code-unknown`, `imei-check-failed`. */
export function find(text: string): Result<string> {
  const seen = text.trim();
  const join = /#\/join\/([0-9A-Za-z-]+)$/.exec(seen);
  if (join?.[1] !== undefined) return ok(`join/${join[1]}`);
  const ticket = /\/T\/([0-9A-HJKMNP-TV-Z]{26})$/i.exec(seen);
  if (ticket?.[1] !== undefined) return byTicket(ticket[1].toUpperCase());
  if (/^[0-9\s-]{14,20}$/.test(seen) && seen.replace(/[\s-]/g, "").length === 15) return byImei(seen);
  const code = parseCode(seen);
  if (!code.ok) return code;
  return byCode(code.value.code, code.value.kind);
}

function byCode(code: string, kind: string): Result<string> {
  switch (kind) {
    case "W":
      return ok(`sign-on/${code}`);
    case "J":
      return state.value.job.has(code) ? ok(jobScreen(code)) : refuse("code-unknown", code);
    case "D": {
      const job = state.value.thing.get(code)?.job ?? null;
      return job === null ? refuse("code-unknown", code) : ok(jobScreen(job));
    }
    case "T": {
      if (placeOfCode(code).kind === "clash") return ok(`trace/${code}`);
      const job = jobOfTray(code);
      return ok(job === null ? `tray/${code}` : jobScreen(job));
    }
    case "B":
      return ok(`box/${code}`);
    case "P":
      return ok(state.value.thing.has(code) ? `trace/${code}` : `part/${code}`);
    default:
      return state.value.thing.has(code) ? ok(`trace/${code}`) : refuse("core-not-known", code);
  }
}

/** The bench for those who work there, the status for everybody else and for jobs that left the bench. */
function jobScreen(job: string): string {
  const role = signedOnStaff()?.role;
  const stage = state.value.job.get(job)?.stage;
  const atBench = role === "bench" || (role === "lead" && stage !== "booked");
  return atBench && (stage === "booked" || stage === "bench" || stage === "stopped") ? `bench/${job}` : `job/${job}`;
}

function byTicket(token: string): Result<string> {
  for (const [code, job] of state.value.job) if (job.ticket === token) return ok(`job/${code}`);
  return refuse("code-unknown");
}

function byImei(text: string): Result<string> {
  const imei = parseImei(text);
  if (!imei.ok) return imei;
  const jobs = jobsOfDevice({ imei: imei.value });
  const last = jobs[jobs.length - 1];
  return last === undefined ? ok(`book/imei/${imei.value}`) : ok(jobScreen(last));
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
