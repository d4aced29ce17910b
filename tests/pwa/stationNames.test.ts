/** A station is named by its document, wherever a history or a clash says which one it was. */
import "fake-indexeddb/auto";
import { docs } from "@pwa/current.ts";
import { stationName } from "@pwa/facts/people.ts";
import { beforeEach, expect, test } from "vitest";
import { joinedStation } from "./shippingShop.ts";

beforeEach(async () => {
  await joinedStation();
  const told = (id: string, name: string, taken_out = false) => {
    const doc = { id: `station:${id}`, kind: "station", rev: 9, body: { name, taken_out } };
    docs.value = new Map([...docs.value, [doc.id, doc]]);
  };
  told("S2BB", "Bench 2");
  told("S3CC", "Old counter", true);
  told("S4DD", "S4DD");
});

test.each([
  ["S1AA", "this station, Shipping desk (S1AA)"],
  ["S2BB", "Bench 2 (S2BB)"],
  ["S3CC", "Old counter (S3CC), taken out"],
  ["S4DD", "station S4DD"],
  ["S9ZZ", "station S9ZZ"],
])("%s is %s", (id, name) => {
  expect(stationName(id)).toBe(name);
});
