/** Where the app is: the hash of the address, so that every deep link works offline. */
import { signal } from "@preact/signals";
import { readScan } from "../codes/scanned.ts";
import { leadsTo, type Target } from "../facts/leadsTo.ts";
import type { Result } from "../problem.ts";

export type Route = { readonly name: string; readonly args: readonly string[] };

export const route = signal<Route>(read());

/** Follow the address; called once at start. */
export function followAddress(): void {
  addEventListener("hashchange", () => {
    route.value = read();
    scrollTo(0, 0);
  });
}

export function go(path: string, how: "push" | "replace" = "push"): void {
  if (how === "replace") {
    history.replaceState(null, "", `#/${path}`);
    route.value = read();
    scrollTo(0, 0);
  } else {
    location.hash = `#/${path}`;
  }
}

/** Go where a scan leads; the refusal when it leads nowhere. */
export function followScan(text: string): Result<Target> {
  const scanned = readScan(text);
  if (!scanned.ok) return scanned;
  const target = leadsTo(scanned.value);
  if (target.ok) go(addressOf(target.value));
  return target;
}

function addressOf(target: Target): string {
  if ("job" in target) return `${target.screen}/${target.job}`;
  if ("ticket" in target) return `${target.screen}/ticket/${target.ticket}`;
  return "imei" in target ? `book/imei/${target.imei}` : `${target.screen}/${target.code}`;
}

function read(): Route {
  const parts = location.hash
    .replace(/^#\/?/, "")
    .split("/")
    .filter((p) => p !== "");
  return { name: parts[0] ?? "scan", args: parts.slice(1).map(decodeURIComponent) };
}
