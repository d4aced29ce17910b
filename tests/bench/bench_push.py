"""How quickly a push goes through the whole server, against bare SQLite writing the same rows.

Run: python tests/bench/bench_push.py [events]

Both sides, in one run on one disk: batches of 500, WAL, synchronous=FULL, one transaction a batch, and the very rows
that a push leaves behind (events, trace index, chain end, records as they stood after each batch), as a first push
that is not timed has noted them. The server's side also has the ASGI app with routing, cookie and headers, gzip, JSON,
the hash chain, the checks of each event and the fold. The bare side gets its rows ready-made. Runs of the two sides
take turns. Prints the ratio of the two rates, by the clock and by the time of the processor; nothing is asserted but
that every event was taken and that the log it left verifies.
"""

import asyncio
import gzip
import json
import sqlite3
import sys
import tempfile
import time
from pathlib import Path
from typing import Any, NamedTuple

sys.path[:0] = [str(Path(__file__).resolve().parents[2] / p) for p in ("server", "labels", "tests/server")]

from litestar import Litestar
from shop_events import Writer, job_events, shop_day
from sqlalchemy import event
from sqlmodel import insert

from traymark.api.who import COOKIE
from traymark.app import DATABASE, create_app
from traymark.config import Settings
from traymark.log.rows import IncarnationRow, StationRow
from traymark.log.store import Store
from traymark.log.verify import verify
from traymark.stations.secrets_made import hash_of

BATCH = 500
RUNS = 9
JOBS = 200
_PRAGMAS = ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "secure_delete=FAST")
_TABLES = ("event", "event_code", "chain", "record")

Statement = tuple[str, list[tuple[Any, ...]]]


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    for stations in (1, 4):
        measure(count, stations)


class Took(NamedTuple):
    """Seconds by the clock, and of the processor for all threads."""

    clock_s: float
    processor_s: float


def measure(count: int, stations: int) -> None:
    """Push and bare in turns, and what came out."""
    bodies = [station_bodies(n, count // stations) for n in range(stations)]
    with tempfile.TemporaryDirectory() as folder:
        model = Path(folder) / "model"
        batches: list[list[Statement]] = []
        asyncio.run(push_all(model, bodies, batches))
        pushes, bares = [], []
        for run in range(RUNS):
            pushes.append(asyncio.run(push_all(Path(folder) / f"push{run}", bodies)))
            bares.append(write_bare(model / DATABASE, Path(folder) / f"bare{run}.sqlite", batches))
    rows = sum(len(rows) for batch in batches for _, rows in batch)
    print(
        f"{stations} station(s) at once, {count} events over {JOBS} jobs in batches of {BATCH}; {rows} rows each side"
    )
    for name, took in (("push", pushes), ("bare", bares)):
        runs = ", ".join(f"{t.clock_s:.3f}" for t in took)
        clock_s, processor_s = min(t.clock_s for t in took), min(t.processor_s for t in took)
        print(f"  {name}: {count / clock_s:8.0f} events/s, {1e6 * processor_s / count:5.1f} us of processor an event")
        print(f"        (runs: {runs} s)")
    by_clock, by_processor = (
        100 * min(t[n] for t in bares) / min(t[n] for t in pushes) for n in range(len(Took._fields))
    )
    print(f"  ratio: {by_clock:.1f} % by the clock, {by_processor:.1f} % of the processor (best of {RUNS} runs each)")


def station_bodies(number: int, count: int) -> list[bytes]:
    """What a station sends: its part of the day's events, gzipped in batches."""
    writer = Writer(f"S7K{number}", f"7K{number}")
    for kind, job, body in shop_day(count, JOBS, seed=number, prefix=f"7K{number}"):
        writer.write(kind, job, body)
    return [gzip.compress(writer.body(n + 1, min(n + BATCH, count)), 6) for n in range(0, count, BATCH)]


async def push_all(data_dir: Path, bodies: list[list[bytes]], noted: list[list[Statement]] | None = None) -> Took:
    """All pushes, each station's one after another. `noted` gets what each batch's transaction wrote."""
    app = create_app(Settings(data_dir=data_dir))
    store: Store = app.state.store
    for n in range(len(bodies)):
        enrol(store, f"S7K{n}", f"7K{n}")

    async def drain(number: int) -> None:
        for body in bodies[number]:
            await push(app, f"S7K{number}", body)

    async with app.lifespan():
        await warm_up(app, store)
        if noted is not None:
            note_writes(store, noted)
        clock, processor = time.perf_counter(), time.process_time()
        await asyncio.gather(*(drain(n) for n in range(len(bodies))))
        took = Took(time.perf_counter() - clock, time.process_time() - processor)
        assert verify(store) == []
    return took


async def push(app: Litestar, station: str, body: bytes) -> None:
    """One request, as a web server hands it over."""
    headers = {"host": "bench", "content-encoding": "gzip", "cookie": f"{COOKIE}=token-of-{station}"}
    scope: dict[str, Any] = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "POST", "scheme": "https",
        "path": "/api/sync/push", "raw_path": b"/api/sync/push", "root_path": "", "query_string": b"",
        "headers": [(name.encode(), value.encode()) for name, value in headers.items()],
        "client": ("127.0.0.1", 1), "server": ("bench", 443),
    }  # fmt: skip
    answer: list[Any] = []

    async def receive() -> Any:
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: Any) -> None:
        answer.append(message)

    await app(scope, receive, send)  # pyright: ignore[reportArgumentType]  # plain dicts, as web servers give
    assert answer[0]["status"] == 200, answer
    assert not json.loads(b"".join(m.get("body", b"") for m in answer[1:]))["malformed"], answer


