"""What grows with the jobs that a shop has behind it, with 30 jobs open.

    python tests/bench/bench_growth.py [jobs...]        # 100, 1,000 and 10,000 if none are given

Each shop is written by the server's own code: whole jobs of some 170 events, put away as the server does it, and 30
that wait at a step (years.py). Measured by a browser on this machine: until a new station is ready, and what it
fetches; what its store holds; its page's memory; a start of the app, also with a sixth of the processor; a step
pressed; the queue; a job of long ago opened, and one searched for; one event of another station until it is seen, and
for how long a second tab stands still meanwhile. Of the server: its memory at rest and at most while stations join, and
that of `traymark verify`. Times are medians of several tries.

Prints a table with the factor between the first and the last shop; its last line is JSON. Nothing is asserted.
"""

import gc
import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[2] / part) for part in (".", "server", "labels", "tests/server", "tests/bench")]

from joined_station import JoinedStation
from playwright.sync_api import BrowserContext, CDPSession, Page, Playwright, sync_playwright
from years import Years, build

from tests.browser.conftest import _ARGUMENTS, PHONE
from tests.chromium import find_chromium
from tests.node import ensure_built
from tests.server_process import ServerProcess

DEFAULT_JOBS = (100, 1_000, 10_000)
TRIES = 5
SLOWER = 6
WITHIN_MS = 300_000
STEP, NEXT_STEP = "Switch off", "Take out the card tray"
STEP_ID = "off"

STARTED = """
window.started = new Promise((done) => {
    const usable = () => document.querySelector("main h1") && document.querySelector("main .typed input");
    const look = () => requestAnimationFrame(usable() ? () => setTimeout(() => done(performance.now())) : look);
    look();
});
"""
"""Milliseconds from the page's beginning until the Scan screen is painted."""

SHOWN = """async ([path, selector, text]) => {
    const shown = () => [...document.querySelectorAll(selector)].some((e) => e.textContent.includes(text));
    const began = performance.now();
    location.hash = `#/${path}`;
    while (!shown()) await new Promise(requestAnimationFrame);
    await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
    return performance.now() - began;
}"""
"""Milliseconds from an address until a text is painted there."""

PRESSED = """async (heading) => {
    const began = performance.now();
    document.querySelector(".dock .main").click();
    while (!document.querySelector("h1")?.textContent.includes(heading)) await new Promise(requestAnimationFrame);
    await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
    return performance.now() - began;
}"""

STORED = """() => new Promise((done) => {
    const asked = indexedDB.open("traymark-station");
    asked.onsuccess = () => {
        const names = [...asked.result.objectStoreNames];
        const reading = asked.result.transaction(names);
        let bytes = 0;
        for (const name of names) {
            const all = reading.objectStore(name).getAll();
            all.onsuccess = () => { bytes += new Blob([JSON.stringify(all.result)]).size };
        }
        reading.oncomplete = () => { asked.result.close(); done(bytes) };
    };
})"""
"""Bytes of all rows that the station keeps, as JSON."""

STANDS_STILL = """() => {
    window.longest = 0;
    let last = performance.now();
    const tick = () => {
        const now = performance.now();
        window.longest = Math.max(window.longest, now - last);
        last = now;
        setTimeout(tick);
    };
    tick();
}"""
"""From now on `longest` is the longest time, in milliseconds, for which the page did nothing else."""

Figures = dict[str, float]


@dataclass
class Measured:
    """Figures of one shop, in the order in which they were measured."""

    figures: Figures = field(default_factory=Figures)

    def note(self, name: str, value: float) -> None:
        self.figures[name] = value
        print(f"    {name}: {value:,.1f}", flush=True)

    def median(self, name: str, once: Callable[[int], float], tries: int = TRIES) -> None:
        """The median of some tries, after one that warms up."""
        took = [once(number) for number in range(tries + 1)]
        self.note(name, statistics.median(took[1:]))


def main() -> None:
    counts = [int(word) for word in sys.argv[1:]] or list(DEFAULT_JOBS)
    ensure_built(HERE.parents[2] / "pwa")
    found: list[Figures] = []
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        for count in counts:
            print(f"{count} jobs", flush=True)
            found.append(measure(playwright, Path(name) / str(count), count))
    report(counts, found)


