/** TypeScript reads and makes codes, badges and IMEI numbers as the vectors say (F1). */
import {
  type CodeKind,
  checkCharacter,
  group,
  imeiCheckDigit,
  mint,
  parseCode,
  parseImei,
  staffIdOf,
} from "@pwa/codes/codes.ts";
import type { Result } from "@pwa/problem.ts";
import { describe, expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Case =
  | { readonly op: "check_character"; readonly body: string; readonly check?: string }
  | {
      readonly op: "parse_code";
      readonly text: string;
      readonly code?: string;
      readonly letter?: string;
      readonly staff_id?: string;
    }
  | {
      readonly op: "mint";
      readonly kind: CodeKind;
      readonly prefix: string;
      readonly counter: number;
      readonly code?: string;
      readonly used?: number;
    }
  | { readonly op: "group"; readonly code: string; readonly text?: string }
  | { readonly op: "imei_check_digit"; readonly digits: string; readonly check?: string }
  | { readonly op: "parse_imei"; readonly text: string; readonly imei?: string };

type Vector = { readonly name: string; readonly expect: string; readonly cases: readonly Case[] };

const ALL = vectors<Vector>("code", {
  keys: ["name", "spec", "expect", "comment", "cases"],
  expect: ["ok", "throws", "code-unreadable", "code-check-failed", "imei-length", "imei-check-failed"],
});

describe.each(ALL)("$name", (vector) => {
  it("has cases", () => {
    expect(vector.cases.length).toBeGreaterThan(0);
  });

  it.each(vector.cases.map((one) => ({ one, title: JSON.stringify(one) })))("$title", ({ one }) => {
    if (vector.expect === "throws") expect(() => outcome(one)).toThrow(RangeError);
    else if (vector.expect === "ok") expect({ ...one, ...(outcome(one) as object) }).toEqual(one);
    else expect(outcome(one)).toBe(vector.expect);
  });
});

/** The result of a case: the names and values that a sound case states, or the slug of a refusal. */
function outcome(one: Case): Readonly<Record<string, unknown>> | string {
  switch (one.op) {
    case "check_character":
      return { check: checkCharacter(one.body) };
    case "parse_code":
      return answered(parseCode(one.text), ({ code, kind }) => ({
        code,
        letter: kind,
        ...(kind === "W" ? { staff_id: staffIdOf(code) } : {}),
      }));
    case "mint": {
      const { code, counter } = mint(one.kind, one.prefix, one.counter);
      return { code, used: counter };
    }
    case "group":
      return { text: group(one.code) };
    case "imei_check_digit":
      return { check: imeiCheckDigit(one.digits) };
    case "parse_imei":
      return answered(parseImei(one.text), (imei) => ({ imei }));
    default:
      throw new Error(`unknown op in ${JSON.stringify(one)}`);
  }
}

function answered<T>(result: Result<T>, told: (value: T) => Readonly<Record<string, unknown>>) {
  return result.ok ? told(result.value) : result.problem.slug;
}
