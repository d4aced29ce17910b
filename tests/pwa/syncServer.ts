/**
 * A server in memory for the tests of sync: the answers of FORMAT F3 and F8 and no more. Tests with the real server are
 * in tests/browser. `fetch` is replaced while it exists.
 */
import "fake-indexeddb/auto";
import { docs, load } from "@pwa/current.ts";
import { genesis, link } from "@pwa/events/chain.ts";
import { type Event, isEvent, parse } from "@pwa/events/envelope.ts";
import type { TextBody } from "@pwa/events/texts.ts";
import { fold, foldName, stateHash } from "@pwa/fold/fold.ts";
import { EMPTY, type State } from "@pwa/fold/state.ts";
import { type Doc, putMeta, withDb } from "@pwa/log/db.ts";
import { firstRow } from "@pwa/log/own.ts";
import { vi } from "vitest";
import { logInNotation } from "./notation.ts";

type Line = { readonly incarnation: string; readonly seq: number; readonly raw: string; readonly hash: string };
type Asked = { readonly method: string; readonly path: string; readonly bytes: Uint8Array };
type Written = { readonly kind: string; readonly body: unknown; readonly base_rev?: number | null };
type Copy = {
  readonly log: readonly Line[];
  readonly given: readonly (readonly [string, string])[];
  readonly docs: Fake["docs"];
  readonly runs: Fake["runs"];
};

const NEW_INCARNATIONS = ["8AA", "8AB", "8AC", "8AD"];
const MOST_BYTES = 262_144;

export class Fake {
  epoch = "one";
  station = "S7K2";
  role = "counter";
  /** The names of its runs, and the last revision before each. */
  runs: readonly (readonly [string, number])[] = [["run 1", 0]];
  /** Ids that a lead's station had erased again. */
  readonly erasedAgain: string[] = [];
  log: Line[] = [];
  /** Incarnation to station. */
  given = new Map<string, string>([["7K2", "S7K2"]]);
  docs = new Map<string, { readonly kind: string; readonly body: unknown; readonly rev: number }>();
  readonly blobs = new Set<string>();
  backedUpMs: number | null = null;
  backedUp: Record<string, number> = {};
  backedUpRev = 0;
  readonly forks: string[] = [];
  readonly asked: Asked[] = [];
  /** Answers instead of the usual ones: return null to let a request through. */
  instead: (asked: Asked) => Response | null = () => null;
  /** In one answer. */
  mostDocs = 500;
  #rev = 0;
  #run = 1;
  readonly #incarnations = [...NEW_INCARNATIONS];

  copy(): Copy {
    return { log: [...this.log], given: [...this.given], docs: new Map(this.docs), runs: this.runs };
  }

  /** As after a backup was restored. */
  restore(copy: Copy): void {
    this.putBack(copy);
    this.epoch = `${this.epoch}+`;
  }

