/** What comes of a press: done, refused, or broken, and never unseen; and that two presses write no entry twice. */
import { addNote } from "@pwa/actions/tell.ts";
import { ownOnTop } from "@pwa/current.ts";
import { ok, refuse } from "@pwa/problem.ts";
import { refusalOf } from "@pwa/ui/act.ts";
import { beforeEach, describe, expect, test } from "vitest";
import { newStation } from "./counterStation.ts";

describe("a press", () => {
  test("that was done hands on what came of it", async () => {
    const got: number[] = [];
    expect(
      await refusalOf(
        async () => ok(7),
        (value) => got.push(value),
      ),
    ).toBeNull();
    expect(got).toEqual([7]);
  });

  test("that was refused says why, and nothing follows", async () => {
    let followed = false;
    const why = await refusalOf(
      () => refuse("field-missing", "Type a name."),
      () => {
        followed = true;
      },
    );
    expect(why).toEqual({ slug: "field-missing", detail: "Type a name." });
    expect(followed).toBe(false);
  });

  test.each([
    [
      "at once",
      (): never => {
        throw new Error("store hangs");
      },
    ],
    [
      "later",
      async (): Promise<never> => {
        throw new Error("store hangs");
      },
    ],
  ])("that breaks %s is a refusal", async (_, action) => {
    expect(await refusalOf(action)).toEqual({ slug: "app-failed", detail: "Error: store hangs" });
  });

  test("is told when what follows it breaks", async () => {
    const why = await refusalOf(
      () => ok(null),
      async () => {
        throw new Error("no room");
      },
    );
    expect(why?.slug).toBe("app-failed");
  });
});

describe("two presses", () => {
  beforeEach(() => newStation());

  test("on a note write one entry", async () => {
    await Promise.all([addNote("J7K2AAAA0A", "Wants the old glass"), addNote("J7K2AAAA0A", "Wants the old glass")]);
    expect(ownOnTop.value.filter((e) => e.kind === "note.added")).toHaveLength(1);
  });
});
