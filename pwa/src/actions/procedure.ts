/** Procedures under way: drafts of this station, publishing, and files that travel between shops (F7.4, F9). */
import { takeDocs } from "../current.ts";
import { saveFile } from "../device/paper.ts";
import { keepAsIs, keepPhoto, NO_JOB, photoBytes } from "../device/photo.ts";
import { procedures } from "../facts/catalogue.ts";
import { isLead } from "../facts/people.ts";
import { type Draft, draftName, faultLines, formlessText, newestRevision, revisions } from "../facts/procedureDraft.ts";
import { base64Of, bytesOf, fileOf, wrappingFaults } from "../facts/procedureFile.ts";
import { type Doc, withDb } from "../log/db.ts";
import { tellTabs } from "../log/tabs.ts";
import { ok, type Result, refuse } from "../problem.ts";
import { guidePhotos, type Procedure } from "../rules/procedure.ts";
import { saysTheSame } from "../rules/procedureDifference.ts";
import { blankProcedure, tidied } from "../rules/procedureEdit.ts";
import { slugOf } from "../rules/slug.ts";
import { ask, asResult } from "../sync/client.ts";
import { syncSoon } from "../sync/loop.ts";
import { allDrafts, heldDraft, keepDraft } from "./drafts.ts";

/** Room for some dozens of photos; a browser holds the whole file in memory more than once. A guess. */
const MOST_FILE_BYTES = 64_000_000;

/** Ids that a new procedure may not take: those of the shop, and of drafts here. */
async function takenIds(): Promise<readonly string[]> {
  const drafts = (await allDrafts()).map((d) => d.id).filter((id) => id.startsWith(draftName("")));
  return [...procedures().map((p) => p.id), ...drafts.map((id) => id.slice(draftName("").length))];
}

/** Begin a procedure that the shop does not have. Its id. `lead-only`, `field-missing`, `storage-failed`. */
export async function beginProcedure(title: string, model: string): Promise<Result<string>> {
  if (!isLead()) return refuse("lead-only");
  if (title.trim() === "") return refuse("field-missing", "Say what the procedure does, such as Display.");
  if (model.trim() === "") return refuse("field-missing", "Say for which model.");
  try {
    const id = slugOf(`${model} ${title}`, await takenIds());
    const procedure = blankProcedure(id, title.trim(), model.trim());
    await keepDraft(draftName(id), { base: 0, procedure } satisfies Draft);
    return ok(id);
  } catch (error) {
    return refuse("storage-failed", String(error));
  }
}

/**
 * Publish a draft as the revision that its author was shown to be the next. Running jobs keep theirs. What the newest
 * revision says already is published: an answer may have been lost. The revision.
 * `lead-only`, `procedure-unsound`, `doc-changed`, `shop-offline`.
 */
export async function publish(draft: Draft, rev: number): Promise<Result<number>> {
  if (!isLead()) return refuse("lead-only");
  const body: Procedure = { ...tidied(draft.procedure), rev };
  const [newest] = revisions(body.id);
  if (newest !== undefined && saysTheSame(newest, body)) return ok(newest.rev);
  if (rev !== newestRevision(body.id) + 1) return refuse("doc-changed");
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
  await withDb((db) => db.docs.put(doc));
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

/**
 * Hand the procedure to the person as a file. How many of its photos could not be had. `storage-failed`;
 * `procedure-unsound` while no station could take the file in again.
 */
export async function exportProcedure(procedure: Procedure): Promise<Result<number>> {
  const formless = faultLines(procedure).find((f) => f.slug === "not-in-form");
  if (formless !== undefined) {
    return refuse(
      "procedure-unsound",
      `No station could take the file in again. ${formless.where}. ${formless.detail}.`,
    );
  }
  const hashes = guidePhotos(procedure);
  const held = await Promise.all(hashes.map(photoBytes)).catch(() => null);
  if (held === null) return refuse("storage-failed");
  const photos = held.flatMap((photo, at) =>
    photo === null ? [] : [{ sha256: hashes[at] ?? "", type: photo.type, base64: base64Of(photo.bytes) }],
  );
  const text = JSON.stringify({ traymark: "procedure", format: 1, procedure: tidied(procedure), photos }, null, 1);
  saveFile(new Blob([`${text}\n`], { type: "application/json" }), `${procedure.id}-${procedure.rev}.procedure.json`);
  return ok(hashes.length - photos.length);
}

export type Imported = { readonly id: string; readonly missing: number };

/**
 * Take a file in as a draft. What has the id of one of the shop's procedures becomes a draft of that one's next
 * revision; a draft that is there already is not written over. `lead-only`, `procedure-file`, `draft-stands`,
 * `blob-not-image`, `storage-failed`.
 */
export async function importProcedure(from: Blob): Promise<Result<Imported>> {
  if (!isLead()) return refuse("lead-only");
  if (from.size > MOST_FILE_BYTES) return refuse("procedure-file", "It is larger than 64 MB.");
  const document = await read(from);
  if (document === null) return refuse("procedure-file", "It is not JSON.");
  const [wrong] = await wrappingFaults(document);
  if (wrong !== undefined) return refuse("procedure-file", wrong.detail);
  const file = fileOf(document);
  const formless = formlessText(file.procedure);
  if (formless !== null) return refuse("procedure-file", `${formless}.`);
  const { $schema: _, ...procedure } = file.procedure as Procedure & { readonly $schema?: string };
  const name = draftName(procedure.id);
  const shown = guidePhotos(procedure);
  const photos = file.photos.filter((photo) => shown.includes(photo.sha256));
  try {
    if ((await heldDraft(name)) !== undefined) return refuse("draft-stands", `${procedure.title}, ${procedure.model}.`);
    for (const photo of photos) {
      const bytes = bytesOf(photo.base64)?.buffer ?? new ArrayBuffer(0);
      const kept = await keepAsIs(photo.sha256, bytes, photo.type);
      if (!kept.ok) return kept;
    }
    await keepDraft(name, { base: newestRevision(procedure.id), procedure } satisfies Draft);
  } catch (error) {
    return refuse("storage-failed", String(error));
  }
  syncSoon();
  const given = new Set(photos.map((photo) => photo.sha256));
  return ok({ id: procedure.id, missing: shown.filter((hash) => !given.has(hash)).length });
}

/** The JSON of a file; null when it is none. */
async function read(file: Blob): Promise<unknown> {
  try {
    return JSON.parse(await file.text());
  } catch {
    return null;
  }
}
