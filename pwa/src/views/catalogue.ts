/** Models, suppliers and procedures that the shop knows. */
import { docs } from "../current.ts";
import type { Procedure } from "../rules/procedure.ts";

export type Catalogue = {
  readonly models?: readonly string[];
  readonly suppliers?: readonly { readonly id: string; readonly name: string }[];
  readonly parts?: readonly { readonly kind: string; readonly name: string; readonly supplier?: string }[];
};

export const catalogue = (): Catalogue => (docs.value.get("catalogue")?.body ?? {}) as Catalogue;

export const supplierName = (id: string | null): string =>
  catalogue().suppliers?.find((s) => s.id === id)?.name ?? id ?? "unknown supplier";

export const procedure = (id: string | null): Procedure | null =>
  id === null ? null : ((docs.value.get(`procedure:${id}`)?.body ?? null) as Procedure | null);

export const procedures = (): readonly Procedure[] =>
  [...docs.value.values()].filter((d) => d.kind === "procedure" && d.body !== null).map((d) => d.body as Procedure);
