/** TypeScript names texts as the vectors do, whose ids were made by another program. */
import { type TextBody, textId } from "@pwa/events/texts.ts";
import { expect, it } from "vitest";
import { vectors } from "./vectorFiles.ts";

type Row = TextBody & { readonly id: string };

const [all] = vectors<{ readonly name: string; readonly rows: readonly Row[] }>("text", {
  keys: ["name", "spec", "comment", "rows"],
});

it.each(all?.rows ?? [])("$id", async ({ id, ...body }) => {
  expect(await textId(body)).toBe(id);
});
