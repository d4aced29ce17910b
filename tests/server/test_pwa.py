"""The built app as the server delivers it, and a server without one."""

import gzip
from pathlib import Path

import pytest
from litestar import Litestar
from litestar.testing import TestClient

from traymark.api.pwa import static_handlers

SCRIPT = b"console.log(1);" * 200


@pytest.fixture
def client(tmp_path: Path) -> TestClient[Litestar]:
    (tmp_path / "assets").mkdir()
    (tmp_path / "index.html").write_bytes(b"<!doctype html><title>Traymark</title>")
    (tmp_path / "sw.js").write_bytes(SCRIPT)
    (tmp_path / "manifest.webmanifest").write_bytes(b"{}")
    (tmp_path / "assets" / "index-abc.js").write_bytes(SCRIPT)
    (tmp_path / "assets" / "reader-abc.wasm").write_bytes(b"\0asm" + bytes(100))
    return TestClient(Litestar(static_handlers(tmp_path), openapi_config=None))


@pytest.mark.parametrize(
    ("path", "media_type", "cache"),
    [
        ("/", "text/html", "no-cache"),
        ("/index.html", "text/html", "no-cache"),
        ("/sw.js", "text/javascript", "no-cache"),
        ("/manifest.webmanifest", "application/manifest+json", "no-cache"),
        ("/assets/index-abc.js", "text/javascript", "public, max-age=31536000, immutable"),
        ("/assets/reader-abc.wasm", "application/wasm", "public, max-age=31536000, immutable"),
    ],
)
def test_file_has_its_type_and_cache_time(client: TestClient[Litestar], path: str, media_type: str, cache: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 200
    assert answer.headers["content-type"].split(";")[0] == media_type
    assert answer.headers["cache-control"] == cache
    assert client.head(path).content == b""


def test_compressed_file_is_for_clients_that_accept_it(client: TestClient[Litestar]) -> None:
    with client.stream("GET", "/sw.js", headers={"Accept-Encoding": "gzip, br"}) as answer:
        assert answer.headers["content-encoding"] == "gzip"
        assert gzip.decompress(b"".join(answer.iter_raw())) == SCRIPT
    for accepted in ("identity", "gzip;q=0", ""):
        answer = client.get("/sw.js", headers={"Accept-Encoding": accepted})
        assert "content-encoding" not in answer.headers
        assert answer.content == SCRIPT


def test_file_that_the_browser_has_is_not_sent_again(client: TestClient[Litestar]) -> None:
    etag = client.get("/").headers["etag"]
    answer = client.get("/", headers={"If-None-Match": etag})
    assert (answer.status_code, answer.content) == (304, b"")
    assert client.get("/", headers={"If-None-Match": '"other"'}).status_code == 200


@pytest.mark.parametrize("path", ["/assets/../sw.js", "/assets/%2e%2e/sw.js", "/assets/", "/assets", "/nope.js"])
def test_only_listed_files_exist(client: TestClient[Litestar], path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 404 or answer.request.url.path == "/sw.js"


def test_server_without_the_built_app_says_so() -> None:
    client = TestClient(Litestar(static_handlers(None), openapi_config=None))
    answer = client.get("/")
    assert answer.status_code == 200
    assert answer.text.startswith("The app is not built.")
    assert answer.headers["cache-control"] == "no-store"