  /** As after a copy of the data was put back by hand. */
  putBack(copy: Copy): void {
    this.log = [...copy.log];
    this.given = new Map(copy.given);
    this.docs = new Map(copy.docs);
    this.#rev = 0;
    this.#run += 1;
    this.runs = [...copy.runs, [`run ${this.#run}`, this.#lastRev()]];
  }

  state(): State {
    return fold(
      EMPTY,
      this.log.map((l) => ({ incarnation: l.incarnation, seq: l.seq, event: parse(l.raw) })),
    );
  }

  stateHash(): Promise<string> {
    return stateHash(this.state());
  }

  events(): Event[] {
    return this.log.map((l) => parse(l.raw)).filter(isEvent);
  }

  /** The log and what is kept apart, in the notation of FORMAT F10. */
  holds(): string {
    return logInNotation(this.log, this.forks);
  }

  /** The notes of the log as far as their texts are here, in words. */
  notes(): unknown[] {
    return this.events()
      .filter((e) => e.kind === "note.added")
      .map((e) => (this.docs.get(e.body.note as string)?.body as TextBody | null | undefined)?.text);
  }

  /** Hold a card that another station wrote. */
  hold({ id, kind, body }: Pick<Doc, "id" | "kind" | "body">): void {
    this.docs.set(id, { kind, body, rev: this.#lastRev() + 1 });
  }

  /** The newest revision, also of what a test took away since. */
  #lastRev(): number {
    this.#rev = Math.max(this.#rev, ...[...this.docs.values()].map((d) => d.rev));
    return this.#rev;
  }

  async answer(path: string, init: RequestInit): Promise<Response> {
    const asked = { method: init.method ?? "GET", path, bytes: await bytesOf(init) };
    this.asked.push(asked);
    const instead = this.instead(asked);
    if (instead !== null) return instead;
    const { pathname, searchParams } = new URL(path, "http://localhost");
    if (pathname === "/api/station") {
      return Response.json({
        station: this.station,
        name: "Desk",
        role: this.role,
        shop_name: "Test shop",
        epoch: this.epoch,
        backed_up: this.backedUp,
        backed_up_rev: this.backedUpRev,
      });
    }
    if (pathname === "/api/station/incarnation") {
      const incarnation = this.#incarnations.shift() as string;
      this.given.set(incarnation, this.station);
      return Response.json({ incarnation });
    }
    if (pathname === "/api/sync/push") return this.#push(asked.bytes);
    if (pathname === "/api/live") return this.#live();
    if (pathname === "/api/sync/pull") return this.#pull(searchParams);
    if (pathname.startsWith("/api/docs/")) return this.#putDoc(pathname.slice(10), asked.bytes);
    if (pathname === "/api/docs") return this.#listDocs(searchParams);
    if (pathname === "/api/erased") return this.#eraseAgain(asked.bytes);
    const sha256 = pathname.slice("/api/blobs/".length);
    this.blobs.add(sha256);
    return Response.json({ sha256 });
  }

  async #push(bytes: Uint8Array): Promise<Response> {
    if (bytes.length > MOST_BYTES) return problem(413, "body-too-large");
    const [first, ...lines] = new TextDecoder().decode(bytes).split("\n");
    const header = JSON.parse(first as string) as {
      incarnation: string;
      first_seq: number;
      prev: string;
      head: string;
    };
    const { incarnation } = header;
    const begin = await genesis(this.station, incarnation);
    if (header.first_seq === 1 && header.prev !== begin) return problem(400, "chain-mismatch");
    if (this.given.get(incarnation) !== this.station) return problem(403, "incarnation-unknown");
    const held = this.log.filter((l) => l.incarnation === incarnation);
    if (header.first_seq > held.length + 1) return problem(409, "chain-gap", { expected_seq: held.length + 1 });
    const before = held[header.first_seq - 2]?.hash ?? begin;
    if (before !== header.prev) {
      this.forks.push(...lines);
      return problem(409, "chain-fork", { seq: header.first_seq });
    }
    let hash = before;
    const fresh: Line[] = [];
    for (const [index, raw] of lines.entries()) {
      const seq = header.first_seq + index;
      hash = await link(hash, raw);
      const theirs = held[seq - 1];
      if (theirs !== undefined && theirs.hash !== hash) {
        this.forks.push(...lines.slice(index));
        return problem(409, "chain-fork", { seq });
      }
      if (theirs === undefined) fresh.push({ incarnation, seq, raw, hash });
    }
    if (hash !== header.head) return problem(400, "chain-mismatch");
    this.log.push(...fresh);
    return Response.json({
      epoch: this.epoch,
      position: this.log.length,
      seq: header.first_seq + lines.length - 1,
      head: hash,
    });
  }

  /** The whole log as history: nothing of it is put away. */
  async #live(): Promise<Response> {
    const state = this.state();
    const header = {
      epoch: this.epoch,
      position: this.log.length,
      head: this.#headAt(this.log.length),
      hash: await stateHash(state),
      fold: foldName(),
      now_ms: 1_000,
    };
    const records = Object.entries(state).flatMap(([collection, all]) =>
      [...all].map(([key, record]) => `${collection}\t${key}\t${JSON.stringify(record)}`),
    );
    const lines = this.log.map((l, i) => `${i + 1}\t-\t${l.raw}`);
    return new Response([JSON.stringify(header), ...records, "", ...lines, ""].join("\n"));
  }

  #pull(search: URLSearchParams): Response {
    const asked = Number(search.get("after"));
    const isOther = search.get("head") !== "" && search.get("head") !== this.#headAt(asked);
    const reset = search.get("epoch") !== this.epoch || asked > this.log.length || isOther;
    const after = reset ? 0 : asked;
    const lines = this.log.slice(after, after + Number(search.get("limit")));
    const to = after + lines.length;
    const header = {
      epoch: this.epoch,
      reset,
      from: after + 1,
      to,
      last: this.log.length,
      head: this.#headAt(to),
      now_ms: 1_000,
      backed_up_ms: this.backedUpMs,
      chain: null,
    };
    const texts = lines.map((l, i) => `${after + i + 1}\t-\t${l.raw}`);
    return new Response([JSON.stringify(header), ...texts, ""].join("\n"));
  }

