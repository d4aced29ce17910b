/** Cautions of the shop's table, the most dangerous first. */
import cautionsTable from "@shared/cautions.json";

export type Caution = { readonly id: string; readonly name: string; readonly text: string };

const TEXTS = cautionsTable.cautions as Readonly<Record<string, { readonly name: string; readonly text: string }>>;

/** What can hurt a person before what can ruin the device. Our own judgement; no source ranks them. */
const BY_DANGER: readonly string[] = [
  "battery_emergency", "battery", "heat", "chemical", "glass", "long_screw", "paired", "force", "cable", "static", "shipping", "waste",
]; // biome-ignore format: one list

export const caution = (id: string): Caution => ({ id, ...(TEXTS[id] ?? { name: id, text: "" }) });

export const cautionsOf = (ids: readonly string[]): readonly Caution[] =>
  [...new Set(ids)].sort((a, b) => BY_DANGER.indexOf(a) - BY_DANGER.indexOf(b)).map(caution);
