/** Ids made from names. */

/** A name in small letters as an id of the format (F2.5 `slug`), with a number when that is taken. */
export function slugOf(name: string, taken: readonly string[]): string {
  const letters = name
    .toLowerCase()
    .normalize("NFD")
    .replace(/\p{M}/gu, "")
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "");
  const start = /^[a-z]/.test(letters) ? letters : `n-${letters}`;
  const base = start.slice(0, 36).replace(/-+$/, "");
  for (let n = 1; ; n += 1) {
    const slug = n === 1 ? base : `${base}-${n}`;
    if (!taken.includes(slug)) return slug;
  }
}
