/** views/message.ts: the prepared text, and the addresses that open the telephone's own programs. */
import type { Telling } from "@pwa/rules/telling.ts";
import { stages, stopReasons } from "@pwa/tables.ts";
import { mailAddress, message, smsAddress, telAddress, type Words } from "@pwa/views/message.ts";
import { describe, expect, test } from "vitest";
import { aJob, at, reading } from "./counterStation.ts";

const WORDS: Words = {
  name: "Nia",
  shop: "Corner bench",
  phone: "020 555",
  ticket: "J7K20 00018",
  promised: "Fri 6:00",
};
const say = (telling: Telling, changed = {}, words = WORDS) => message(aJob(changed), telling, words);

describe("the message", () => {
  for (const [reason, row] of Object.entries(stopReasons)) {
    test(`says in the shop's plain words that it stopped: ${reason}`, () => {
      expect(say({ kind: "stop", reason }, { stop: { reason, ...at(1) } })).toContain(row.customer);
    });
  }
  test("greets by name, names shop, ticket and telephone", () => {
    const text = say({ kind: "ready" });
    for (const word of ["Nia", "Corner bench", "J7K20 00018", "020 555", "Quillet 5"]) expect(text).toContain(word);
  });
  test("has no gaps where name, shop and telephone are not known", () => {
    const text = say({ kind: "ready" }, {}, { ...WORDS, name: "", shop: "", phone: "" });
    expect(text.startsWith("Hello,\n")).toBe(true);
    expect(text).not.toMatch(/undefined|null| {2}|\n\n/);
    expect(text).not.toContain("Call");
  });
  test("names the new time", () => expect(say({ kind: "promise" })).toContain("Fri 6:00"));
  test("says when ready what still fails as it did at intake, and nothing else", () => {
    const tests = {
      "intake/touch": reading("fail"),
      "final/touch": reading("fail"),
      "intake/charging": reading("fail"),
      "final/charging": reading("pass"),
    };
    const text = say({ kind: "ready" }, { tests });
    expect(text).toContain("still do not: touch.");
    expect(text).not.toContain("charging");
  });
  test("a device that goes back unrepaired is never called repaired", () => {
    const text = say({ kind: "returned" }, { stop: { reason: "liquid", ...at(1) } });
    expect(text).toContain("It was not repaired.");
    expect(text).toContain(stopReasons.liquid?.customer);
  });
  test("how it stands is said no further than it is, and the promise only while it is still to be kept", () => {
    const news = (changed: object): string => say({ kind: "news" }, changed);
    expect(news({ stage: "booked" })).toContain(stages.booked.customer);
    expect(news({ stage: "bench", promised_at_ms: 1 })).toContain("We promised it for Fri 6:00.");
    expect(news({ stage: "ready" })).toContain(stages.ready.customer);
    expect(news({ stage: "ready" })).not.toContain("promised");
    const stopped = { stage: "stopped", promised_at_ms: 1, stop: { reason: "liquid", ...at(1) } };
    expect(news(stopped)).toContain(stopReasons.liquid?.customer);
    expect(news(stopped)).not.toContain("promised");
  });
  test("blames no one and names no technical cause", () => {
    for (const kind of ["ready", "returned", "promise", "price", "news"] as const)
      expect(say({ kind })).not.toMatch(/technician|fault of|assembly|lot/i);
  });
});

describe("addresses", () => {
  test("a telephone number is dialled by its digits and the plus in front", () => {
    expect(telAddress("+44 (0)20 555-01")).toBe("tel:+4402055501");
    expect(telAddress("020 555/01")).toBe("tel:02055501");
    expect(telAddress("020+555")).toBe("tel:020555");
  });
  test("a message is encoded whole, also & and line feeds", () => {
    expect(smsAddress("020 1", "a & b\nc")).toBe("sms:0201?body=a%20%26%20b%0Ac");
  });
  test("a mail address cannot smuggle a second field in", () => {
    expect(mailAddress("nia@example.org?bcc=x@example.org", "s", "t")).toBe(
      "mailto:nia@example.org%3Fbcc%3Dx@example.org?subject=s&body=t",
    );
  });
  test("a mail text has CR LF line ends (RFC 6068)", () => {
    expect(mailAddress("a@b.example", "s", "x\ny")).toContain("body=x%0D%0Ay");
  });
});
