"""How long the app takes to start, against the app of an earlier commit.

Run: python tests/bench/bench_start.py [--before COMMIT] [--rounds N] [--events N]

Both apps are built and each is served by the server of its own commit. Two starts are measured, each in a browser
process of its own: the first visit, with an empty store and everything from the network, until the screen for joining
can be used; and a later start from what the browser keeps, with some 2,000 pulled events, until the Scan screen can be
used. Each at the full speed of the processor and at a sixth of it; the first visit also over a slow network (1.6
Mbit/s, 150 ms). The apps take turns, and a ratio is the median of the rounds' ratios.
Prints a table, and as its last line the ratios, now over before: below 1 is quicker or smaller. Nothing is asserted.
"""

import argparse
import gzip
import json
import re
import statistics
import subprocess
import sys
import tempfile
import urllib.request
from dataclasses import dataclass
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve()
REPOSITORY = HERE.parents[2]
sys.path[:0] = [str(REPOSITORY / p) for p in (".", "server", "labels", "tests/server")]

from playwright.sync_api import BrowserContext, Page, Playwright, Response, sync_playwright
from shop_events import Writer, shop_day

from tests.browser.conftest import _ARGUMENTS, PHONE
from tests.chromium import find_chromium
from tests.node import ensure_built
from tests.server_process import ServerProcess

BEFORE = "4722e68"
"""The last commit before the first screen was made small."""
BATCH = 500
JOBS = 40
SLOWER = 6
WITHIN_MS = 60_000
SLOW_NETWORK = {"offline": False, "latency": 150, "downloadThroughput": 1.6e6 / 8, "uploadThroughput": 750e3 / 8}

USABLE = """
window.started = new Promise((done) => {
    const usable = () => document.querySelector("main h1") && document.querySelector("main .typed input");
    const painted = () => {
        const at = performance.now();
        const loaded = [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")];
        const [paint] = performance.getEntriesByName("first-contentful-paint");
        const bytes = loaded.reduce((sum, one) => sum + one.transferSize, 0);
        done({ usable: at, paint: paint?.startTime ?? at, bytes, files: loaded.length });
    };
    const look = () => requestAnimationFrame(usable() ? () => setTimeout(painted) : look);
    look();
});
"""
"""Painted when the task after the next frame runs. A screen is usable with its heading and its field for typing."""


class Served(ServerProcess):
    """An app with the server of its own commit."""

    loads_anew = True

    def __init__(self, tree: Path, data_dir: Path) -> None:
        super().__init__(data_dir)
        self._tree = tree
        self.start()

    def environment(self) -> dict[str, str]:
        return {**super().environment(), "PYTHONPATH": f"{self._tree / 'server'}:{self._tree / 'labels'}"}

    def join_link(self, name: str) -> str:
        said = self.run("enrol", "--data", str(self.data_dir), "--name", name, "--role", "counter").stdout
        found = re.search(r"/#/join/\S+", said)
        assert found is not None, said
        return self.url + found[0]


@dataclass(frozen=True)
class Case:
    name: str
    joined: bool
    slower: int
    slow_network: bool = False


CASES = [
    Case("first visit, empty store", joined=False, slower=1),
    Case(f"first visit, processor {SLOWER}x slower", joined=False, slower=SLOWER),
    Case("first visit, slow network", joined=False, slower=1, slow_network=True),
    Case("start with pulled events", joined=True, slower=1),
    Case(f"start with pulled events, processor {SLOWER}x slower", joined=True, slower=SLOWER),
]
FIGURES = {"usable": "ms until usable", "paint": "ms to first paint", "bytes": "bytes sent", "files": "files"}

Took = dict[str, float]


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--before", default=BEFORE)
    options.add_argument("--rounds", type=int, default=7)
    options.add_argument("--events", type=int, default=2_000)
    asked = options.parse_args()
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        trees = {"before": tree_of(asked.before, folder / "tree"), "now": REPOSITORY}
        for tree in trees.values():
            ensure_built(tree / "pwa")
        apps = {side: Served(tree, folder / side) for side, tree in trees.items()}
        try:
            for side, app in apps.items():
                push_events(app, asked.events)
                join(playwright, app, folder / f"{side}-profile", asked.events)
            report(measure(playwright, apps, folder, asked.rounds))
        finally:
            for app in apps.values():
                app.stop()


