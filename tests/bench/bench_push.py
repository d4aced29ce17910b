"""What an event costs the server: pushes over a socket to a server process, beside bare SQLite writing the same rows.

    python tests/bench/bench_push.py [--before COMMIT] [--rounds N]

A station that joined as stations do sends whole jobs (whole_jobs.py) in gzipped batches of 500. The bare side writes
the very rows that each batch leaves behind (events, trace index, chain end, records as they then stand), ready-made:
WAL, synchronous=FULL, one transaction a batch. With `--before` another commit's server takes as many events, of the
jobs that its own demo tells: kinds and fields may have come since.

In each round every side has its turn with the next stretch of the log, in changing order. What counts is the time of
the processor that the server's process took; a ratio is the median of the rounds' ratios. Nothing is asserted but that
every event was taken and that the log it left verifies.
"""

import argparse
import json
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any, NamedTuple

HERE = Path(__file__).resolve()
REPOSITORY = HERE.parents[2]
sys.path[:0] = [str(REPOSITORY / part) for part in (".", "tests/bench", "tests/server", "server", "labels")]

from joined_station import JoinedStation
from shop_events import Writer

from tests.server_process import ServerProcess
from traymark.app import DATABASE
from traymark.log.push import Batch, push
from traymark.log.store import Store
from traymark.refused import Refused

BATCH = 500
BATCHES_A_ROUND = 10
ROUNDS = 8
WHOLE_JOBS = "tests/bench/whole_jobs.py"
FIRST_WITH_JOBS = "6de9bbb"
"""A commit to compare with tells its own jobs; an older one, with no whole_jobs.py, gets the one of this commit."""
EVENTS_A_JOB = 140
"""A little less than there are, so that there are enough jobs."""
PRAGMAS = ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "secure_delete=FAST")
TABLES = ("event", "event_code", "chain", "record")

Statement = tuple[str, list[tuple[Any, ...]]]


class Took(NamedTuple):
    """Seconds of the processor, and by the clock."""

    processor_s: float
    clock_s: float


Turn = Callable[[int], Took]
"""Does a round's work."""


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--before", help="a commit whose server is measured beside this one's")
    asked.add_argument("--rounds", type=int, default=ROUNDS)
    options = asked.parse_args()
    with tempfile.TemporaryDirectory() as made, ExitStack() as stack:
        folder = Path(made)
        before = stack.enter_context(checked_out(options.before, folder / "before")) if options.before else None
        now = stack.enter_context(serving(REPOSITORY, folder / "now", options.rounds))
        turns: dict[str, Turn] = {"now": now.push, "bare": bare(folder, now, options.rounds)}
        if before is not None:
            turns["before"] = stack.enter_context(serving(before, folder / "old", options.rounds)).push
        report(take_turns(turns, options.rounds))


def take_turns(turns: dict[str, Turn], rounds: int) -> dict[str, list[Took]]:
    """The first round warms up and is not counted."""
    took: dict[str, list[Took]] = {name: [] for name in turns}
    for number in range(rounds + 1):
        for name in list(turns)[:: 1 if number % 2 else -1]:
            took[name].append(turns[name](number))
    return {name: each[1:] for name, each in took.items()}


def report(took: dict[str, list[Took]]) -> None:
    for name, each in took.items():
        us = [1e6 * t.processor_s / (BATCH * BATCHES_A_ROUND) for t in each]
        print(f"  {name:6} {statistics.median(us):5.1f} us of processor an event ({min(us):.1f} to {max(us):.1f})")
    ratios = {"server over bare SQLite, processor time": ratio(took, "now", "bare", 0)}
    ratios["server over bare SQLite, clock"] = ratio(took, "now", "bare", 1)
    if "before" in took:
        ratios["server over that of the commit before, processor time"] = ratio(took, "now", "before", 0)
    print(json.dumps({"bench": "push", "ratios": ratios}))


def ratio(took: dict[str, list[Took]], one: str, other: str, of: int) -> float:
    return round(statistics.median(a[of] / b[of] for a, b in zip(took[one], took[other], strict=True)), 2)


@contextmanager
def checked_out(commit: str, folder: Path) -> Iterator[Path]:
    """The files of a commit, with jobs of its own to tell."""
    git = ["git", "-C", str(REPOSITORY)]
    subprocess.run([*git, "worktree", "add", "--quiet", "--detach", str(folder), commit], check=True)
    try:
        if not (folder / WHOLE_JOBS).is_file():
            shown = subprocess.run(
                [*git, "show", f"{FIRST_WITH_JOBS}:{WHOLE_JOBS}"], stdout=subprocess.PIPE, check=True
            )
            (folder / WHOLE_JOBS).write_bytes(shown.stdout)
        yield folder
    finally:
        subprocess.run([*git, "worktree", "remove", "--force", str(folder)], check=True)


class Source(ServerProcess):
    """The server of some checkout."""

    loads_anew = True

    def __init__(self, source: Path, data_dir: Path) -> None:
        super().__init__(data_dir)
        self.source = source

    def environment(self) -> dict[str, str]:
        return super().environment() | {"PYTHONPATH": python_path(self.source)}


def python_path(source: Path) -> str:
    return os.pathsep.join(str(source / part) for part in ("server", "labels"))


