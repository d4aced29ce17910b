/** Handing the device to the customer: only this job's device, and only when nothing is left to do. */
import { readScan } from "../codes/scanned.ts";
import { state } from "../current.ts";
import type { Event } from "../events/envelope.ts";
import { deviceCard, isLead } from "../facts/people.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { isCellUnsafe } from "../rules/cell.ts";
import { handOverBy } from "../rules/handOver.ts";
import { act } from "./act.ts";
import { moved } from "./move.ts";
import { onePress } from "./onePress.ts";
import { written } from "./written.ts";

export type Checked = "scanned" | "compared" | "none";

/** How many last characters of its number are compared by eye. */
export const COMPARED = 4;

/** Whether what was scanned is the device of this job, by its label or its own number. `device-mismatch`, `code-unreadable`, `code-check-failed`. */
export function checkScan(code: string, text: string): Result<null> {
  const job = state.value.job.get(code);
  const card = deviceCard(job?.card ?? null);
  if (card?.serial !== undefined && text.trim().toUpperCase() === card.serial.toUpperCase()) return ok(null);
  const scanned = readScan(text);
  if (!scanned.ok) return scanned;
  const { value } = scanned;
  if (value.is === "other") return refuse("code-unreadable");
  const isThis = value.is === "imei" ? value.imei === card?.imei : value.is === "code" && value.code === job?.device;
  return isThis ? ok(null) : refuse("device-mismatch");
}

/** The number whose last characters can be compared; null when the card holds none. */
export function comparedNumber(code: string): string | null {
  const card = deviceCard(state.value.job.get(code)?.card ?? null);
  return card?.imei ?? card?.serial ?? null;
}

/** Whether the typed end is the end of this device's number. `device-mismatch`. */
export function checkEnd(code: string, typed: string): Result<null> {
  const number = comparedNumber(code);
  const end = typed.replace(/\s/g, "").toUpperCase();
  return number !== null && end.length === COMPARED && number.toUpperCase().endsWith(end)
    ? ok(null)
    : refuse("device-mismatch");
}

/**
 * Hand over: the job's end and the device's move, both or neither. With an unsafe battery inside only a lead hands it out,
 * and only with what the owner was told. `not-ready`, `job-closed`, `code-unknown`, `unsafe-handed-over`, `lead-only`,
 * `answer-missing`.
 */
export const handOver = onePress(
  async (code: string, checked: Checked, ownerTold?: string): Promise<Result<readonly Event[]>> => {
    const job = state.value.job.get(code);
    if (job === undefined || job.device === null) return refuse("code-unknown", code);
    if (job.stage === "handed_over") return refuse("job-closed");
    const by = handOverBy(job);
    if (by === "nobody") return refuse(isCellUnsafe(job) ? "unsafe-handed-over" : "not-ready");
    const told = written(ownerTold ?? "");
    if (by === "lead" && !isLead()) return refuse("lead-only");
    if (by === "lead" && told === "") return refuse("answer-missing", "What the owner was told of the danger.");
    const { device } = job;
    const body = by === "lead" ? { device, checked, owner_told: told } : { device, checked };
    return act(() => [{ kind: "job.handed_over", job: code, body }, moved(device, "customer")]);
  },
);
