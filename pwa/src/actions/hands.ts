/** How this station is worked when both hands are busy: kept for the station. */
import { signal } from "@preact/signals";
import { getMeta, putMeta } from "../log/db.ts";

export type HandsFree = {
  /** Keys of a foot pedal or keyboard go on to the next step. */
  readonly keys: boolean;
  /** Scanning the job's own tray says that the open step is done. */
  readonly tray: boolean;
};

const FIRST: HandsFree = { keys: true, tray: true };

export const handsFree = signal<HandsFree>(FIRST);

export async function loadHandsFree(): Promise<void> {
  handsFree.value = { ...FIRST, ...(await getMeta<HandsFree>("hands")) };
}

export async function setHandsFree(part: Partial<HandsFree>): Promise<void> {
  handsFree.value = { ...handsFree.value, ...part };
  await putMeta("hands", handsFree.value);
}