def tree_of(commit: str, folder: Path) -> Path:
    """The files of a commit, in a folder that goes with this run."""
    folder.mkdir()
    packed = subprocess.run(["git", "archive", commit], cwd=REPOSITORY, capture_output=True, check=True).stdout
    subprocess.run(["tar", "-x", "-C", str(folder)], input=packed, check=True)
    return folder


def push_events(app: Served, count: int) -> None:
    """Another station of the shop has written a log."""
    code = app.join_link("Desk").rpartition("/")[2]
    joined, cookie = post(app, "/api/join", json.dumps({"code": code}).encode(), {"Content-Type": "application/json"})
    writer = Writer(joined["station"], joined["incarnation"])
    for kind, job, body in shop_day(count, JOBS, prefix=joined["incarnation"]):
        writer.write(kind, job, body)
    headers = {"Content-Type": "application/x-ndjson", "Content-Encoding": "gzip", "Cookie": cookie.partition(";")[0]}
    for first in range(1, count + 1, BATCH):
        body = writer.body(first, min(first + BATCH - 1, count))
        post(app, "/api/sync/push", gzip.compress(body), headers)


def post(app: Served, path: str, body: bytes, headers: dict[str, str]) -> tuple[Any, str]:
    request = urllib.request.Request(app.url + path, body, headers)
    with urllib.request.urlopen(request, timeout=60) as answer:
        return json.load(answer), answer.headers.get("Set-Cookie", "")


def join(playwright: Playwright, app: Served, profile: Path, events: int) -> None:
    """Make a browser a station that has pulled everything and keeps the app for later starts."""
    context = browser(playwright, profile)
    page = context.pages[0]
    pulled = {"to": 0, "last": events}

    def note(answer: Response) -> None:
        if "/api/sync/pull" in answer.url and answer.ok:
            pulled.update(json.loads(answer.text().partition("\n")[0]))

    page.on("response", note)
    page.goto(app.join_link("Counter"))
    page.get_by_role("button", name="Join").click()
    page.get_by_text("On the server").wait_for(timeout=WITHIN_MS)
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    assert pulled["to"] >= pulled["last"] >= events, pulled
    context.close()


def measure(
    playwright: Playwright, apps: dict[str, Served], folder: Path, rounds: int
) -> dict[Case, dict[str, list[Took]]]:
    took: dict[Case, dict[str, list[Took]]] = {case: {side: [] for side in apps} for case in CASES}
    for number in range(-1, rounds):
        for case in CASES:
            for side in sorted(apps, reverse=number % 2 == 1):
                profile = folder / (f"{side}-profile" if case.joined else f"{side}-{number}-{CASES.index(case)}")
                one = start(playwright, apps[side], profile, case)
                if number >= 0:  # the round before the first warms up disks and servers
                    took[case][side].append(one)
    return took


def start(playwright: Playwright, app: Served, profile: Path, case: Case) -> Took:
    context = browser(playwright, profile)
    page = context.pages[0]
    limit(page, case)
    page.add_init_script(USABLE)
    page.goto(app.url, wait_until="commit")
    took: Took = page.evaluate("window.started")
    heading = page.locator("h1").inner_text()
    assert heading == ("Scan" if case.joined else "Join the shop"), heading
    context.close()
    return took


def limit(page: Page, case: Case) -> None:
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": case.slower})
    if case.slow_network:
        session.send("Network.enable")
        session.send("Network.emulateNetworkConditions", SLOW_NETWORK)


def browser(playwright: Playwright, profile: Path) -> BrowserContext:
    chromium = find_chromium()
    assert chromium is not None, "this needs a Chromium"
    return playwright.chromium.launch_persistent_context(
        profile, executable_path=chromium.path, args=_ARGUMENTS, viewport=PHONE, permissions=["camera"]
    )


def report(took: dict[Case, dict[str, list[Took]]]) -> None:
    ratios: dict[str, float] = {}
    print(f"{'':52}{'before':>10}{'now':>10}{'ratio':>8}")
    for case, sides in took.items():
        for figure, word in FIGURES.items():
            before, now = ([one[figure] for one in sides[side]] for side in ("before", "now"))
            if min(before) == 0 or min(now) == 0:
                continue  # a later start sends nothing
            ratio = statistics.median(n / b for n, b in zip(now, before, strict=True))
            middle = f"{statistics.median(before):10.0f}{statistics.median(now):10.0f}"
            print(f"{case.name + ': ' + word:52}{middle}{ratio:8.2f}")
            ratios[f"{case.name}: {word}, now over before"] = round(ratio, 2)
    print(json.dumps({"bench": "start", "ratios": ratios}))


if __name__ == "__main__":
    main()
