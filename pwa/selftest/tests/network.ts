/** Ten times to the shop's server and back, one after another. */
import { button, el } from "../page.ts";
import type { Results, Test } from "../results.ts";
import { echo } from "../send.ts";

const TIMES = 10;

type Found = NonNullable<Results["network"]>;

export const network: Test = {
  name: "network",
  title: "Network",
  say: `${TIMES} times to the server and back.`,
  barred: () => null,
  run: (room) => {
    const count = el("p", "big");
    room.area.appendChild(count);
    const took: number[] = [];
    let sent = 0;
    let left = false;
    room.leaving(() => {
      left = true;
    });
    const once = (): void => {
      const before = Date.now();
      echo((answered) => {
        if (left) return;
        sent += 1;
        if (answered) took.push(Date.now() - before);
        count.textContent = `${took.length} of ${sent} answered`;
        if (sent < TIMES) {
          once();
          return;
        }
        const found: Found = { sent, answered: took.length, median_ms: middle(took), over: over() };
        if (took.length > 0) count.textContent += `, half of them within ${found.median_ms} ms`;
        room.offer(button("Next", "main", () => room.keep("network", found)));
      });
    };
    once();
  },
};

function middle(took: number[]): number {
  const sorted = took.slice().sort((a, b) => a - b);
  return Math.min(60000, sorted[Math.floor(sorted.length / 2)] ?? 0);
}

/** Some browsers say over what they are connected. */
function over(): Found["over"] {
  const type = (navigator as { connection?: { type?: string } }).connection?.type;
  if (type === "wifi" || type === "cellular") return type;
  return type === undefined || type === "unknown" ? "unknown" : "other";
}
