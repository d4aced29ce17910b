/** When to sync: at start, back on the network, visible again, on news, on a timer, after every entry, and by the button. */
import { load, station } from "../current.ts";
import { getMeta, type StationRow, withDb } from "../log/db.ts";
import { ownAfter } from "../log/own.ts";
import { becomeSpeaker, onTabNews, tellTabs } from "../log/tabs.ts";
import { pullDocs, pullEvents } from "./pull.ts";
import { pushDocs, pushEvents, pushPhotos, type Stop } from "./push.ts";
import { lastReachedMs, reach, syncing, syncProblem, unsentDocs, unsentEvents, unsentPhotos } from "./status.ts";

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

/** Start syncing in this tab; of several tabs one speaks with the server and the others follow it. */
export function startSync(clock: () => number, dice: () => number): void {
  nowMs = clock;
  random = dice;
  onTabNews(() => void load().then(countUnsent).then(() => (speaker ? syncSoon() : undefined)));
  void countUnsent();
  void becomeSpeaker().then(() => {
    speaker = true;
    addEventListener("online", syncSoon);
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && syncSoon());
    syncSoon();
  });
}

/** Sync now, or right after the run that is under way. Safe to call from anywhere and any number of times. */
export function syncSoon(): void {
  if (!speaker) {
    tellTabs("own");
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

/** Count what only this station holds; called after every entry. */
export async function countUnsent(): Promise<void> {
  const row = await getMeta<StationRow>("station");
  unsentEvents.value = row === undefined ? 0 : (await ownAfter(row.incarnation, row.acked)).length;
  unsentDocs.value = await withDb((db) => db.docsOut.count());
  unsentPhotos.value = await withDb((db) => db.photos.count());
}

async function run(): Promise<void> {
  clearTimeout(timer);
  if (station.value === null) return;
  syncing.value = true;
  let stop: Stop | null = null;
  try {
    stop =
      (await pushDocs()) ??
      (await pushEvents(() => getMeta<StationRow>("station"), nowMs)) ??
      (await pullEvents(nowMs)) ??
      (await pullDocs()) ??
      (await pushPhotos());
  } catch (error) {
    stop = { slug: "storage-failed", detail: String(error) };
  }
  syncing.value = false;
  await countUnsent();
  station.value = (await getMeta<StationRow>("station")) ?? null;
  settle(stop);
}

function settle(stop: Stop | null): void {
  if (stop === null) {
    failures = 0;
    reach.value = "reached";
    lastReachedMs.value = nowMs();
    syncProblem.value = null;
    hearNews();
    timer = setTimeout(syncSoon, CALM_MS * (0.75 + random() / 2));
    return;
  }
  reach.value = stop === "offline" ? "offline" : "refused";
  syncProblem.value = stop === "offline" ? null : stop;
  const wait = stop !== "offline" && stop.retryAfterS !== undefined ? 1000 * stop.retryAfterS : undefined;
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
