/** Ids made from names. */

/** As long as an event's slug may be (F2.5). */
const MOST = 40;
/** Inherited by every JavaScript object, so unusable as a key. */
const NEVER = "constructor";

/** A name in small letters as an id of the format (F2.5 `slug`), with a number when that is taken. */
export function slugOf(name: string, taken: readonly string[], most = MOST): string {
  const letters = name
    .toLowerCase()
    .normalize("NFD")
    .replace(/\p{M}/gu, "")
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "");
  const start = /^[a-z]/.test(letters) ? letters : `n-${letters}`;
  for (let n = 1; ; n += 1) {
    const number = n === 1 ? "" : `-${n}`;
    const slug = `${start.slice(0, most - number.length).replace(/-+$/, "")}${number}`;
    if (slug !== NEVER && !taken.includes(slug)) return slug;
  }
}
