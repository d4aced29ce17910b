"""From a scan that was decoded to the right step on the screen, with 5,000 jobs on the station and with 50.

Run: python tests/bench/bench_scan_to_step.py [jobs] [jobs to compare with]

Each run has its own demo shop to whose log the jobs are added by a second station, five events each, and its own
browser that pulls all of it. A hand scanner's keys are then given to the Scan screen, a tray at a time; the time is
taken in the page from the Enter that ends the code until the step's heading has been painted. Reading the symbol in a
camera's picture is not part of it (bench_scan.py). Prints medians of one run on one machine, and their ratio; nothing
is asserted but that the step is the right one.
"""

import asyncio
import gzip
import json
import statistics
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[2] / p) for p in (".", "server", "labels", "tests/server", "tests/bench")]

from bench_push import BATCH, enrol, push
from playwright.sync_api import sync_playwright
from shop_events import Writer

from tests.browser.conftest import _ARGUMENTS, PHONE, Station
from tests.browser.person import Person, read_code
from tests.browser.shop import Shop, open_shop
from tests.browser.stream import Camera
from tests.chromium import find_chromium
from tests.node import ensure_built
from traymark.app import create_app
from traymark.config import Settings
from traymark.demo.write import write_event
from traymark_labels import Minted, mint

SCANS = 25
WARM_UP = 5
STATION, PREFIX = "S7K0", "7K0"
STEP = "Take out the latch screws"
PULLED_WITHIN_MS = 600_000

SCAN = """async ([tray, job, step]) => {
    const frame = () => new Promise((done) => requestAnimationFrame(done));
    const heading = () => document.querySelector("h1")?.textContent;
    location.hash = "#/scan";
    while (heading() !== "Scan") await frame();
    await new Promise((done) => setTimeout(done, 300));
    const press = (key) => document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
    for (const letter of tray) press(letter);
    const from = performance.now();
    press("Enter");
    const until = from + 20000;
    while (heading() !== step || !location.hash.endsWith(job)) {
        if (performance.now() > until) throw new Error(`${location.hash}: ${heading()}`);
        await frame();
    }
    await frame();
    return performance.now() - from;
}"""


def main() -> None:
    many, few = [int(a) for a in sys.argv[1:3]] + [5_000, 50][len(sys.argv) - 1 :]
    ensure_built(HERE.parents[2] / "pwa")
    took = {jobs: measure(jobs) for jobs in (few, many)}
    medians = {jobs: statistics.median(times) for jobs, times in took.items()}
    for jobs, times in took.items():
        print(
            f"{jobs:6} jobs: median {medians[jobs]:6.1f} ms, {min(times):.1f} to {max(times):.1f}, {len(times)} scans"
        )
    ratio = round(medians[many] / medians[few], 2)
    print(json.dumps({"bench": "scan to step", f"{many} jobs over {few} jobs": ratio}))


def measure(jobs: int) -> list[float]:
    """Milliseconds of each scan."""
    with tempfile.TemporaryDirectory() as folder:
        shop = open_shop(Path(folder) / "data")
        try:
            fennick = read_code(shop.badge("bench"))[:4]
            shop.server.stop()
            asyncio.run(add_jobs(shop.server.data_dir, jobs, fennick))
            shop.server.start()
            return scan_all(shop, Path(folder), jobs)
        finally:
            shop.server.stop()


async def add_jobs(data_dir: Path, jobs: int, staff: str) -> None:
    """Jobs that wait at their sixth step, each with a tray of its own."""
    writer = Writer(STATION, PREFIX)
    codes = zip(*(codes_of(kind, jobs) for kind in "JDT"), strict=True)
    for number, (job, device, tray) in enumerate(codes, 1):
        booked = {
            "device": device, "card": f"{number:020}".translate(str.maketrans("06789", "abcde")), "contact": "a" * 20,
            "model": "Quillet 5", "complaint": "The display stays dark after a fall", "lock": "unlocked",
            "consents": ["data", "liquid"], "promised_at_ms": 1_900_000_000_000, "ticket": f"{number:026}",
        }  # fmt: skip
        for kind, of, body in (
            ("job.booked", job, booked),
            ("thing.moved", None, {"thing": tray, "to": job, "after": []}),
            ("job.started", job, {"procedure": "quillet5-display", "revision": 1}),
            *(("step.done", job, {"step": id_}) for id_ in ("safety", "charge", "off", "tray", "tape")),
        ):
            seq = len(writer.lines) + 1
            writer.keep(write_event(kind, STATION, PREFIX, seq, staff, seq, of, body))
    app = create_app(Settings(data_dir=data_dir))
    enrol(app.state.store, STATION, PREFIX)
    async with app.lifespan():
        for first in range(1, len(writer.lines) + 1, BATCH):
            body = writer.body(first, min(first + BATCH - 1, len(writer.lines)))
            await push(app, STATION, gzip.compress(body, 6))


def scan_all(shop: Shop, folder: Path, jobs: int) -> list[float]:
    chromium = find_chromium()
    assert chromium is not None, "this needs a Chromium"
    camera = Camera(folder, "bench")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=chromium.path, args=[*_ARGUMENTS, f"--use-file-for-fake-video-capture={camera.file}"]
        )
        context = browser.new_context(viewport=PHONE, permissions=["camera"])
        person = Person(Station(browser, context, context.new_page(), camera, []), shop.server.url)
        join(person, shop)
        trays, of = codes_of("T", jobs), codes_of("J", jobs)
        person.open(f"bench/{of[-1]}")
        heading = person.page.get_by_role("heading", level=1, name=STEP)
        heading.wait_for(timeout=PULLED_WITHIN_MS)
        places = [n * (jobs - 1) // (SCANS + WARM_UP - 1) for n in range(SCANS + WARM_UP)]
        times = [float(person.page.evaluate(SCAN, [trays[n], of[n], STEP])) for n in places]
        browser.close()
    return times[WARM_UP:]


def join(person: Person, shop: Shop) -> None:
    """Join and sign on; the badge is known once the staff's documents have come."""
    page = person.page
    page.goto(shop.link)
    page.get_by_label("Name of this station").fill("Bench 1")
    person.press("Join")
    person.sees("Scan")
    badge = read_code(shop.badge("bench"))
    while page.locator(".head-name").inner_text() != "Fennick":
        person.open("sign-on")
        person.fill("Or type the code", badge)
        person.press("Sign on")
        page.wait_for_timeout(1_000)


def codes_of(kind: str, count: int) -> list[str]:
    """The first codes of a kind that this station mints (F1.2: some counters are skipped)."""
    codes: list[str] = []
    counter = 0
    while len(codes) < count:
        minted = mint(kind, PREFIX, counter + 1)
        assert isinstance(minted, Minted)
        codes.append(minted.code)
        counter = minted.counter
    return codes


if __name__ == "__main__":
    main()
