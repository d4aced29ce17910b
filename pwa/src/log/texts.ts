/** Before events are written, their texts go into cards of their own (F7.9). */
import { codesOf } from "../events/about.ts";
import { isText, wordFields } from "../events/fieldTypes.ts";
import { textId } from "../events/texts.ts";
import { kinds } from "../tables.ts";
import type { NewEvent } from "./append.ts";
import type { Doc } from "./db.ts";

export type Apart = { readonly items: readonly NewEvent[]; readonly texts: readonly Doc[] };

/** What is to be written, with its texts named, and those texts, each with a salt of its own. */
export async function textsApart(items: readonly NewEvent[], newSalt: () => string): Promise<Apart> {
  const named: NewEvent[] = [];
  const texts: Doc[] = [];
  for (const item of items) {
    const body: Record<string, unknown> = { ...item.body };
    for (const [field, most] of WORDS.get(item.kind) ?? []) {
      const text = body[field];
      if (text === undefined) continue;
      if (typeof text !== "string" || !isText(text, most) || HALF.test(text))
        throw new Error(`unsound text: ${item.kind} ${field}`);
      const card = { of: aboutOf(item), salt: newSalt(), text };
      const id = await textId(card);
      texts.push({ id, kind: "text", rev: 0, body: card });
      body[field] = id;
    }
    named.push({ ...item, body } as NewEvent);
  }
  return { items: named, texts };
}

/** Half of a surrogate pair, which no bytes of UTF-8 stand for. */
const HALF = /\p{Surrogate}/u;

const WORDS = new Map(Object.entries(kinds).map(([kind, spec]) => [kind, wordFields(spec.fields)]));

/** The job, else the first thing that is named. */
function aboutOf({ kind, job = null, body }: NewEvent): string {
  const [code] = codesOf({ kind, job, body, known: true });
  if (code === undefined) throw new Error(`a text about nothing: ${kind}`);
  return code;
}
