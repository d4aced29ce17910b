/** The way to the server: two addresses below this page's own. XMLHttpRequest, since some browsers have no fetch. */
import type { Barred, Results, TestName } from "./results.ts";

export type Outcome = "sent" | "over" | "wait" | "lost";

const base = location.pathname.replace(/\/+$/, "");
const WAIT_MS = 15000;

export function send(all: Results & { barred: Partial<Record<TestName, Barred>> }, told: (o: Outcome) => void): void {
  ask("POST", "/results", JSON.stringify(all), (status) =>
    told(status === 204 ? "sent" : status === 429 ? "wait" : status === 0 || status >= 500 ? "lost" : "over"),
  );
}

/** One way there and back; whether it was answered. */
export function echo(told: (answered: boolean) => void): void {
  ask("GET", `/echo?${Date.now()}`, null, (status) => told(status === 204));
}

function ask(method: string, path: string, body: string | null, told: (status: number) => void): void {
  const request = new XMLHttpRequest();
  request.open(method, base + path);
  request.timeout = WAIT_MS;
  if (body !== null) request.setRequestHeader("Content-Type", "application/json");
  request.onload = () => told(request.status);
  request.onerror = () => told(0);
  request.ontimeout = () => told(0);
  request.send(body);
}
