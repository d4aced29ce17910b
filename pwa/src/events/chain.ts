/** The hash chain of a station's log (F3.2). Hashes are lower-case hex. */
const EVENT = new TextEncoder().encode("traymark.event.v1\n");

/** The hash before the first event of a chain. */
export async function genesis(station: string, incarnation: string): Promise<string> {
  return sha256(new TextEncoder().encode(`traymark.chain.v1\n${station}\n${incarnation}`));
}

/** The hash of an event from the hash before it. */
export async function link(previous: string, text: string): Promise<string> {
  const raw = new TextEncoder().encode(text);
  const all = new Uint8Array(EVENT.length + 32 + raw.length);
  all.set(EVENT);
  all.set(fromHex(previous), EVENT.length);
  all.set(raw, EVENT.length + 32);
  return sha256(all);
}

/** SHA-256 in lower-case hex. */
export async function sha256(bytes: Uint8Array<ArrayBuffer> | ArrayBuffer): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (b) => b.toString(16).padStart(2, "0")).join("");
}

function fromHex(hex: string): Uint8Array {
  return Uint8Array.from({ length: hex.length / 2 }, (_, i) => Number.parseInt(hex.slice(2 * i, 2 * i + 2), 16));
}
