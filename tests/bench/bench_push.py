"""How quickly a push goes through the whole server, against bare SQLite writing the same rows.

Run: python tests/bench/bench_push.py [events]

Both sides, in one run on one disk: batches of 500, WAL, synchronous=FULL, one transaction a batch, and the very rows
that the push leaves behind (events, trace index, chain end, records as they stood after each batch). The server's side
also has HTTP through the ASGI app, the cookie, gzip, JSON, the hash chain, the checks of each event and the fold.
The bare side gets its rows ready-made. Prints the ratio of the two rates; nothing is asserted.
"""

import asyncio
import gzip
import sqlite3
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).resolve().parents[2] / p) for p in ("server", "labels", "tests/server")]

import httpx
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
RUNS = 5
JOBS = 200
_PRAGMAS = ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "secure_delete=FAST")
_TABLES = ("event", "event_code", "chain", "record")


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    for stations in (1, 4):
        measure(count, stations)


def measure(count: int, stations: int) -> None:
    """Push and bare in turns, and what came out."""
    bodies = [station_bodies(n, count // stations) for n in range(stations)]
    pushes, bares = [], []
    for _ in range(RUNS):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder)
            push_s, batches = asyncio.run(push_all(path / "server", bodies))
            pushes.append(push_s)
            bares.append(write_bare(path / "server" / DATABASE, path / "bare.sqlite", batches))
    rows = sum(len(rows) for batch in batches for _, rows in batch)
    push_s, bare_s = min(pushes), min(bares)
    print(
        f"{stations} station(s) at once, {count} events over {JOBS} jobs in batches of {BATCH}; {rows} rows each side"
    )
    print(f"  push: {count / push_s:8.0f} events/s  (runs: {', '.join(f'{s:.3f} s' for s in pushes)})")
    print(f"  bare: {count / bare_s:8.0f} events/s  (runs: {', '.join(f'{s:.3f} s' for s in bares)})")
    print(f"  ratio: {100 * bare_s / push_s:.1f} %  (best of {RUNS} runs each)")


def station_bodies(number: int, count: int) -> list[bytes]:
    """What a station sends: its part of the day's events, gzipped in batches."""
    writer = Writer(f"S7K{number}", f"7K{number}")
    for kind, job, body in shop_day(count, JOBS, seed=number, prefix=f"7K{number}"):
        writer.write(kind, job, body)
    return [gzip.compress(writer.body(n + 1, min(n + BATCH, count)), 6) for n in range(0, count, BATCH)]


Statement = tuple[str, list[tuple[Any, ...]]]


async def push_all(data_dir: Path, bodies: list[list[bytes]]) -> tuple[float, list[list[Statement]]]:
    """Seconds for all pushes, and the statements that each batch's transaction ran with many rows."""
    app = create_app(Settings(data_dir=data_dir))
    store: Store = app.state.store
    for n in range(len(bodies)):
        enrol(store, f"S7K{n}", f"7K{n}")
    batches: list[list[Statement]] = []

    @event.listens_for(store.database.engine, "before_cursor_execute")
    def note(_c: Any, _k: Any, statement: str, parameters: Any, _x: Any, many: bool) -> None:
        if statement == "BEGIN IMMEDIATE":
            batches.append([])
        if statement.startswith("INSERT"):
            batches[-1].append((statement, list(parameters) if many else [parameters]))

    transport = httpx.ASGITransport(app)
    async with app.lifespan(), httpx.AsyncClient(transport=transport, base_url="http://bench") as client:

        async def drain(number: int) -> None:
            headers = {"Cookie": f"{COOKIE}=token-of-S7K{number}", "Content-Encoding": "gzip"}
            for body in bodies[number]:
                answer = await client.post("/api/sync/push", content=body, headers=headers)
                assert answer.status_code == 200, answer.text
                assert not answer.json()["malformed"], answer.text

        await warm_up(store, client)
        batches.clear()
        start = time.perf_counter()
        await asyncio.gather(*(drain(n) for n in range(len(bodies))))
        seconds = time.perf_counter() - start
        assert verify(store) == []
    return seconds, batches


async def warm_up(store: Store, client: httpx.AsyncClient) -> None:
    """One job from a station of its own: what a running server has compiled and cached, this one has too."""
    enrol(store, "S7KW", "7KW")
    writer = Writer("S7KW", "7KW")
    for kind, job, body in job_events(0, "7KW"):
        writer.write(kind, job, body)
    answer = await client.post("/api/sync/push", content=writer.body(), headers={"Cookie": f"{COOKIE}=token-of-S7KW"})
    assert answer.status_code == 200, answer.text


def enrol(store: Store, station: str, incarnation: str) -> None:
    """A joined station and its prefix, without the joining."""
    token_hash = hash_of(f"token-of-{station}")
    row = {"id": station, "name": "Bench", "role": "bench", "token_hash": token_hash, "created_at_ms": 1}
    with store.database.write() as connection:
        connection.execute(insert(StationRow).values(row))
        connection.execute(insert(IncarnationRow).values(prefix=incarnation, station=station))


def write_bare(model: Path, path: Path, batches: list[list[Statement]]) -> float:
    """Seconds for the same rows by sqlite3 alone, into tables and indexes of the same form."""
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
    start = time.perf_counter()
    for batch in batches:
        connection.execute("BEGIN IMMEDIATE")
        for statement, rows in batch:
            connection.executemany(statement, rows)
        connection.execute("COMMIT")
    seconds = time.perf_counter() - start
    connection.close()
    return seconds


if __name__ == "__main__":
    main()
