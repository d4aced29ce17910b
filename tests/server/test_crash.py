"""A server killed at any moment: nothing acknowledged is lost, nothing is applied twice."""

import random
import threading

import httpx
import pytest

from tests.server.conftest import read_pull
from tests.server.shop_events import Writer, shop_day
from tests.server_process import ServerProcess
from traymark.app import DATABASE
from traymark.log.store import Store
from traymark.log.verify import verify

BATCH = 20
HEADERS = {"Cookie": "__Host-traymark=token-of-S7K2"}


@pytest.fixture
def day() -> Writer:
    writer = Writer("S7K2", "7K2")
    for kind, job, body in shop_day(400, 10, seed=7):
        writer.write(kind, job, body)
    return writer


def push(server: ServerProcess, writer: Writer, first: int) -> httpx.Response:
    last = min(first + BATCH - 1, len(writer.lines))
    return httpx.post(f"{server.url}/api/sync/push", content=writer.body(first, last), headers=HEADERS, timeout=30)


def pulled(server: ServerProcess) -> list[bytes]:
    url = f"{server.url}/api/sync/pull?limit=2000"
    return [raw for _, _, raw in read_pull(httpx.get(url, headers=HEADERS))[1]]


def faults(server: ServerProcess) -> list[object]:
    """Verified from the files alone, while the server is down."""
    store = Store(server.data_dir / DATABASE, sole_writer=False)
    try:
        return list(verify(store))
    finally:
        store.close()


def test_server_killed_between_requests_has_everything_it_acknowledged(process: ServerProcess, day: Writer) -> None:
    for first in range(1, 61, BATCH):
        told = push(process, day, first).json()
        process.kill()
        assert faults(process) == []
        process.start()
        assert pulled(process) == day.lines[: told["seq"]]
        assert push(process, day, first).json()["position"] == told["seq"]
    assert pulled(process) == day.lines[:60]


def test_server_killed_in_the_middle_of_requests_loses_and_duplicates_nothing(
    process: ServerProcess, day: Writer
) -> None:
    dice = random.Random(3)  # only to choose when to kill
    acknowledged = 0
    for _ in range(5):
        timer = threading.Timer(dice.uniform(0.005, 0.08), process.kill)
        timer.start()
        try:
            while acknowledged < len(day.lines):
                acknowledged = push(process, day, acknowledged + 1).json()["seq"]
        except httpx.HTTPError:
            pass
        timer.join()
        process.kill()
        assert faults(process) == []
        process.start()
        held = pulled(process)
        assert len(held) >= acknowledged
        assert held == day.lines[: len(held)]
    while acknowledged < len(day.lines):
        acknowledged = push(process, day, acknowledged + 1).json()["seq"]
    assert pulled(process) == day.lines
    process.stop()
    assert faults(process) == []
