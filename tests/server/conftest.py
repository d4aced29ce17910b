"""A shop in a temporary folder, asked over HTTP, with a clock that stands still."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from litestar.testing import TestClient
from sqlmodel import insert

from tests.server.shop_events import Writer
from tests.server_process import ServerProcess
from traymark.api.who import COOKIE
from traymark.app import DATABASE, create_app
from traymark.config import Settings
from traymark.docs.keep import get_doc
from traymark.log.rows import IncarnationRow, StationRow
from traymark.log.store import Store
from traymark.log.verify import verify
from traymark.stations.tokens import hash_of

NOW_MS = 1_800_000_000_000


class Desk:
    """A station's HTTP client."""

    def __init__(self, client: TestClient[Any], station: str) -> None:
        self.client, self.station = client, station
        self.headers = {"Cookie": f"{COOKIE}=token-of-{station}"}

    def ask(self, method: str, path: str, **more: Any) -> httpx.Response:
        more["headers"] = self.headers | more.get("headers", {})
        return self.client.request(method, path, **more)

    def push(self, writer: Writer, first: int = 1, last: int | None = None, **header: Any) -> httpx.Response:
        return self.ask("POST", "/api/sync/push", content=writer.body(first, last, **header))

    def put_texts(self, writer: Writer) -> None:
        """Write the cards of what the events of this chain name."""
        for text in writer.texts:
            answer = self.ask("PUT", f"/api/docs/{text.id}", json={"kind": "text", "body": text._asdict()})
            assert answer.status_code == 200, answer.text

    def pull(self, **query: Any) -> tuple[dict[str, Any], list[tuple[int, str, bytes]]]:
        answer = self.ask("GET", "/api/sync/pull", params=query)
        assert answer.status_code == 200, answer.text
        return read_pull(answer)


def read_pull(answer: httpx.Response) -> tuple[dict[str, Any], list[tuple[int, str, bytes]]]:
    """The header and the lines of a pull answer."""
    first, *rest = answer.content.removesuffix(b"\n").split(b"\n")
    lines: list[tuple[int, str, bytes]] = []
    for line in rest:
        position, flag, raw = line.split(b"\t", 2)
        lines.append((int(position), flag.decode(), raw))
    return json.loads(first), lines


class Shop:
    """The server under test and its stations."""

    def __init__(self, client: TestClient[Any], data_dir: Path) -> None:
        self.client, self.data_dir = client, data_dir
        self.store: Store = client.app.state.store

    def enrol(self, station: str, *incarnations: str, role: str = "bench") -> Desk:
        enrol(self.store, station, *incarnations, role=role)
        return Desk(self.client, station)

    def check_log(self) -> None:
        """Check that everything the server holds is sound."""
        assert verify(self.store) == []


def enrol(store: Store, station: str, *incarnations: str, role: str = "bench") -> None:
    """A station with its incarnations, written straight into the database."""
    row = {
        "id": station,
        "name": "Bench",
        "role": role,
        "token_hash": hash_of(f"token-of-{station}"),
        "created_at_ms": 1,
    }
    with store.database.write() as connection:
        connection.execute(insert(StationRow).values(row))
        for prefix in incarnations:
            connection.execute(insert(IncarnationRow).values(prefix=prefix, station=station))


def said(shop: Shop, id_: str | None) -> str | None:
    """What a person wrote (F7.9), as the server keeps it; None once it was erased."""
    doc = None if id_ is None else get_doc(shop.store, id_)
    return None if doc is None or doc.body is None else json.loads(doc.body)["text"]


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(data_dir=tmp_path / "data")


@pytest.fixture
def shop(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shop]:
    # These tests do not care whether the app is built.
    monkeypatch.setattr("traymark.api.pwa.find_pwa", lambda: None)
    app = create_app(settings, clock=lambda: NOW_MS)
    with TestClient(app, base_url="https://shop.test", raise_server_exceptions=False) as client:
        yield Shop(client, settings.data_dir)


@pytest.fixture
def desk(shop: Shop) -> Desk:
    """A bench station with the incarnation 7K2."""
    return shop.enrol("S7K2", "7K2")


@pytest.fixture
def writer() -> Writer:
    """The chain of that station."""
    return Writer("S7K2", "7K2")


@pytest.fixture
def process(tmp_path: Path) -> Iterator[ServerProcess]:
    """The server as a separate process, with the same station and incarnation."""
    server = ServerProcess(tmp_path / "process")
    store = Store(server.data_dir / DATABASE)
    enrol(store, "S7K2", "7K2")
    store.close()
    server.start()
    yield server
    server.stop()


def problem_of(answer: httpx.Response, slug: str) -> dict[str, Any]:
    """Check that an answer has the one error shape, wherever it comes from."""
    assert answer.headers["content-type"] == "application/problem+json", answer.text
    told = answer.json()
    assert told["type"] == f"/problems/{slug}", told
    assert told["status"] == answer.status_code
    assert told["title"] and told["next"]
    assert "Traceback" not in answer.text
    if answer.status_code in (429, 503):
        assert int(answer.headers["retry-after"]) > 0
    return told
