"""A station beside PouchDB, a general-purpose database that works offline: pulling 10,000 events, starting with them.

    python tests/bench/bench_peer.py [--rounds N] [--events N]

PouchDB and its HTTP server are installed by npm for the run, in a folder of their own. Its documents are our events,
member for member; its server keeps them in memory, and its page does nothing else. Ours is the whole app with its
service worker and screens, and the server with its database on the disk. In Chromium, in turns:

- catching up: the station was offline while the events were written. From the moment the network is back until all are
  kept and folded, and the screen says so.
- joining: a new station, from the press of the button until the screen says that all is there. It begins with the live
  state and the history of what is live (F8.7), here of all events, since none of the jobs is over.
- PouchDB, for both: from the call until the replication has ended, and all documents were read and folded: by job, how
  many there are, the last kind, and when. That is far less than our fold does.
- starting: a new browser, until the Scan screen is painted; PouchDB until its documents were read and folded.

A ratio is PouchDB's time over ours, the median of the rounds' ratios: above 1, ours is quicker. The last line is JSON.
Nothing is asserted but that both hold every event.
"""

import argparse
import json
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve()
REPOSITORY = HERE.parents[2]
sys.path[:0] = [str(REPOSITORY / part) for part in (".", "tests/bench", "tests/server", "server", "labels")]

from bench_growth import STARTED, WITHIN_MS, browser, join_link
from joined_station import JoinedStation
from playwright.sync_api import Playwright, sync_playwright
from whole_jobs import Station, write_jobs

from tests.node import ensure_built, npm_command
from tests.server_process import ServerProcess
from traymark.app import DATABASE
from traymark.docs.shop import begin_shop
from traymark.log.store import Store

EVENTS = 10_000
ROUNDS = 5
EVENTS_A_JOB = 170
AT_ONCE = 1_000
"""Documents of a batch. By itself it takes 100, and is slower."""
PACKAGES = ("pouchdb@9.0.0", "pouchdb-adapter-memory@9.0.0", "express-pouchdb@4.2.0", "express@4.22.1")

CAUGHT_UP = """async (position) => {
    const asked = indexedDB.open("traymark-station");
    const db = await new Promise((done) => { asked.onsuccess = () => done(asked.result) });
    const pulled = () => new Promise((done) => {
        const cursor = db.transaction("meta").objectStore("meta").get("cursor");
        cursor.onsuccess = () => done(cursor.result?.value?.position ?? cursor.result?.position);
    });
    const says = () => document.querySelector(".sync-mark")?.textContent.includes("On the server");
    while ((await pulled()) !== position || !says()) await new Promise(requestAnimationFrame);
    db.close();
}"""

FOLD = """
const folded = async (db) => {
    const jobs = new Map();
    for (const { doc } of (await db.allDocs({ include_docs: true })).rows) {
        const job = jobs.get(doc.job) ?? { count: 0, kind: "", at_ms: 0 };
        jobs.set(doc.job, { count: job.count + 1, kind: doc.kind, at_ms: doc.at_ms });
    }
    return [...jobs.values()].reduce((sum, job) => sum + job.count, 0);
};"""

PEER_PULLS = f"""async (atOnce) => {{
    {FOLD}
    const began = performance.now();
    const db = new PouchDB("shop");
    await db.replicate.from(location.origin + "/db/shop", {{ batch_size: atOnce }});
    const count = await folded(db);
    return {{ took: performance.now() - began, count }};
}}"""

PEER_STARTS = f"""async () => {{
    {FOLD}
    const count = await folded(new PouchDB("shop"));
    return {{ took: performance.now(), count }};
}}"""


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--rounds", type=int, default=ROUNDS)
    asked.add_argument("--events", type=int, default=EVENTS)
    given = asked.parse_args()
    ensure_built(REPOSITORY / "pwa")
    rounds: list[dict[str, float]] = []
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        packages = installed(folder / "packages")
        for number in range(given.rounds):
            rounds.append(
                one_round(playwright, folder / str(number), packages, given.events, ours_first=number % 2 == 0)
            )
            print({name: round(value) for name, value in rounds[-1].items()}, flush=True)
    report(rounds)


def one_round(
    playwright: Playwright, place: Path, packages: Path, events: int, *, ours_first: bool
) -> dict[str, float]:
    place.mkdir()
    with served(place / "data") as server, browser(playwright, place / "offline") as context:
        desk, page = JoinedStation(server), context.pages[0]
        join(page, server)
        context.set_offline(True)
        lines = written(desk, events)

        def ours() -> dict[str, float]:
            last = position_of(server)
            began = time.monotonic()
            context.set_offline(False)
            page.evaluate(CAUGHT_UP, last)
            caught_up = 1000 * (time.monotonic() - began)
            return {"catching up": caught_up, **others(playwright, place, server)}

        with peer(packages, lines) as address:
            if ours_first:
                return {**ours(), **theirs(playwright, place / "peer", address, len(lines))}
            return {**theirs(playwright, place / "peer", address, len(lines)), **ours()}


