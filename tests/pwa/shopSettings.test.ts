/** An older settings document may hold anything; what a browser cannot use breaks no screen. */
import { docs } from "@pwa/current.ts";
import { shop } from "@pwa/facts/people.ts";
import { shopDay } from "@pwa/views/days.ts";
import { emergencyCard, NO_CARD } from "@pwa/views/emergency.ts";
import { day, moment } from "@pwa/views/recordWords.ts";
import { readSettings, type Typed } from "@pwa/views/settings.ts";
import { money } from "@pwa/words/format.ts";
import { expect, test } from "vitest";

const hold = (body: object): void => {
  docs.value = new Map([["shop", { id: "shop", kind: "settings", rev: 1, body }]]);
};
const AT = Date.UTC(2026, 6, 1, 22, 30);

test("a setting of another kind is left out, and the others stand", () => {
  hold({ shop_name: 7, phone: null, mail: [], currency: {}, terms: 1, warranty_days: "90", strap_interval: false });
  expect(shop()).toEqual({});
  hold({ shop_name: "Bench", phone: 555, warranty_days: -1, emergency: null });
  expect(shop()).toEqual({ shop_name: "Bench", emergency: {} });
  hold({ warranty_days: 90, emergency: { place: "Stone bench", number: 199, who: null } });
  expect(shop().warranty_days).toBe(90);
  expect(emergencyCard()).toEqual({ ...NO_CARD, place: "Stone bench" });
});

test("without any document nothing is set", () => {
  docs.value = new Map();
  expect(shop()).toEqual({});
  expect(emergencyCard()).toEqual(NO_CARD);
});

test.each(["??", "", "EURO", "12"])("an amount in the currency %j is told in words", (currency) => {
  expect(money(1250, currency)).toBe("12.50 in the shop's currency");
});

test("an amount in a currency is told in it", () => {
  expect(money(1250, "EUR")).toMatch(/€|EUR/);
});

test.each(["Nowhere/Atlantis", "", 7])("a moment in the zone %j is told in UTC", (time_zone) => {
  hold({ time_zone });
  expect([moment(AT), day(AT)]).toEqual(["1 July 2026, 22:30 UTC", "1 July 2026"]);
  expect(shopDay()(AT)).toBe(Date.UTC(2026, 6, 1) / 86_400_000);
});

test("a moment is told on the shop's clock", () => {
  hold({ time_zone: "Asia/Tokyo" });
  expect([moment(AT), day(AT)]).toEqual(["2 July 2026, 07:30", "2 July 2026"]);
  expect(moment(Number.MAX_SAFE_INTEGER)).toBe("a later day");
});

const TYPED: Typed = {
  ...{ shop_name: "Bench", phone: "", currency: "EUR", time_zone: "UTC", terms: "" },
  ...{ warranty_days: "90", put_away_after_days: "30", erase_after_months: "", forget_after_days: "60" },
};

test.each(["1", " 14 ", "3650"])("a station may forget the shop after %j days", (forget_after_days) => {
  const read = readSettings({ ...TYPED, forget_after_days });
  expect(read.ok && read.value.forget_after_days).toBe(Number(forget_after_days));
  hold({ forget_after_days: Number(forget_after_days) });
  expect(shop().forget_after_days).toBe(Number(forget_after_days));
});

test.each(["", "0", "3651", "1.5", "never"])("and not after %j", (forget_after_days) => {
  expect(readSettings({ ...TYPED, forget_after_days })).toMatchObject({
    ok: false,
    problem: { slug: "field-missing", detail: "A station forgets the shop after 1 to 3650 days." },
  });
});