def measure(playwright: Playwright, folder: Path, count: int) -> Figures:
    years = build(folder / "data", count, STEP_ID, int(time.time() * 1000))
    gc.collect()
    measured = Measured()
    server = ServerProcess(folder / "data")
    server.start()
    try:
        measured.note("server at rest, MB", resident_mb(server.pid, "VmRSS"))
        with browser(playwright, folder / "profile") as context:
            joining(measured, context, server)
        with browser(playwright, folder / "profile") as context:
            station(measured, context, server, years)
        starting(measured, playwright, folder / "profile", server)
        measured.note("server at most, MB", resident_mb(server.pid, "VmHWM"))
    finally:
        server.stop()
    measured.note("verify, MB", verify_mb(server))
    return measured.figures


def joining(measured: Measured, context: BrowserContext, server: ServerProcess) -> None:
    """A new station: from the press of Join until all is there."""
    page = context.pages[0]
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    asked: set[str] = set()
    fetched = {"bytes": 0.0}
    session.on(
        "Network.requestWillBeSent", lambda e: asked.add(e["requestId"]) if "/api/" in e["request"]["url"] else None
    )
    session.on("Network.loadingFinished", lambda e: add(fetched, e) if e["requestId"] in asked else None)
    page.goto(join_link(server))
    page.get_by_label("Name of this station").fill("Bench 1")
    began = time.monotonic()
    page.get_by_role("button", name="Join").click()
    page.locator(".sync-mark").get_by_text("On the server").wait_for(timeout=WITHIN_MS)
    measured.note("new station ready, ms", 1000 * (time.monotonic() - began))
    measured.note("new station fetches, kB", fetched["bytes"] / 1000)
    measured.note("browser store, kB", page.evaluate(STORED) / 1000)
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")


def add(total: dict[str, float], event: dict[str, float]) -> None:
    total["bytes"] += event["encodedDataLength"]


def station(measured: Measured, context: BrowserContext, server: ServerProcess, years: Years) -> None:
    """What a person waits for at a station that has been there for a while."""
    page = context.pages[0]
    page.goto(server.url)
    page.get_by_role("heading", level=1, name="Scan").wait_for()
    sign_on(page, years.badge)
    memory = context.new_cdp_session(page)
    measured.note("page memory, MB", heap_mb(memory))
    waiting = iter(years.open)

    def press(_number: int) -> float:
        job = next(waiting)
        page.evaluate(SHOWN, [f"bench/{job.code}", "h1", STEP])
        return float(page.evaluate(PRESSED, NEXT_STEP))

    measured.median("a step pressed, ms", press)
    measured.median("queue, ms", lambda _n: from_scan(page, "queue", ".queue-list li", "Quillet 5"))
    away = iter(years.away[::-1])
    measured.median("a job of long ago, ms", lambda _n: from_scan(page, f"job/{next(away)}", "main", "Handed over"))
    measured.median("search in the archive, ms", lambda n: search(page, f"Customer of {years.away[n]}"))
    other(measured, context, page, server, years)


def other(measured: Measured, context: BrowserContext, page: Page, server: ServerProcess, years: Years) -> None:
    """Another station writes, while a second tab is open."""
    second = context.new_page()
    second.goto(server.url)
    second.get_by_role("heading", level=1, name="Scan").wait_for()
    second.wait_for_timeout(500)
    desk = JoinedStation(server)
    job = years.open[-1].code

    def pulled(number: int) -> float:
        text = f"Opened {number} times elsewhere"
        desk.writer.write("final.begun", job, {"round": number + 2, "why": text})
        seq = len(desk.writer.lines)
        page.evaluate(SHOWN, [f"trace/{job}", "main", "What happened"])
        second.evaluate(STANDS_STILL)
        with desk.connected() as connection:
            began = time.monotonic()
            desk.push(connection, desk.body(seq, seq))
            page.get_by_text(text).first.wait_for(timeout=WITHIN_MS)
        took = 1000 * (time.monotonic() - began)
        second.wait_for_timeout(300)
        pauses.append(float(second.evaluate("window.longest")))
        page.evaluate(SHOWN, ["scan", "h1", "Scan"])
        return took

    pauses: list[float] = []
    measured.median("an event of another station, ms", pulled)
    measured.note("a second tab stands still, ms", statistics.median(pauses[1:]))