class Pushed:
    """What a joined station sends, in gzipped batches, a round of them at a time."""

    def __init__(self, server: "Source", rounds: int) -> None:
        self.pid = server.pid
        self._station = JoinedStation(server)
        self.writer = self._station.writer
        batches = (rounds + 1) * BATCHES_A_ROUND
        for line in written_jobs(server.source, self.writer, batches * BATCH // EVENTS_A_JOB + 1)[: batches * BATCH]:
            self.writer.keep(line)
        self._bodies = [self._station.body(n * BATCH + 1, (n + 1) * BATCH) for n in range(batches)]

    def push(self, number: int) -> Took:
        """A round's batches, one after another, and what they cost the server."""
        bodies = self._bodies[number * BATCHES_A_ROUND : (number + 1) * BATCHES_A_ROUND]
        with self._station.connected() as connection:
            clock, processor = time.perf_counter(), processor_s(self.pid)
            for body in bodies:
                self._station.push(connection, body)
            return Took(processor_s(self.pid) - processor, time.perf_counter() - clock)


@contextmanager
def serving(source: Path, data_dir: Path, rounds: int) -> Iterator[Pushed]:
    """A server with a station; in the end its log is verified."""
    server = Source(source, data_dir)
    server.start()
    try:
        yield Pushed(server, rounds)
    finally:
        server.stop()
    checked = server.run("verify", "--data", str(data_dir), timeout_s=600)
    assert checked.returncode == 0, checked.stdout + checked.stderr


def written_jobs(source: Path, writer: Writer, jobs: int) -> list[bytes]:
    """The lines of whole jobs, as the demo of some checkout tells them."""
    command = [sys.executable, str(source / WHOLE_JOBS), writer.station, writer.incarnation, str(jobs)]
    written = subprocess.run(
        command, env={**os.environ, "PYTHONPATH": python_path(source)}, stdout=subprocess.PIPE, check=True
    )
    return written.stdout.splitlines()


def processor_s(pid: int) -> float:
    """What all threads of a process, those that are gone too, have used (POSIX clock_getcpuclockid, as in Linux)."""
    return time.clock_gettime((~pid << 3) | 2)


def bare(folder: Path, pushed: Pushed, rounds: int) -> Turn:
    """The same rows by sqlite3 alone, into tables and indexes of the same form."""
    model = folder / "model" / DATABASE
    batches = rows_of_batches(model, pushed.writer, (rounds + 1) * BATCHES_A_ROUND)
    connection = sqlite3.connect(folder / "bare.sqlite", isolation_level=None)
    for pragma in PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")
    with sqlite3.connect(model) as source:
        forms = source.execute(
            "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND tbl_name IN (?, ?, ?, ?)", TABLES
        )
        for (form,) in forms.fetchall():
            connection.execute(form)
    source.close()

    def write(number: int) -> Took:
        clock, processor = time.perf_counter(), time.thread_time()
        for batch in batches[number * BATCHES_A_ROUND : (number + 1) * BATCHES_A_ROUND]:
            connection.execute("BEGIN IMMEDIATE")
            for statement, rows in batch:
                connection.executemany(statement, rows)
            connection.execute("COMMIT")
        return Took(time.thread_time() - processor, time.perf_counter() - clock)

    return write


def rows_of_batches(path: Path, writer: Writer, batches: int) -> list[list[Statement]]:
    """What each batch's transaction leaves behind, found by pushing them into a log of their own."""
    store = Store(path)
    found: list[list[Statement]] = []
    records: dict[tuple[str, str], bytes] = {}
    with store.database.write() as connection:
        connection.exec_driver_sql(
            "INSERT INTO incarnation (prefix, station) VALUES (?, ?)", (writer.incarnation, writer.station)
        )
    for number in range(batches):
        first, last = number * BATCH + 1, (number + 1) * BATCH
        lines, hashes = writer.lines[first - 1 : last], writer.hashes
        answer = push(
            store, writer.station, Batch(writer.incarnation, first, hashes[first - 1], hashes[last], lines), 1
        )
        assert not isinstance(answer, Refused), answer
        with sqlite3.connect(path) as read:
            tables = [
                (name, read.execute(f"SELECT * FROM {name} WHERE position >= ?", (first,)).fetchall())
                for name in ("event", "event_code")
            ]
            tables.append(("chain", read.execute("SELECT * FROM chain").fetchall()))
            stand = {row[:2]: row for row in read.execute("SELECT * FROM record")}
        read.close()
        changed = [row for key, row in stand.items() if records.get(key) != row[2]]
        records = {key: row[2] for key, row in stand.items()}
        found.append([(insert_into(name, rows), rows) for name, rows in [*tables, ("record", changed)]])
    store.close()
    return found


def insert_into(table: str, rows: list[tuple[Any, ...]]) -> str:
    """Rows of the log are new; the other two kinds may stand in place of older ones."""
    marks = ", ".join("?" for _ in rows[0])
    match table:
        case "chain":
            put = " ON CONFLICT (incarnation) DO UPDATE SET seq = excluded.seq, head = excluded.head"
        case "record":
            put = (
                " ON CONFLICT (collection, key) DO UPDATE SET json_text = excluded.json_text, ticket = excluded.ticket"
            )
        case _:
            put = ""
    return f"INSERT INTO {table} VALUES ({marks}){put}"


if __name__ == "__main__":
    main()
