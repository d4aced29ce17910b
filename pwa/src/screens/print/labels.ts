/** What the counter's labels say. Field names are those of shared/labels.json. */
import type { Label, LabelKind } from "../../actions/print.ts";
import { state, station } from "../../current.ts";
import { isUnsafeCell } from "../../rules/safePlace.ts";
import { dayTime } from "../../ui/format.ts";
import { shop } from "../../views/people.ts";

const NAMES: Readonly<Record<LabelKind, string>> = {
  ticket: "Ticket",
  device: "Device label",
  tray: "Tray label",
  part: "Part label",
  core: "Old part's label",
  box: "Box label",
  badge: "Badge",
};

export const labelName = (kind: LabelKind): string => NAMES[kind];

/** The slip the customer keeps; upper case lets its symbol stay small. Null before the job is booked. */
export function ticketLabel(code: string, origin: string): Label | null {
  const job = state.value.job.get(code);
  if (job === undefined || job.ticket === null) return null;
  const promised = job.promised_at_ms === null ? "" : dayTime(job.promised_at_ms).slice(0, 40);
  const fields = {
    url: `${origin.toUpperCase()}/T/${job.ticket}`,
    job: code,
    shop: (shop().shop_name ?? station.value?.shop ?? "").slice(0, 60),
    phone: (shop().phone ?? "").slice(0, 30),
    model: job.model ?? "",
    promised,
  };
  return { kind: "ticket", fields, code };
}

/** The label that stays on the device while it is here. */
export function deviceLabel(code: string): Label | null {
  const job = state.value.job.get(code);
  if (job === undefined || job.device === null) return null;
  return {
    kind: "device",
    fields: {
      code: job.device,
      model: job.model ?? "",
      job: code,
      battery_caution: isUnsafeCell(job.cell) ? "battery_unsafe" : "none",
    },
    code: job.device,
  };
}