def join(page: Any, server: ServerProcess) -> float:
    """Milliseconds from the press of Join until all is there."""
    page.goto(join_link(server))
    page.get_by_label("Name of this station").fill("Bench 1")
    began = time.monotonic()
    page.get_by_role("button", name="Join").click()
    page.locator(".sync-mark").get_by_text("On the server").wait_for(timeout=WITHIN_MS)
    took = 1000 * (time.monotonic() - began)
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    return took


def others(playwright: Playwright, place: Path, server: ServerProcess) -> dict[str, float]:
    """A new station joins, and then starts in a new browser."""
    with browser(playwright, place / "joining") as context:
        joining = join(context.pages[0], server)
    with browser(playwright, place / "joining") as context:
        page = context.pages[0]
        page.add_init_script(STARTED)
        page.goto(server.url, wait_until="commit")
        return {"joining": joining, "starting": float(page.evaluate("window.started"))}


def theirs(playwright: Playwright, profile: Path, address: str, count: int) -> dict[str, float]:
    found: dict[str, float] = {}
    for name, script, given in (("peer pulls", PEER_PULLS, AT_ONCE), ("peer starts", PEER_STARTS, None)):
        with browser(playwright, profile) as context:
            page = context.pages[0]
            page.goto(address)
            said = page.evaluate(script, given)
            assert said["count"] == count, said
            found[name] = said["took"]
    return found


def written(desk: JoinedStation, events: int) -> list[bytes]:
    """Whole jobs, sent to the server; the lines that were sent."""
    write_jobs(Station(desk.writer), -(-events // EVENTS_A_JOB))
    desk.push_all()
    return desk.writer.lines


def position_of(server: ServerProcess) -> int:
    store = Store(server.data_dir / DATABASE, sole_writer=False)
    try:
        return store.position()
    finally:
        store.close()


@contextmanager
def served(folder: Path) -> Iterator[ServerProcess]:
    folder.mkdir()
    store = Store(folder / DATABASE)
    begin_shop(store, "Etc/UTC")
    store.close()
    server = ServerProcess(folder)
    server.start()
    try:
        yield server
    finally:
        server.stop()


@contextmanager
def peer(packages: Path, lines: list[bytes]) -> Iterator[str]:
    """The other database's server with these events as documents; its address."""
    with socket.socket() as free:
        free.bind(("localhost", 0))
        port = free.getsockname()[1]
    node = [*node_command(), str(HERE.with_name("peer_server.mjs")), str(packages), str(port)]
    with subprocess.Popen(node, stdout=subprocess.PIPE, cwd=packages) as process:
        assert process.stdout is not None
        process.stdout.readline()
        try:
            address = f"http://localhost:{port}"
            ask(f"{address}/db/shop", "PUT", None)
            docs = [{"_id": f"{number:08}", **json.loads(line)} for number, line in enumerate(lines)]
            for first in range(0, len(docs), AT_ONCE):
                ask(f"{address}/db/shop/_bulk_docs", "POST", {"docs": docs[first : first + AT_ONCE]})
            yield address
        finally:
            process.kill()


def ask(address: str, method: str, body: object) -> None:
    data = None if body is None else json.dumps(body).encode()
    headers = {"Content-Type": "application/json"}
    request = urllib.request.Request(address, data, headers, method=method)  # our own address
    with urllib.request.urlopen(request) as answer:  # as above
        answer.read()


def installed(folder: Path) -> Path:
    folder.mkdir()
    (folder / "package.json").write_text("{}", encoding="utf-8")
    command, environment = npm_command()
    quiet = ["--no-audit", "--no-fund", "--loglevel=error"]
    subprocess.run([*command, "install", *quiet, *PACKAGES], cwd=folder, env=environment, check=True)
    return folder


def node_command() -> list[str]:
    command, _ = npm_command()
    return [command[0]] if Path(command[0]).stem == "node" else ["node"]


def report(rounds: list[dict[str, float]]) -> None:
    pairs = {
        "pulling, a station that was offline": ("peer pulls", "catching up"),
        "pulling, a new station": ("peer pulls", "joining"),
        "starting": ("peer starts", "starting"),
    }
    ratios = {
        name: round(statistics.median(took[theirs] / took[ours] for took in rounds), 1)
        for name, (theirs, ours) in pairs.items()
    }
    for name, ratio in ratios.items():
        print(f"{name:40}{ratio:8.1f}")
    print(json.dumps({"bench": "peer", "ratios": ratios}))


if __name__ == "__main__":
    main()
