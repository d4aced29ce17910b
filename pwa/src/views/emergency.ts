/** The emergency page: what the shop wrote on it, and from where it is one press away. */
import { state } from "../current.ts";
import { shop } from "../facts/people.ts";
import { isCellUnsafe } from "../rules/cell.ts";

/** In the shop's own words; each is empty until somebody wrote it. */
export type EmergencyCard = {
  readonly place: string;
  readonly number: string;
  readonly container: string;
  readonly who: string;
  readonly text: string;
};

export const NO_CARD: EmergencyCard = { place: "", number: "", container: "", who: "", text: "" };

export const emergencyCard = (): EmergencyCard => ({ ...NO_CARD, ...shop().emergency });

/** Screens of the bench and of shipping. At the counter only a job with an unsafe battery has it. */
const ALWAYS: readonly string[] = [
  ...["bench", "tray", "trays", "calibrate", "self-test", "photo"],
  ...["box", "boxes", "part", "parts", "trace", "clash", "safe"],
];

export function showsEmergency(screen: string, args: readonly string[]): boolean {
  if (ALWAYS.includes(screen)) return true;
  const job = screen === "job" ? state.value.job.get(args[0] ?? "") : undefined;
  return job !== undefined && job.handed_over === null && isCellUnsafe(job);
}
