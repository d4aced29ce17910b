"""From a tray's label to its step on the screen, in a shop with many whole jobs and in one with few.

    python tests/bench/bench_scan_to_step.py [jobs] [jobs to compare with]

Each shop is the demo's, to whose log a second station has pushed so many finished jobs of some 180 events
(whole_jobs.py) and some that wait at a step. A browser joins each and pulls all of it. Then, shop by shop in turns, a
new page of the browser opens the app: the time from there to the Scan screen, and from the Enter that ends a hand
scanner's code to the step's heading, painted; the first scan of a page, and one more. Reading the symbol in a camera's
picture is not part of it (bench_scan.py). Ratios are the medians of the turns'. Nothing is asserted but that the step
is the right one.
"""

import json
import statistics
import sys
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import NamedTuple

from playwright.sync_api import BrowserContext, Playwright, sync_playwright

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[2] / part) for part in (".", "server", "labels", "tests/server", "tests/bench")]

from joined_station import JoinedStation
from whole_jobs import Job, Station, write_half_jobs, write_jobs

from tests.browser import conftest
from tests.browser.person import Person, read_code
from tests.browser.shop import open_shop
from tests.browser.stream import Camera
from tests.chromium import find_chromium
from tests.node import ensure_built
from traymark.demo import shop
from traymark.docs.shop import shared_procedures
from traymark.rules.procedure import derive

MANY, FEW = 200, 20
TURNS = 7
WAITING = 2 * TURNS
STEP_ID = "cables"
DISPLAY = next(body for body in shared_procedures() if body["id"] == shop.DISPLAY)
STEP = next(step["title"] for step in derive(DISPLAY) if step["id"] == STEP_ID)
PULLED_WITHIN_MS = 300_000

TO_SCAN = """async () => {
    while (document.querySelector("h1")?.textContent !== "Scan") await new Promise(requestAnimationFrame);
    await new Promise(requestAnimationFrame);
    return performance.now();
}"""
SCAN = """async ([tray, job, step]) => {
    const frame = () => new Promise(requestAnimationFrame);
    location.hash = "#/scan";
    while (document.querySelector("h1")?.textContent !== "Scan") await frame();
    const press = (key) => document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
    const late = performance.now() + 30000;
    let from = 0;
    while (document.querySelector("h1")?.textContent !== step || !location.hash.endsWith(job)) {
        const now = performance.now();
        if (now > late) throw new Error(`${location.hash}: ${document.body.innerText}`);
        // A new page hears the scanner a moment after it shows itself: a person scans again.
        if (location.hash === "#/scan" && now - from > 500) {
            for (const letter of tray) press(letter);
            from = performance.now();
            press("Enter");
        }
        await frame();
    }
    await frame();
    return performance.now() - from;
}"""


class Took(NamedTuple):
    """Milliseconds."""

    opening: float
    first_scan: float
    next_scan: float


class Bench:
    """A browser that has joined a shop and pulled everything."""

    def __init__(self, context: BrowserContext, url: str, jobs: list[Job]) -> None:
        self._context, self._url, self._jobs = context, url, iter(jobs)

    def turn(self) -> Took:
        """In a page that was not there before."""
        page = self._context.new_page()
        page.goto(f"{self._url}/#/scan")
        opening = float(page.evaluate(TO_SCAN))
        first, next_ = (
            float(page.evaluate(SCAN, [job.tray, job.code, STEP])) for job in (next(self._jobs), next(self._jobs))
        )
        page.close()
        return Took(opening, first, next_)


def main() -> None:
    many, few = [int(a) for a in sys.argv[1:3]] + [MANY, FEW][len(sys.argv) - 1 :]
    ensure_built(HERE.parents[2] / "pwa")
    found = find_chromium()
    assert found is not None, "this needs a Chromium"
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright, ExitStack() as stack:
        benches = [
            stack.enter_context(opened(playwright, found.path, Path(folder) / str(jobs), jobs)) for jobs in (many, few)
        ]
        took = [tuple(bench.turn() for bench in benches) for _ in range(TURNS)]
    for at, jobs in enumerate((many, few)):
        medians = Took(*(statistics.median(turn[at][n] for turn in took) for n in range(3)))
        print(f"  {jobs:6} jobs: " + ", ".join(f"{name} {ms:.0f} ms" for name, ms in medians._asdict().items()))
    ratios = {
        f"{name.replace('_', ' ')}, {many} jobs over {few}": round(statistics.median(a[n] / b[n] for a, b in took), 2)
        for n, name in enumerate(Took._fields)
    }
    print(json.dumps({"bench": "scan_to_step", "ratios": ratios}))


@contextmanager
def opened(playwright: Playwright, chromium: Path, folder: Path, jobs: int) -> Iterator[Bench]:
    folder.mkdir()
    served = open_shop(folder / "data")
    try:
        joined = JoinedStation(served.server)
        station = Station(joined.writer)
        fennick = read_code(served.badge("bench"))[:4]
        write_jobs(station, jobs, fennick)
        waiting = write_half_jobs(station, WAITING, fennick, STEP_ID)
        joined.push_all()
        camera = Camera(folder)
        arguments = [*conftest._ARGUMENTS, f"--use-file-for-fake-video-capture={camera.file}"]
        browser = playwright.chromium.launch(executable_path=chromium, args=arguments)
        context = browser.new_context(viewport=conftest.PHONE, permissions=["camera"])
        person = Person(conftest.Station(browser, context, context.new_page(), camera, []), served.server.url)
        join(person, served.link, served.badge("bench"), waiting[-1])
        # A blank page stays: without any the browser may end.
        person.page.goto("about:blank")
        yield Bench(context, served.server.url, waiting)
        browser.close()
    finally:
        served.server.stop()


def join(person: Person, link: str, badge: bytes, last: Job) -> None:
    """Until the last job is there; the badge is known once the staff's documents have come."""
    page = person.page
    page.goto(link)
    page.get_by_label("Name of this station").fill("Bench 1")
    person.press("Join")
    person.sees("Scan")
    page.locator(".sync-mark").get_by_text("On the server").wait_for(timeout=PULLED_WITHIN_MS)
    person.open("sign-on")
    person.fill("Or type the code", read_code(badge))
    person.press("Sign on")
    page.locator(".head-name").get_by_text("Fennick").wait_for(timeout=PULLED_WITHIN_MS)
    person.open(f"bench/{last.code}")
    page.get_by_role("heading", level=1, name=STEP).wait_for(timeout=PULLED_WITHIN_MS)


if __name__ == "__main__":
    main()
