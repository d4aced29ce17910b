/** Finding a job by what people say of it: a name, a number, a model, a code. */
import { state } from "../current.ts";
import { contactCard, deviceCard } from "../facts/people.ts";
import { heldText } from "../facts/texts.ts";
import { isFromArchive } from "../facts/things.ts";
import type { Job } from "../fold/state.ts";

export type Found = { readonly code: string; readonly job: Job; readonly name: string; readonly isPutAway: boolean };

/** Drawn at once; who sees as many types more. */
const MOST = 30;

/** Jobs that are here and match all the words, newest first. None for no words. */
export function findJobs(words: string): readonly Found[] {
  const asked = words.toLowerCase().split(/\s+/).filter(Boolean);
  if (asked.length === 0) return [];
  return [...state.value.job]
    .filter(([code, job]) => {
      const text = textOf(code, job);
      return job.booked && asked.every((word) => text.includes(word));
    })
    .sort(([, a], [, b]) => (b.booked_at_ms ?? 0) - (a.booked_at_ms ?? 0))
    .slice(0, MOST)
    .map(([code, job]) => ({
      code,
      job,
      name: contactCard(job.contact)?.name ?? "",
      isPutAway: isFromArchive(code),
    }));
}

/** Everything of a job that is searched, numbers also without what people put between digits. */
function textOf(code: string, job: Job): string {
  const { name = "", phone = "", mail = "" } = contactCard(job.contact) ?? {};
  const { imei = "", serial = "", model = "" } = deviceCard(job.card) ?? {};
  const digits = phone.replace(/[^0-9+]/g, "");
  const all = [code, name, phone, digits, mail, imei, serial, model, job.model, heldText(job.complaint)];
  return all.join(" ").toLowerCase();
}
