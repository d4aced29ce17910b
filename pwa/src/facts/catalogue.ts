/** Models, suppliers and procedures that the shop knows. */
import { docs } from "../current.ts";
import type { Job } from "../fold/state.ts";
import type { Procedure } from "../rules/procedure.ts";

export type Catalogue = {
  readonly models?: readonly string[];
  readonly suppliers?: readonly { readonly id: string; readonly name: string }[];
  readonly parts?: readonly { readonly kind: string; readonly name: string; readonly supplier?: string }[];
};

export const catalogue = (): Catalogue => (docs.value.get("catalogue")?.body ?? {}) as Catalogue;

export const supplierName = (id: string | null): string =>
  catalogue().suppliers?.find((s) => s.id === id)?.name ?? id ?? "unknown supplier";

/** The newest revision of every procedure. */
export function procedures(): readonly Procedure[] {
  const newest = new Map<string, Procedure>();
  for (const doc of docs.value.values()) {
    if (doc.kind !== "procedure" || doc.body === null) continue;
    const held = doc.body as Procedure;
    if (held.rev > (newest.get(held.id)?.rev ?? 0)) newest.set(held.id, held);
  }
  return [...newest.values()];
}

/** A procedure in one revision, which never changes (F7.4). */
export function procedure(id: string | null, revision: number | null): Procedure | null {
  if (id === null || revision === null) return null;
  return (docs.value.get(`procedure:${id}.${revision}`)?.body ?? null) as Procedure | null;
}

/** Procedures for a model first, then the others. */
export const byModel = (all: readonly Procedure[], model: string | null): readonly Procedure[] => [
  ...all.filter((p) => p.model === model),
  ...all.filter((p) => p.model !== model),
];

/** What a new job would be started with. */
export const newestProcedure = (id: string | null): Procedure | null => procedures().find((p) => p.id === id) ?? null;

/** The procedure of a job: before its start the newest revision, from then on the one that it was started with. */
export const workProcedure = (job: Pick<Job, "stage" | "procedure" | "revision">): Procedure | null =>
  job.stage === "booked" || job.revision === null
    ? newestProcedure(job.procedure)
    : procedure(job.procedure, job.revision);
