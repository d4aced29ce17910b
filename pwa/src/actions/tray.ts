/** Binding an empty tray to a job and its device, and starting the work. */
import { readScan } from "../codes/scanned.ts";
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import { newestProcedure } from "../facts/catalogue.ts";
import { jobOfScan } from "../facts/leadsTo.ts";
import { jobOfTray, placeOfCode, trayOf } from "../facts/things.ts";
import type { Work } from "../facts/work.ts";
import type { NewEvent } from "../log/append.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";

/** The job that a scanned device label, ticket or job code leads to. `code-unknown` and the scan's own faults. */
export function jobForTray(text: string): Result<string> {
  const scanned = readScan(text);
  if (!scanned.ok) return scanned;
  const job = jobOfScan(scanned.value);
  return job === null ? refuse("code-unknown", "Scan the label on the device, or the ticket.") : ok(job);
}

/**
 * What was scanned while a job waits for its tray: the tray, or the device to make sure it is the right one.
 * `device-not-of-job`, `code-unknown`.
 */
export function scanForStart(code: string, text: string): Result<{ readonly tray: string | null }> {
  const scanned = readScan(text);
  if (!scanned.ok) return scanned;
  const { value } = scanned;
  if (value.is === "other") return refuse("code-unreadable");
  if (value.is !== "code" || (value.kind !== "T" && value.kind !== "D"))
    return refuse("code-unknown", "Scan the label of an empty tray.");
  const { kind, code: thing } = value;
  if (kind === "T") return ok({ tray: thing });
  return state.value.job.get(code)?.device === thing ? ok({ tray: null }) : refuse("device-not-of-job", thing);
}

/** Whether a tray can take a job. The refusal names the job or tray that is in the way. */
export function mayBind(tray: string, code: string): Result<"new" | "same"> {
  const job = state.value.job.get(code);
  if (job === undefined || !job.booked) return refuse("code-unknown", code);
  if (job.stage === "handed_over") return refuse("job-closed", code);
  if (placeOfCode(tray).kind === "clash") return refuse("code-clash", tray);
  const held = jobOfTray(tray);
  if (held === code) return ok("same");
  if (held !== null && state.value.job.get(held)?.stage !== "handed_over") return refuse("tray-in-use", jobName(held));
  const other = trayOf(code);
  return other === null || other === tray ? ok("new") : refuse("job-has-tray", other);
}

/** Bind, and start the work when it has not begun. Tray, device and start are written together. */
export const bind = onePress(
  async (tray: string, code: string, procedureId: string | null): Promise<Result<readonly Event[]>> => {
    const may = mayBind(tray, code);
    if (!may.ok) return may;
    const job = state.value.job.get(code);
    if (job === undefined) return refuse("code-unknown", code);
    const chosen = newestProcedure(procedureId ?? job.procedure);
    const starts = isNotBegun(job);
    if (starts && chosen === null) return refuse("no-procedure");
    const { device } = job;
    const start: readonly NewEvent[] =
      starts && chosen !== null
        ? [{ kind: "job.started", job: code, body: { procedure: chosen.id, revision: chosen.rev } }]
        : [];
    return act(() => [
      ...(may.value === "new" ? [moved(tray, code)] : []),
      ...(device === null ? [] : [moved(device, tray)]),
      ...start,
    ]);
  },
);

/** Booked, or let go on by a lead after a stop before the bench: nobody has begun. */
export const isNotBegun = (job: Work["job"]): boolean =>
  job.stage === "booked" || (job.stage === "bench" && job.bench_staff === null);

/** "Quillet 5, J7K20 00013" for a refusal that names a job. */
export const jobName = (code: string): string =>
  `${state.value.job.get(code)?.model ?? "Job"}, ${code.slice(0, 5)} ${code.slice(5)}`;
