// A new version is fetched in the background and then waits. It takes over when a person agrees, so that
// no screen changes under a hand in the middle of a step.

import { type Signal, signal } from "@preact/signals";
import { TAKE_OVER } from "./messages";

/** True while a newer version is ready and this page still runs the older one. */
export const updateWaiting: Signal<boolean> = signal(false);

/** How often a page that stays open asks whether there is a newer version. */
const ASK_EVERY_MS = 60 * 60 * 1000;

let registration: ServiceWorkerRegistration | null = null;

/**
 * Keeps the app on the station. Answers false where the browser can't (a page without HTTPS, a private
 * window): the app still runs then, but only while the server can be reached.
 */
export async function startServiceWorker(): Promise<boolean> {
  const workers = workersAllowed();
  if (workers === null) return false;
  const hadVersion = workers.controller !== null;
  try {
    registration = (await workers.register("/sw.js", { updateViaCache: "none" })) ?? null;
  } catch {
    return false;
  }
  // Where something blocks service workers, registering may also end well and give nothing.
  if (registration === null) return false;
  watch(registration);
  // Another tab agreed: this one runs on, and offers to follow.
  if (hadVersion) {
    workers.addEventListener("controllerchange", () => {
      updateWaiting.value = true;
    });
  }
  setInterval(askForUpdate, ASK_EVERY_MS);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") askForUpdate();
  });
  return true;
}

/** The person agreed: the waiting version takes over and the page starts again with it. */
export function applyUpdate(): void {
  const waiting = registration?.waiting;
  if (!waiting) {
    location.reload();
    return;
  }
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
  waiting.postMessage(TAKE_OVER);
}

/** Null where the browser has none, or forbids to look at them. */
function workersAllowed(): ServiceWorkerContainer | null {
  try {
    return navigator.serviceWorker ?? null;
  } catch {
    return null;
  }
}

function watch(found: ServiceWorkerRegistration): void {
  const look = (): void => {
    // With no active version the waiting one is the first, and there is nothing to agree to.
    if (found.waiting && found.active) updateWaiting.value = true;
  };
  look();
  found.addEventListener("updatefound", () => {
    found.installing?.addEventListener("statechange", look);
  });
}

function askForUpdate(): void {
  // Offline this fails, and the next turn asks again.
  registration?.update().catch(() => undefined);
}
