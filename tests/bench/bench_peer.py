"""A station beside PouchDB, a general-purpose database that works offline: pulling 10,000 events, starting with them.

    python tests/bench/bench_peer.py [--rounds N] [--events N]

PouchDB and its HTTP server are installed by npm for the run, in a folder of their own. Its documents are our events,
member for member; its server keeps them in memory, and its page does nothing else. Ours is the whole app with its
service worker and screens, and the server with its database on the disk. In Chromium, in turns:

- catching up: the station was offline while the events were written. From the moment the network is back until all are
  kept and folded, and the screen says so.
- joining: a new station, from the press of the button until the screen says that all is there, the installing of the
  app included. It begins with the live state and the history of what is live (F8.7), here of all events, since none of
  the jobs is over.
- PouchDB, for both: from the call until the replication has ended, and all documents were read and folded: by job, how
  many there are, the last kind, and when. That is far less than our fold does. Once as it comes, in batches of 100
  documents, and once in batches of 1,000, which is its quickest.
- starting: a new browser, until the Scan screen is painted; PouchDB until its documents were read and folded. Each also
  with nothing in the store, since most of our start is the browser's own and the drawing of a screen.

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
AS_IT_COMES, AT_ONCE = 100, 1_000
"""Documents of a batch."""
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

PEER_PULLS = f"""async ([name, atOnce]) => {{
    {FOLD}
    const began = performance.now();
    const db = new PouchDB(name);
    await db.replicate.from(location.origin + "/db/shop", {{ batch_size: atOnce }});
    const count = await folded(db);
    return {{ took: performance.now() - began, count }};
}}"""

PEER_STARTS = f"""async (name) => {{
    {FOLD}
    const count = await folded(new PouchDB(name));
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
        with browser(playwright, place / "empty") as other:
            join(other.pages[0], server)
        empty = start(playwright, place / "empty", server)
        join(page, server)
        context.set_offline(True)
        lines = written(desk, events)

        def ours() -> dict[str, float]:
            last = position_of(server)
            began = time.monotonic()
            context.set_offline(False)
            page.evaluate(CAUGHT_UP, last)
            caught_up = 1000 * (time.monotonic() - began)
            return {"catching up": caught_up, "starting empty": empty, **others(playwright, place, server)}

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
    return {"joining": joining, "starting": start(playwright, place / "joining", server)}


def start(playwright: Playwright, profile: Path, server: ServerProcess) -> float:
    with browser(playwright, profile) as context:
        page = context.pages[0]
        page.add_init_script(STARTED)
        page.goto(server.url, wait_until="commit")
        return float(page.evaluate("window.started"))


def theirs(playwright: Playwright, profile: Path, address: str, count: int) -> dict[str, float]:
    steps = {
        "peer as it comes": (PEER_PULLS, ["plain", AS_IT_COMES], count),
        "peer pulls": (PEER_PULLS, ["shop", AT_ONCE], count),
        "peer starts empty": (PEER_STARTS, "empty", 0),
        "peer starts": (PEER_STARTS, "shop", count),
    }
    found: dict[str, float] = {}
    for name, (script, given, expected) in steps.items():
        with browser(playwright, profile) as context:
            page = context.pages[0]
            page.goto(address)
            said = page.evaluate(script, given)
            assert said["count"] == expected, said
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
        "catching up, over PouchDB as it comes": lambda took: took["peer as it comes"] / took["catching up"],
        "catching up, over PouchDB in batches of 1,000": lambda took: took["peer pulls"] / took["catching up"],
        "joining, over PouchDB as it comes": lambda took: took["peer as it comes"] / took["joining"],
        "joining, over PouchDB in batches of 1,000": lambda took: took["peer pulls"] / took["joining"],
        "starting": lambda took: took["peer starts"] / took["starting"],
    }
    ratios = {name: round(statistics.median(ratio(took) for took in rounds), 1) for name, ratio in pairs.items()}
    more = {
        name: statistics.median(took[full] - took[empty] for took in rounds)
        for name, full, empty in (
            ("ours", "starting", "starting empty"),
            ("PouchDB", "peer starts", "peer starts empty"),
        )
    }
    for name, ratio in ratios.items():
        print(f"{name:50}{ratio:8.1f}")
    print(f"what the events add to a start, ms: ours {more['ours']:.0f}, PouchDB {more['PouchDB']:.0f}")
    print(json.dumps({"bench": "peer", "ratios": ratios}))


if __name__ == "__main__":
    main()
