/** Where the app is: the hash of the address, so that every deep link works offline. */
import { signal } from "@preact/signals";

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

function read(): Route {
  const parts = location.hash
    .replace(/^#\/?/, "")
    .split("/")
    .filter((p) => p !== "");
  return { name: parts[0] ?? "scan", args: parts.slice(1).map(decodeURIComponent) };
}
