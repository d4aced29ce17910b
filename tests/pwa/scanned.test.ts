import { mint } from "@pwa/codes/codes.ts";
import { readScan } from "@pwa/codes/scanned.ts";
import { expect, test } from "vitest";

const TRAY = mint("T", "7K2", 3).code;
const TOKEN = "0123456789ABCDEFGHJKMNPQRS";
// 3GPP TS 23.003 Annex B.3, the worked example of a check digit.
const IMEI = "260531793113837";
// python-stdnum's doctest of a badge-like text is none of ours; an EAN-13 of GS1's own worked example of a check digit.
const EAN = "6291041500213";

test.each([
  [
    "a code, typed small and in groups",
    ` ${TRAY.slice(0, 5)} ${TRAY.slice(5)} `.toLowerCase(),
    { is: "code", kind: "T", code: TRAY },
  ],
  ["a ticket's address in capitals", `HTTPS://SHOP.EXAMPLE/T/${TOKEN}`, { is: "ticket", token: TOKEN }],
  [
    "a ticket's address in small letters",
    `https://shop.example/t/${TOKEN}`.replace("/t/", "/T/").toLowerCase(),
    { is: "ticket", token: TOKEN },
  ],
  ["a join link", "https://shop.example/#/join/ABCD-EFGH", { is: "join", code: "ABCD-EFGH" }],
  ["an IMEI with spaces", "26 053179 311383 7", { is: "imei", imei: IMEI }],
  ["a supplier's bar code", EAN, { is: "other", text: EAN }],
  ["a serial number", "sn-77/A", { is: "other", text: "sn-77/A" }],
] as const)("%s", (_, text, expected) => {
  expect(readScan(text)).toEqual({ ok: true, value: expected });
});

test("what has the form of ours with a wrong character is said to be wrong, not another thing", () => {
  const wrong = `${TRAY.slice(0, 9)}${TRAY.endsWith("0") ? "1" : "0"}`;
  expect(readScan(wrong)).toMatchObject({ ok: false, problem: { slug: "code-check-failed" } });
  expect(readScan("260531793113838")).toMatchObject({ ok: false, problem: { slug: "imei-check-failed" } });
});
