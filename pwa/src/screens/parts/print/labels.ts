/** What labels say. Field names are those of shared/labels.json. */
import type { Label, LabelKind } from "../../../actions/print.ts";
import { state, station } from "../../../current.ts";
import { supplierName } from "../../../facts/catalogue.ts";
import { shop } from "../../../facts/people.ts";
import { isCellUnsafe } from "../../../rules/cell.ts";
import { dayTime } from "../../../words/format.ts";

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
      battery_caution: isCellUnsafe(job) ? "battery_unsafe" : "none",
    },
    code: job.device,
  };
}

/** The label of a new part. */
export function partLabel(code: string): Label {
  const thing = state.value.thing.get(code);
  const fields = {
    code,
    part: (thing?.name ?? "").slice(0, 60),
    supplier: supplierName(thing?.supplier ?? null).slice(0, 60),
    lot: thing?.lot ?? "",
    battery_caution: thing?.shipping_caution ?? "none",
  };
  return { kind: "part", fields, code };
}

/** The label of an old part; null before it is tagged. */
export function coreLabel(code: string): Label | null {
  const thing = state.value.thing.get(code);
  if (thing === undefined || thing.job === null) return null;
  const fields = {
    code,
    job: thing.job,
    part: (thing.name ?? "Old part").slice(0, 60),
    supplier: supplierName(thing.supplier).slice(0, 60),
    condition: thing.condition ?? "complete",
    purpose: thing.purpose ?? "recycling",
    battery_caution: thing.shipping_caution ?? "none",
  };
  return { kind: "core", fields, code };
}
