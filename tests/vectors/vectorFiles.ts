/** Reading the files of shared/vectors/: unknown keys, unknown expectations and empty folders are errors. */
import { readdirSync, readFileSync } from "node:fs";

const VECTORS = new URL("../../shared/vectors/", import.meta.url);

/** What the files of a folder must look like: required keys, optional keys, and the values of `expect`. */
type Form = {
  readonly keys: readonly string[];
  readonly optional?: readonly string[];
  readonly expect?: readonly string[];
};

/** All vectors of a folder by file name. */
export function vectors<T extends { readonly name: string }>(folder: string, form: Form): readonly T[] {
  const files = readdirSync(new URL(`${folder}/`, VECTORS))
    .filter((file) => file.endsWith(".json"))
    .sort();
  if (files.length === 0) throw new Error(`no vectors in ${folder}`);
  return files.map((file) => {
    const vector = JSON.parse(readFileSync(new URL(`${folder}/${file}`, VECTORS), "utf8")) as T;
    checkForm(vector, form, `${folder}/${file}`);
    if (`${vector.name.replaceAll(" ", "-")}.json` !== file) throw new Error(`${file} is named ${vector.name}`);
    return vector;
  });
}

function checkForm(vector: object, form: Form, file: string): void {
  const missing = form.keys.filter((key) => !Object.hasOwn(vector, key));
  const unknown = Object.keys(vector).filter((key) => ![...form.keys, ...(form.optional ?? [])].includes(key));
  if (missing.length + unknown.length > 0) throw new Error(`${file}: missing ${missing}, unknown ${unknown}`);
  const { expect } = vector as { readonly expect?: string };
  if (form.expect !== undefined && !form.expect.includes(expect ?? "")) throw new Error(`${file}: expect ${expect}`);
}

export type Part = string | { readonly hex: string } | { readonly repeat: string; readonly times: number };

/** The bytes that a list of parts describes. */
export function whole(parts: readonly Part[]): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(parts.flatMap((part) => [...bytesOf(part)]));
}

function bytesOf(part: Part): Uint8Array {
  if (typeof part === "string") return new TextEncoder().encode(part);
  if ("repeat" in part) return new TextEncoder().encode(part.repeat.repeat(part.times));
  return Uint8Array.from(part.hex.match(/../g) ?? [], (byte) => Number.parseInt(byte, 16));
}
