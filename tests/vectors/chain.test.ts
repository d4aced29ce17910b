/** TypeScript hashes chains as the vectors say (F3.2). */
import { genesis, link, sha256 } from "@pwa/events/chain.ts";
import { expect, it } from "vitest";
import { type Part, vectors, whole } from "./vectorFiles.ts";

type Vector = {
  readonly name: string;
  readonly station: string;
  readonly incarnation: string;
  readonly events: readonly (readonly Part[])[];
  readonly hashes: readonly string[];
};

const ALL = vectors<Vector>("chain", {
  keys: ["name", "spec", "expect", "comment", "station", "incarnation", "events", "hashes"],
  expect: ["hashes"],
});

/** NIST's example for SHA-256 of FIPS 180-4, message "abc" (printed in FIPS 180-2, appendix B.1). */
const ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

it("uses the published SHA-256", async () => {
  expect(await sha256(new TextEncoder().encode("abc"))).toBe(ABC);
});

it.each(ALL)("$name", async (vector) => {
  const hashes = [await genesis(vector.station, vector.incarnation)];
  for (const parts of vector.events) {
    const text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(whole(parts));
    hashes.push(await link(hashes[hashes.length - 1] as string, text));
  }
  expect(hashes).toEqual(vector.hashes);
});
