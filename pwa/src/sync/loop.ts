/** When to sync: at start, back on the network, visible again, on news, on a timer, after every entry, and by the button. */
import { load, loseErased, station } from "../current.ts";
import { getMeta, type StationRow, withDb } from "../log/db.ts";
import { becomeSpeaker, onTabNews, type SpeakerNews, tellTabs } from "../log/tabs.ts";
import type { Halt, Refusal } from "./client.ts";
import { loadCameBack } from "./earlier.ts";
import {
  clockSkewMs,
  lastReachedMs,
  reach,
  syncing,
  syncProblem,
  unsentDocs,
  unsentEvents,
  unsentPhotos,
} from "./status.ts";
import { countUnsentEvents } from "./unsent.ts";

const CALM_MS = 45_000;
const BACKOFF_MS = [2_000, 4_000, 8_000, 15_000, 30_000];

let nowMs: () => number = () => 0;
let random: () => number = () => 0;
let running: Promise<void> | null = null;
let again = false;
let failures = 0;
let timer: ReturnType<typeof setTimeout> | undefined;
let speaker = false;
let news: EventSource | null = null;

/** Start syncing in this tab; of several tabs one talks to the server and the others follow it. */
export function startSync(clock: () => number, dice: () => number): void {
  nowMs = clock;
  random = dice;
  onTabNews((news) => (news === "sync" ? speaker && syncSoon() : void follow()), hearSpeaker);
  void countUnsent().catch(() => undefined);
  void loadCameBack().catch(() => undefined);
  tellTabs({ asked: true });
  void becomeSpeaker().then(() => {
    speaker = true;
    addEventListener("online", syncSoon);
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && syncSoon());
    syncSoon();
  });
}

/** Another tab changed the store. */
async function follow(): Promise<void> {
  try {
    await load();
    await countUnsent();
  } catch {
    // The next news, or the next start, reads it again.
  }
  if (speaker) syncSoon();
}

/** What all tabs show about the server; the tab that talks to it says so. */
const TOLD = { reach, lastReachedMs, syncProblem, clockSkewMs, syncing };

function tellStatus(): void {
  tellTabs({ told: Object.fromEntries(Object.entries(TOLD).map(([name, signal]) => [name, signal.value])) });
}

function hearSpeaker(news: SpeakerNews): void {
  if ("erased" in news) {
    loseErased(news.erased);
    void loadCameBack().catch(() => undefined);
    return;
  }
  if ("asked" in news) {
    if (speaker) tellStatus();
    return;
  }
  for (const [name, signal] of Object.entries(TOLD)) (signal as { value: unknown }).value = news.told[name] ?? null;
  void countUnsent().catch(() => undefined);
}

/** Sync now, or right after the round in progress. Safe to call from anywhere, any number of times. */
export function syncSoon(): void {
  if (!speaker) {
    tellTabs("sync");
    return;
  }
  if (running !== null) {
    again = true;
    return;
  }
  running = run().finally(() => {
    running = null;
    if (again) {
      again = false;
      syncSoon();
    }
  });
}

/** After every entry: show that it is only here, and send it. */
export function countAndSync(): void {
  void countUnsent()
    .catch(() => undefined)
    .then(syncSoon);
}

/** Count what only this station holds. */
async function countUnsent(): Promise<void> {
  unsentEvents.value = await countUnsentEvents();
  // A text goes out just before the entry that names it: for a person they are one.
  unsentDocs.value = (await withDb((db) => db.docsOut.all())).filter((doc) => doc.kind !== "text").length;
  unsentPhotos.value = await withDb((db) => db.photos.count());
}

async function run(): Promise<void> {
  clearTimeout(timer);
  if (station.value === null) return;
  syncing.value = true;
  let halt: Halt | null = null;
  const refusals: Refusal[] = [];
  try {
    halt = await oneRound(refusals);
    await countUnsent();
    station.value = (await getMeta<StationRow>("station")) ?? null;
  } catch (error) {
    halt = { slug: "storage-failed", detail: String(error) };
  }
  syncing.value = false;
  settle(halt, refusals[0] ?? null);
  tellStatus();
}

/** The first screen does without what talks to the server. Not to be had: as without a network. */
async function oneRound(refusals: Refusal[]): Promise<Halt | null> {
  const round = await import("./round.ts").catch(() => null);
  return round === null ? "offline" : round.syncRound(nowMs, refusals);
}

function settle(halt: Halt | null, refusal: Refusal | null): void {
  if (halt === null) {
    failures = 0;
    reach.value = "reached";
    lastReachedMs.value = nowMs();
    syncProblem.value = refusal;
    hearNews();
    timer = setTimeout(syncSoon, CALM_MS * (0.75 + random() / 2));
    return;
  }
  reach.value = halt === "offline" ? "offline" : "refused";
  syncProblem.value = halt === "offline" ? null : halt;
  const wait = halt !== "offline" && halt.retryAfterS !== undefined ? 1000 * halt.retryAfterS : undefined;
  const backoff = BACKOFF_MS[Math.min(failures, BACKOFF_MS.length - 1)] as number;
  failures += 1;
  timer = setTimeout(syncSoon, wait ?? backoff * (0.75 + random() / 2));
}

function hearNews(): void {
  if (news !== null && news.readyState !== EventSource.CLOSED) return;
  news = new EventSource("/api/sync/stream");
  news.addEventListener("news", syncSoon);
  news.onerror = () => {
    news?.close();
    news = null;
  };
}
