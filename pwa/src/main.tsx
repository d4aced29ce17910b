/** Where everything is wired; no rules here. What the first screen does not need is loaded once it is shown. */
import "./early.ts";
import { effect } from "@preact/signals";
import { render } from "preact";
import { loadCalibration } from "./actions/calibrate.ts";
import { loadHandsFree } from "./actions/hands.ts";
import { applyLook } from "./actions/look.ts";
import { followTimers } from "./actions/timer.ts";
import { docs, load } from "./current.ts";
import { nowMs } from "./device/clock.ts";
import { dice } from "./device/random.ts";
import { App, Closed } from "./screens/App.tsx";
import { followAddress } from "./screens/route.ts";
import "./style/base.css";
import { startServiceWorker } from "./sw/update.ts";
import { lastReachedMs } from "./sync/status.ts";

const place = document.getElementById("app");
if (place === null) throw new Error("index.html has no #app");

followAddress();
try {
  await Promise.all([load(), applyLook()]);
} catch (error) {
  render(<Closed detail={String(error)} />, place);
  throw error;
}
render(<App />, place);
void import("./sync/loop.ts").then(({ startSync }) => startSync(nowMs, dice));
void startServiceWorker();
void Promise.all([followTimers(), loadHandsFree(), loadCalibration()]);
effect(() => {
  if (docs.value.size > 0 && lastReachedMs.value !== null)
    void import("./actions/guidePhotos.ts").then(({ fetchGuidePhotos }) => fetchGuidePhotos());
});
