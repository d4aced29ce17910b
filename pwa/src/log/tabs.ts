/** Several tabs, one store: who may write, who talks to the server, and how the others hear of it. */

/** What changed in the stores; `sync`: nothing did, but the tab that talks to the server is asked to sync now. */
export type TabNews = "own" | "pulled" | "docs" | "staff" | "joined" | "sync";

/**
 * What the tab that talks to the server tells the others about it, and the ids of cards that were erased for good: each
 * tab shows of its own what it read from the archive. `asked` comes from a tab that has just opened.
 */
export type SpeakerNews =
  | { readonly told: Readonly<Record<string, unknown>> }
  | { readonly erased: readonly string[] }
  | { readonly asked: true };

const channel = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("traymark");

/** Tell the other tabs. */
export const tellTabs = (news: TabNews | SpeakerNews): void => channel?.postMessage(news);

/** Hear from the other tabs. */
export function onTabNews(listen: (news: TabNews) => void, speaker: (news: SpeakerNews) => void): void {
  if (channel === null) return;
  channel.onmessage = ({ data }: MessageEvent<TabNews | SpeakerNews>) => {
    if (typeof data === "string") listen(data);
    else speaker(data);
  };
}

/** Run while no other tab writes. */
export function alone<T>(work: () => Promise<T>): Promise<T> {
  if (typeof navigator === "undefined" || navigator.locks === undefined) return queued(work);
  return navigator.locks.request("traymark-write", work) as Promise<T>;
}

/** Resolve when this tab is the one that talks to the server; it stays so until it closes. */
export function becomeSpeaker(): Promise<void> {
  return new Promise((resolve) => {
    if (navigator.locks === undefined) return resolve();
    void navigator.locks.request("traymark-speaker", () => {
      resolve();
      return new Promise<never>(() => undefined);
    });
  });
}

/** For browsers without Web Locks, and for tests: one after another within this tab. */
let last: Promise<unknown> = Promise.resolve();
function queued<T>(work: () => Promise<T>): Promise<T> {
  const run = last.then(work, work);
  last = run.catch(() => undefined);
  return run;
}
