/** Procedure files: a procedure with its photos, on its way from shop to shop (F9). */
import schema from "@shared/schema/procedure_file.schema.json";
import { sha256 } from "../events/chain.ts";
import { formFaults } from "../rules/form.ts";
import { checkProcedure, type Fault } from "../rules/procedureCheck.ts";

export type FilePhoto = { readonly sha256: string; readonly type: string; readonly base64: string };
export type ProcedureFile = {
  readonly traymark: "procedure";
  readonly format: 1;
  readonly procedure: unknown;
  readonly photos: readonly FilePhoto[];
};

/** What a document holds; a bare procedure has no photos (F9.2). */
export const fileOf = (document: unknown): ProcedureFile =>
  isWrapped(document)
    ? (document as ProcedureFile)
    : { traymark: "procedure", format: 1, procedure: document, photos: [] };

/** Faults of the file itself: its form, and photos whose bytes have another SHA-256. */
export async function wrappingFaults(document: unknown): Promise<readonly Fault[]> {
  if (!isWrapped(document)) return [];
  const details = [...formFaults(document, schema)];
  if (details.length === 0) {
    const { photos } = document as ProcedureFile;
    for (const [place, photo] of photos.entries()) {
      const bytes = bytesOf(photo.base64);
      if (bytes === null || (await sha256(bytes)) !== photo.sha256)
        details.push(`/photos/${place}/base64 has another SHA-256`);
    }
  }
  return details.map((detail) => ({ slug: "not-in-form", step: null, detail }));
}

/** All faults of a procedure file, or of a bare procedure; none when it is sound. */
export async function checkProcedureFile(document: unknown): Promise<readonly Fault[]> {
  const faults = await wrappingFaults(document);
  return faults.length > 0 ? faults : checkProcedure(fileOf(document).procedure);
}

/** Null when it is not base64; `atob` would accept a missing end. */
export function bytesOf(base64: string): Uint8Array<ArrayBuffer> | null {
  if (base64.length % 4 !== 0) return null;
  try {
    return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  } catch {
    return null;
  }
}

export function base64Of(bytes: ArrayBuffer): string {
  let letters = "";
  for (const byte of new Uint8Array(bytes)) letters += String.fromCharCode(byte);
  return btoa(letters);
}

const isWrapped = (document: unknown): boolean =>
  typeof document === "object" && document !== null && Object.hasOwn(document, "traymark");
