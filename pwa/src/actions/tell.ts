/** What the counter writes about the agreement with the customer: told, promised anew, noted. */
import { state } from "../current.ts";
import { shareOrCopy } from "../device/share.ts";
import type { Event } from "../events/envelope.ts";
import type { Bodies } from "../events/kinds.gen.ts";
import { type Result, refuse } from "../problem.ts";
import { type Telling, whatSlug } from "../rules/telling.ts";
import { act } from "./act.ts";
import { onePress } from "./onePress.ts";
import { written } from "./written.ts";

export type Channel = Bodies["customer.told"]["channel"];
type Written = Promise<Result<readonly Event[]>>;

/** Log that the customer was told this very news. `code-unknown`. */
export const tellCustomer = onePress(async (code: string, channel: Channel, telling: Telling): Written => {
  const job = state.value.job.get(code);
  if (job === undefined) return refuse("code-unknown", code);
  return act(() => [{ kind: "customer.told", job: code, body: { channel, what: whatSlug(job, telling) } }]);
});

/** Promise another time, and perhaps another price limit. `job-closed`, `code-unknown`. */
export const promise = onePress(
  async (code: string, promised_at_ms: number, why: string, limit: number | null): Written => {
    const job = state.value.job.get(code);
    if (job === undefined) return refuse("code-unknown", code);
    if (job.stage === "handed_over") return refuse("job-closed");
    const price = limit === null ? {} : { price_limit_minor: limit };
    return act(() => [{ kind: "job.promised", job: code, body: { promised_at_ms, why: written(why), ...price } }]);
  },
);

/** A note on the job's record; it may be added at any time, also after hand-over. */
export const addNote = onePress(
  async (code: string, note: string): Written =>
    act(() => [{ kind: "note.added", job: code, body: { note: written(note) } }]),
);

/** Offer the text to the share sheet or the clipboard; whether it was taken. */
export const shareText = (text: string): Promise<boolean> => shareOrCopy(text);