  #headAt(position: number): string {
    return this.log[position - 1]?.hash ?? "";
  }

  #putDoc(id: string, bytes: Uint8Array): Response {
    const { kind, body, base_rev } = JSON.parse(new TextDecoder().decode(bytes)) as Written;
    const held = this.docs.get(id);
    if (body !== null && held?.body === null) return problem(410, "doc-erased");
    if (!["contact", "device", "text"].includes(kind)) {
      if (this.role !== "lead") return problem(403, "not-allowed");
      if ((base_rev ?? null) !== (held?.rev ?? null)) return problem(409, "doc-changed");
    }
    this.hold({ id, kind, body });
    return Response.json({ id, rev: this.#lastRev() });
  }

  #eraseAgain(bytes: Uint8Array): Response {
    if (this.role !== "lead") return problem(403, "not-allowed");
    const { ids } = JSON.parse(new TextDecoder().decode(bytes)) as { ids: readonly (readonly [string, string])[] };
    for (const [id, kind] of ids) {
      this.erasedAgain.push(id);
      this.hold({ id, kind, body: null });
    }
    return Response.json({ erased: ids.length });
  }

  /** All that is newer, whatever names it. */
  #listDocs(search: URLSearchParams): Response {
    const [after, erasedAfter] = [Number(search.get("after")), Number(search.get("erased_after"))];
    const [run] = this.runs.at(-1) as readonly [string, number];
    if (!this.#gaveOut(search.get("run") ?? "", after))
      return Response.json({ run, reset: true, rev: 0, last: this.#lastRev(), docs: [], more: true });
    const found = [...this.docs]
      .map(([id, doc]) => ({ id, ...doc }))
      .filter((d) => d.rev > (d.body === null ? Math.max(after, erasedAfter) : after))
      .sort((a, b) => a.rev - b.rev);
    const docs = found.slice(0, this.mostDocs);
    const rev = Math.max(after, ...docs.map((d) => d.rev));
    return Response.json({ run, reset: false, rev, last: this.#lastRev(), docs, more: docs.length < found.length });
  }

  #gaveOut(run: string, rev: number): boolean {
    const begun = this.runs.findIndex(([name]) => name === run);
    const after = this.runs[begun + 1];
    if (run === "") return rev <= this.#lastRev();
    return begun !== -1 && rev <= (after === undefined ? this.#lastRev() : after[1]);
  }
}

/** An empty station of the shop, and its server. */
export async function joinedToFake(): Promise<Fake> {
  await withDb((db) => Promise.all(Object.values(db).map((table) => table.clear())));
  const times = 1 + Math.floor(1e9 * Math.random()); // what is folded in memory belongs to another test
  await putMeta("times_forgotten", times);
  await putMeta(
    "station",
    await firstRow({ station: "S7K2", name: "Desk", role: "counter", shop: "Test shop", incarnation: "7K2" }),
  );
  await putMeta("signed_on", "W0A1");
  docs.value = new Map();
  await load();
  const fake = new Fake();
  vi.stubGlobal("fetch", (path: string, init: RequestInit) => fake.answer(path, init));
  return fake;
}

export const problem = (status: number, slug: string, extra: object = {}): Response =>
  Response.json({ type: `/problems/${slug}`, title: slug, status, ...extra }, { status });

async function bytesOf({ body, headers }: RequestInit): Promise<Uint8Array> {
  if (body === undefined || body === null) return new Uint8Array();
  const packed = new Headers(headers).get("Content-Encoding") === "gzip";
  const sent = new Response(body as BodyInit);
  const whole = packed ? new Response(sent.body?.pipeThrough(new DecompressionStream("gzip"))) : sent;
  return new Uint8Array(await whole.arrayBuffer());
}
