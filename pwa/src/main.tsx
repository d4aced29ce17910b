/** Where everything is wired; no rules here. What the first screen does not need is loaded once it is shown. */
import "./early.ts";
import { effect } from "@preact/signals";
import { render } from "preact";
import { applyLook } from "./actions/look.ts";
import { followTimers } from "./actions/timer.ts";
import { docs, load } from "./current.ts";
import { nowMs } from "./device/clock.ts";
import { dice } from "./device/random.ts";
import { StorageFailed } from "./log/db.ts";
import { forgetWhenDue } from "./log/silence.ts";
import { App } from "./screens/App.tsx";
import { Closed, Starting } from "./screens/Closed.tsx";
import { followAddress } from "./screens/route.ts";
import "./style/base.css";
import { startServiceWorker } from "./sw/update.ts";
import { lastReachedMs } from "./sync/status.ts";

/** A start that takes longer than this says that it is at work. */
const SLOW_MS = 3_000;

const place = document.getElementById("app");
if (place === null) throw new Error("index.html has no #app");

followAddress();
// Not awaited here: what is imported while this module waits would wait for it in turn.
void start(place);

async function start(place: HTMLElement): Promise<void> {
  const slow = setTimeout(() => render(<Starting />, place), SLOW_MS);
  try {
    await Promise.all([forgetWhenDue(nowMs()).then(load), applyLook()]);
    render(<App />, place);
  } catch (error) {
    const slug = error instanceof StorageFailed ? "storage-closed" : "start-failed";
    render(<Closed problem={{ slug, detail: String(error) }} />, place);
    throw error;
  } finally {
    clearTimeout(slow);
  }
  void import("./sync/loop.ts").then(({ startSync }) => startSync(nowMs, dice));
  void startServiceWorker();
  void followTimers();
  void import("./actions/hands.ts").then(({ loadHandsFree }) => loadHandsFree());
  void import("./actions/calibrate.ts").then(({ loadCalibration }) => loadCalibration());
  effect(() => {
    if (docs.value.size > 0 && lastReachedMs.value !== null)
      void import("./actions/guidePhotos.ts").then(({ fetchGuidePhotos }) => fetchGuidePhotos());
  });
}
