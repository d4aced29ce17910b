"""The tray map over HTTP: a file for a joined station, a refusal for what does not exist."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from litestar.testing import TestClient

from traymark.app import create_app
from traymark.config import Settings
from traymark.docs.keep import put_doc
from traymark.stations.invites import make_invite

START_MS = 1_800_000_000_000
FILE = Path(__file__).resolve().parents[2] / "shared" / "procedures" / "quillet5-display.json"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient[Any]]:
    app = create_app(Settings(data_dir=tmp_path), lambda: START_MS)
    with TestClient(app, base_url="https://testserver.local") as opened:
        store = opened.app.state.store
        code = make_invite(store, "", "bench", START_MS).code
        assert opened.post("/api/join", json={"code": code}).status_code == 200
        body = json.loads(FILE.read_text(encoding="utf-8"))
        put_doc(store, "procedure:quillet5-display.1", "procedure", body, None)
        yield opened


def ask(client: TestClient[Any], **body: object) -> Any:
    return client.post("/api/tray-map", json={"procedure": "quillet5-display", "revision": 1} | body)


def test_map_is_a_file_to_print(client: TestClient[Any]) -> None:
    answer = ask(client)
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/pdf")
    assert answer.content.startswith(b"%PDF-")
    assert answer.content.count(b"/MediaBox") == 1


@pytest.mark.parametrize(
    ("body", "status"),
    [({"revision": 2}, 404), ({"procedure": "quillet5-other"}, 404), ({"revision": 0}, 400), ({"paper": "a4"}, 400),
     ({"procedure": "../shop"}, 400)],
)  # fmt: skip
def test_what_does_not_exist_is_refused(client: TestClient[Any], body: dict[str, object], status: int) -> None:
    answer = ask(client, **body)
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"


def test_nobody_else_gets_a_map(client: TestClient[Any]) -> None:
    client.cookies.clear()
    assert ask(client).status_code == 401
