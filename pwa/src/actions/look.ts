/** Light, dark, or as the phone says; kept for this station. */
import { getMeta, putMeta } from "../log/db.ts";

export type Look = "auto" | "light" | "dark";

export const lookNow = (): Look => (document.documentElement.dataset.look as Look | undefined) ?? "auto";

export async function setLook(look: Look): Promise<void> {
  show(look);
  await putMeta("look", look);
}

/** At start: the look that was chosen here. */
export async function applyLook(): Promise<void> {
  show((await getMeta<Look>("look")) ?? "auto");
}

function show(look: Look): void {
  if (look === "auto") delete document.documentElement.dataset.look;
  else document.documentElement.dataset.look = look;
}
