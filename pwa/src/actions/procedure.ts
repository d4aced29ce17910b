/** Procedures under way: drafts of this station, publishing, and files that travel between shops (F7.4, F9). */
import { takeDocs } from "../current.ts";
import { saveFile } from "../device/paper.ts";
import { keepAsIs, keepPhoto, NO_JOB, photoBytes } from "../device/photo.ts";
import { type Doc, withDb } from "../log/db.ts";
import { tellTabs } from "../log/tabs.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { guidePhotos, type Procedure } from "../rules/procedure.ts";
import { blankProcedure, tidied } from "../rules/procedureEdit.ts";
import { slugOf } from "../rules/slug.ts";
import { ask, asResult } from "../sync/client.ts";
import { syncSoon } from "../sync/loop.ts";
import { procedures } from "../views/catalogue.ts";
import { isLead } from "../views/people.ts";
import { type Draft, draftName, faultLines, newestRevision } from "../views/procedureDraft.ts";
import { base64Of, bytesOf, fileOf, wrappingFaults } from "../views/procedureFile.ts";
import { allDrafts, keepDraft } from "./drafts.ts";

/** Ids that a new procedure may not take: those of the shop, and of drafts here. */
async function takenIds(): Promise<readonly string[]> {
  const drafts = (await allDrafts()).map((d) => d.id).filter((id) => id.startsWith(draftName("")));
  return [...procedures().map((p) => p.id), ...drafts.map((id) => id.slice(draftName("").length))];
}

/** Begin a procedure that the shop does not have. Its id. `lead-only`, `field-missing`. */
export async function beginProcedure(title: string, model: string): Promise<Result<string>> {
  if (!isLead()) return refuse("lead-only");
  if (title.trim() === "") return refuse("field-missing", "Say what the procedure does, such as Display.");
  if (model.trim() === "") return refuse("field-missing", "Say for which model.");
  const id = slugOf(`${model} ${title}`, await takenIds());
  await keepDraft(draftName(id), {
    base: 0,
    procedure: blankProcedure(id, title.trim(), model.trim()),
  } satisfies Draft);
  return ok(id);
}

/**
 * Publish a draft as the shop's next revision. Running jobs keep theirs. The revision.
 * `lead-only`, `procedure-unsound`, `doc-changed`, `shop-offline`.
 */
export async function publish(draft: Draft): Promise<Result<number>> {
  if (!isLead()) return refuse("lead-only");
  const rev = newestRevision(draft.procedure.id) + 1;
  const body: Procedure = { ...tidied(draft.procedure), rev };
  const [first] = faultLines(body);
  if (first !== undefined) return refuse("procedure-unsound", `${first.where}. ${first.title}.`);
  const id = `procedure:${body.id}.${rev}`;
  const answer = await ask<{ rev: number }>("PUT", `/api/docs/${id}`, { kind: "procedure", body });
  const written = asResult(answer, { slug: "shop-offline" });
  if (!written.ok) {
    syncSoon();
    return written.problem.slug === "revision-stands" ? refuse("doc-changed") : written;
  }
  const doc: Doc = { id, kind: "procedure", rev: written.value.rev, body };
  await withDb(async (db) => {
    await db.docs.put(doc);
  });
  takeDocs([doc]);
  tellTabs("docs");
  syncSoon();
  return ok(rev);
}

/** Keep a photo for a step, on this station until the server has it. Its SHA-256. `blob-not-image`, `storage-failed`. */
export async function keepGuidePhoto(picture: Blob): Promise<Result<string>> {
  const kept = await keepPhoto(NO_JOB, picture);
  if (!kept.ok) return kept;
  syncSoon();
  return ok(kept.value.sha256);
}

/** Hand the procedure to the person as a file. How many of its photos could not be had. */
export async function exportProcedure(procedure: Procedure): Promise<number> {
  const hashes = guidePhotos(procedure);
  const held = await Promise.all(hashes.map(photoBytes));
  const photos = held.flatMap((photo, at) =>
    photo === null ? [] : [{ sha256: hashes[at] ?? "", type: photo.type, base64: base64Of(photo.bytes) }],
  );
  const text = JSON.stringify({ traymark: "procedure", format: 1, procedure: tidied(procedure), photos }, null, 1);
  saveFile(new Blob([`${text}\n`], { type: "application/json" }), `${procedure.id}-${procedure.rev}.procedure.json`);
  return hashes.length - photos.length;
}

export type Imported = { readonly id: string; readonly missing: number };

/**
 * Take a file in as a draft. What has the id of one of the shop's procedures becomes a draft of that one's next
 * revision. `lead-only`, `procedure-file`, `storage-failed`.
 */
export async function importProcedure(text: string): Promise<Result<Imported>> {
  if (!isLead()) return refuse("lead-only");
  const document = parsed(text);
  if (document === null) return refuse("procedure-file", "It is not JSON.");
  const [wrong] = await wrappingFaults(document);
  if (wrong !== undefined) return refuse("procedure-file", wrong.detail);
  const file = fileOf(document);
  const formless = faultLines(file.procedure as Procedure).find((f) => f.slug === "not-in-form");
  if (formless !== undefined) return refuse("procedure-file", `${formless.title}.`);
  const { $schema: _, ...procedure } = file.procedure as Procedure & { readonly $schema?: string };
  for (const photo of file.photos) {
    const bytes = bytesOf(photo.base64)?.buffer ?? new ArrayBuffer(0);
    const kept = await keepAsIs(photo.sha256, bytes, photo.type);
    if (!kept.ok) return kept;
  }
  const named = new Set(file.photos.map((p) => p.sha256));
  const base = newestRevision(procedure.id);
  await keepDraft(draftName(procedure.id), { base, procedure } satisfies Draft);
  syncSoon();
  return ok({ id: procedure.id, missing: guidePhotos(procedure).filter((hash) => !named.has(hash)).length });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
