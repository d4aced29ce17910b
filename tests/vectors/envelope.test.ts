/** TypeScript reads bytes as the vectors say (F2). */
import { isEvent, parse } from "@pwa/events/envelope.ts";
import { expect, it } from "vitest";
import { type Part, vectors, whole } from "./vectorFiles.ts";

type Vector = {
  readonly name: string;
  readonly expect: string;
  readonly pointer: string;
  readonly bytes: readonly Part[];
};

const FAULTS = [
  "event-not-json",
  "event-too-large",
  "envelope-field",
  "unknown-field",
  "missing-field",
  "bad-field",
] as const;

const ALL = vectors<Vector>("envelope", {
  keys: ["name", "spec", "expect", "pointer", "comment", "bytes"],
  expect: ["event", "unknown", ...FAULTS],
});

it.each(ALL)("$name", (vector) => {
  const { expect: verdict, pointer } = vector;
  expect(judged(whole(vector.bytes))).toEqual({ verdict, pointer });
});

/** This program reads text. Bytes that are not UTF-8 never become text, so they are no event (F2.1). */
function judged(bytes: Uint8Array<ArrayBuffer>): { readonly verdict: string; readonly pointer: string } {
  let text: string;
  try {
    text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return { verdict: "event-not-json", pointer: "" };
  }
  const event = parse(text);
  if (!isEvent(event)) return { verdict: event.slug, pointer: event.pointer };
  return { verdict: event.known ? "event" : "unknown", pointer: "" };
}