def note_writes(store: Store, noted: list[list[Statement]]) -> None:
    """Note the statements that write, a list for each transaction."""

    @event.listens_for(store.database.engine, "before_cursor_execute")
    def note(_c: Any, _k: Any, statement: str, parameters: Any, _x: Any, many: bool) -> None:
        if statement == "BEGIN IMMEDIATE":
            noted.append([])
        if statement.startswith("INSERT"):
            noted[-1].append((statement, list(parameters) if many else [parameters]))


async def warm_up(app: Litestar, store: Store) -> None:
    """One job from a station of its own: what a running server has compiled and cached, this one has too."""
    enrol(store, "S7KW", "7KW")
    writer = Writer("S7KW", "7KW")
    for kind, job, body in job_events(0, "7KW"):
        writer.write(kind, job, body)
    await push(app, "S7KW", gzip.compress(writer.body()))


def enrol(store: Store, station: str, incarnation: str) -> None:
    """A joined station and its prefix, without the joining."""
    token_hash = hash_of(f"token-of-{station}")
    row = {"id": station, "name": "Bench", "role": "bench", "token_hash": token_hash, "created_at_ms": 1}
    with store.database.write() as connection:
        connection.execute(insert(StationRow).values(row))
        connection.execute(insert(IncarnationRow).values(prefix=incarnation, station=station))


def write_bare(model: Path, path: Path, batches: list[list[Statement]]) -> Took:
    """The same rows by sqlite3 alone, into tables and indexes of the same form."""
    with sqlite3.connect(model) as source:
        marks = ", ".join("?" for _ in _TABLES)
        forms = source.execute(
            f"SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND tbl_name IN ({marks})", _TABLES
        ).fetchall()
    source.close()
    connection = sqlite3.connect(path, isolation_level=None)
    for pragma in _PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")
    for (form,) in forms:
        connection.execute(form)
    clock, processor = time.perf_counter(), time.process_time()
    for batch in batches:
        connection.execute("BEGIN IMMEDIATE")
        for statement, rows in batch:
            connection.executemany(statement, rows)
        connection.execute("COMMIT")
    took = Took(time.perf_counter() - clock, time.process_time() - processor)
    connection.close()
    return took


if __name__ == "__main__":
    main()
