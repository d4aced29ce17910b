/** Texts for tests that build records and events by hand: each gets its id (F7.9), and this station holds its card. */
import { createHash } from "node:crypto";
import { takeDocs } from "@pwa/current.ts";
import { wordFields } from "@pwa/events/fieldTypes.ts";
import type { TextBody } from "@pwa/events/texts.ts";
import type { TextId } from "@pwa/fold/state.ts";
import type { Doc } from "@pwa/log/db.ts";
import { kinds } from "@pwa/tables.ts";

const JOB = "J7K200003Z";

/** The id of a text: the same for the same words. Its card is among `docs` on return. */
export function textOf(text: string, of = JOB): TextId {
  const card = cardOf(text, of);
  takeDocs([card]);
  return card.id as unknown as TextId;
}

/** The card of a text, held nowhere. */
export function cardOf(text: string, of = JOB): Doc {
  const body: TextBody = { of, salt: "0".repeat(26), text };
  const bytes = ["traymark.text.v1", of, body.salt, text].join("\n");
  return { id: createHash("sha256").update(bytes, "utf8").digest("hex"), kind: "text", rev: 0, body };
}

/** A body as events have it: its plain texts named, their cards given to `hold`, which by default puts them among `docs`. */
export function named(kind: string, body: object, of = JOB, hold = (card: Doc): void => takeDocs([card])): object {
  const fields = wordFields(kinds[kind]?.fields ?? {}).map(([field]) => field);
  const ids = Object.entries(body)
    .filter(([field]) => fields.includes(field))
    .map(([field, text]) => {
      const card = cardOf(text as string, of);
      hold(card);
      return [field, card.id];
    });
  return { ...body, ...Object.fromEntries(ids) };
}