def starting(measured: Measured, playwright: Playwright, profile: Path, server: ServerProcess) -> None:
    """Starting the app, each time in a new browser."""
    for word, rate in (("", 1), (f", processor {SLOWER}x slower", SLOWER)):

        def start(_number: int, rate: int = rate) -> float:
            with browser(playwright, profile) as context:
                page = context.pages[0]
                session = context.new_cdp_session(page)
                session.send("Emulation.setCPUThrottlingRate", {"rate": rate})
                page.add_init_script(STARTED)
                page.goto(server.url, wait_until="commit")
                return float(page.evaluate("window.started"))

        measured.median(f"a start{word}, ms", start)


def sign_on(page: Page, badge: str) -> None:
    page.goto(f"{page.url.partition('#')[0]}#/sign-on")
    page.get_by_label("Or type the code").fill(badge)
    page.get_by_role("button", name="Sign on").click()
    page.locator(".head-name").get_by_text("Fennick").wait_for()


def from_scan(page: Page, path: str, selector: str, text: str) -> float:
    page.evaluate(SHOWN, ["scan", "h1", "Scan"])
    return float(page.evaluate(SHOWN, [path, selector, text]))


def search(page: Page, words: str) -> float:
    """The server's answer to a search by part of a customer's name."""
    asked = """async (words) => {
        const began = performance.now();
        const answer = await fetch(`/api/archive?${new URLSearchParams({ words })}`);
        const text = await answer.text();
        if (!text.includes(words)) throw new Error(`not found: ${words}`);
        return performance.now() - began;
    }"""
    return float(page.evaluate(asked, words))


def heap_mb(session: CDPSession) -> float:
    """What the page's scripts hold after a collection."""
    session.send("HeapProfiler.enable")
    session.send("HeapProfiler.collectGarbage")
    session.send("Performance.enable")
    held = {one["name"]: one["value"] for one in session.send("Performance.getMetrics")["metrics"]}
    return held["JSHeapUsedSize"] / 1e6


def resident_mb(pid: int, what: str) -> float:
    found = re.search(rf"{what}:\s+(\d+) kB", Path(f"/proc/{pid}/status").read_text())
    assert found is not None
    return int(found[1]) / 1000


def verify_mb(server: ServerProcess) -> float:
    """The most that `traymark verify` had of memory. Raises AssertionError when it finds a fault."""
    command = [sys.executable, "-m", "traymark", "verify", "--data", str(server.data_dir)]
    process = subprocess.Popen(command, env=server.environment(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    assert status == 0, "verify found a fault"
    return used.ru_maxrss / 1000


def join_link(server: ServerProcess) -> str:
    said = server.run("enrol", "--data", str(server.data_dir), "--name", "Bench 1", "--role", "bench").stdout
    found = re.search(r"/#/join/\S+", said)
    assert found is not None, said
    return server.url + found[0]


@contextmanager
def browser(playwright: Playwright, profile: Path) -> Iterator[BrowserContext]:
    chromium = find_chromium()
    assert chromium is not None, "this needs a Chromium"
    context = playwright.chromium.launch_persistent_context(
        profile, executable_path=chromium.path, args=_ARGUMENTS, viewport=PHONE, permissions=["camera"]
    )
    yield context
    context.close()


def report(counts: list[int], found: list[Figures]) -> None:
    print(f"\n{'':44}" + "".join(f"{count:>12,}" for count in counts) + f"{'factor':>9}")
    factors: Figures = {}
    for name in found[0]:
        values = [figures[name] for figures in found]
        factors[name.rpartition(", ")[0]] = round(values[-1] / values[0], 2)
        print(f"{name:44}" + "".join(f"{value:12,.1f}" for value in values) + f"{values[-1] / values[0]:9.2f}")
    print(json.dumps({"bench": "growth", "jobs": counts, "factors": factors}))


if __name__ == "__main__":
    main()
