/** The frame around every screen: head with the two marks, the screen, the way to the main places. */
import type { ComponentChildren } from "preact";
import { useRef } from "preact/hooks";
import { forgotten, signedOn, station } from "../current.ts";
import { staffName } from "../facts/people.ts";
import { applyUpdate, updateWaiting } from "../sw/update.ts";
import { Shape, type ShapeName } from "../ui/Shape.tsx";
import { SyncMark } from "../ui/SyncMark.tsx";
import { showsEmergency } from "../views/emergency.ts";
import { Join } from "./Join/Join.tsx";
import { type Route, route } from "./route.ts";
import { Screen } from "./routes.tsx";

const PLACES: readonly (readonly [string, string, ShapeName])[] = [
  ["scan", "Scan", "scan"],
  ["queue", "Queue", "list"],
  ["boxes", "Boxes", "box"],
  ["more", "More", "more"],
];

/** Screens that are there also while the station holds nothing of the shop (F8.11). */
const WITHOUT_SHOP = ["sync", "join", "more", "emergency"];

export function App() {
  const { name, args } = route.value;
  // What was on the screen when the shop was forgotten stays until the person leaves it.
  const stays = useRef<Route | null>(null);
  if (forgotten.value === null) stays.current = route.value;
  const isWithout = forgotten.value !== null && stays.current !== route.value && !WITHOUT_SHOP.includes(name);
  if (station.value === null) {
    return (
      <Bare>
        {name === "emergency" ? (
          <Screen name={name} args={args} />
        ) : (
          <Join code={name === "join" ? (args[0] ?? null) : null} />
        )}
      </Bare>
    );
  }
  return (
    <div class="frame app">
      <header class="head">
        <a class="head-scan" href="#/scan" aria-label="Scan">
          <Shape name="scan" size={28} />
        </a>
        <a class="head-name" href="#/sign-on">
          {signedOn.value === null ? "Sign on" : staffName(signedOn.value)}
        </a>
        <span class="head-space" />
        {showsEmergency(name, args) && <EmergencyMark />}
        <SyncMark />
      </header>
      {updateWaiting.value && <UpdateOffer />}
      {isWithout ? <Screen name="forgotten" args={[]} /> : <Screen name={name} args={args} />}
      <nav class="nav" aria-label="Main places">
        {PLACES.map(([path, text, shape]) => (
          <a href={`#/${path}`} key={path} aria-current={name === path ? "page" : undefined}>
            <Shape name={shape} size={26} />
            {text}
          </a>
        ))}
      </nav>
    </div>
  );
}

/** One press from where hands can get hurt. An outlined mark in the head and no button of the step below. */
function EmergencyMark() {
  return (
    <a class="head-emergency" href="#/emergency">
      <Shape name="warn" size={22} />
      Emergency
    </a>
  );
}

/** The frame without ways on, as index.html shows it until the app is there. */
export function Bare({ children }: { readonly children: ComponentChildren }) {
  return (
    <div class="frame">
      <header class="head">
        <span class="head-name">Traymark</span>
      </header>
      {children}
    </div>
  );
}

/** A new version never takes over by itself, least of all in the middle of a step. */
function UpdateOffer() {
  return (
    <aside class="update-offer row apart" aria-label="New version">
      <span>A newer version is here. Nothing you saved is touched.</span>
      <button type="button" class="button" onClick={() => applyUpdate()}>
        Take it now
      </button>
    </aside>
  );
}
