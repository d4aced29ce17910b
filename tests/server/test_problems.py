"""Bad input: one clear error shape everywhere, and the server carries on (RFC 9457)."""

import gzip
import json
from typing import Any

import pytest
from litestar import get

from tests.server.conftest import Desk, Shop, problem_of, said
from tests.server.shop_events import Writer, code
from traymark.api.headers import CONTENT_SECURITY_POLICY
from traymark.api.problems import on_bug
from traymark.tables import problems

HEADER = {"incarnation": "7K2", "first_seq": 1, "prev": "0" * 64, "head": "0" * 64}


def header(**changed: Any) -> bytes:
    return json.dumps(HEADER | changed).encode() + b"\n{}"


BAD_PUSHES: dict[str, tuple[bytes, str, str | None]] = {
    "nothing": (b"", "request-malformed", None),
    "not json": (b"{", "request-malformed", None),
    "not utf-8": (b"\xff\xfe\n{}", "request-malformed", None),
    "an array": (b"[]\n{}", "bad-field", ""),
    "nested": (b"[" * 100_000, "bad-field", ""),
    "a field missing": (b'{"incarnation":"7K2"}\n{}', "missing-field", "/first_seq"),
    "a field too many": (header(more=1), "unknown-field", "/more"),
    "seq 0": (header(first_seq=0), "bad-field", "/first_seq"),
    "seq as text": (header(first_seq="1"), "bad-field", "/first_seq"),
    "seq with a point": (header(first_seq=1.5), "bad-field", "/first_seq"),
    "seq beyond 2^53": (header(first_seq=2**53), "bad-field", "/first_seq"),
    "huge seq": (header(first_seq=10**40), "bad-field", "/first_seq"),
    "short hash": (header(prev="0" * 63), "bad-field", "/prev"),
    "hash in capitals": (header(head="A" * 64), "bad-field", "/head"),
    "hash with a line feed": (header(head="0" * 64 + "\n"), "bad-field", "/head"),
    "incarnation with script": (header(incarnation="<script>"), "bad-field", "/incarnation"),
    "null": (header(incarnation=None), "bad-field", "/incarnation"),
}


@pytest.mark.parametrize("name", BAD_PUSHES)
def test_bad_push_is_refused_with_a_pointer(shop: Shop, desk: Desk, writer: Writer, name: str) -> None:
    content, slug, pointer = BAD_PUSHES[name]
    told = problem_of(desk.ask("POST", "/api/sync/push", content=content), slug)
    if pointer is not None:
        assert told["errors"][0]["pointer"] == pointer
    writer.write("note.added", code("J", "7K2", 1), {"note": "Still there"})
    assert desk.push(writer).status_code == 200
    shop.check_log()


def test_oversize_push_is_refused_plain_chunked_and_inflated(shop: Shop, desk: Desk, writer: Writer) -> None:
    limit = 262_144
    problem_of(desk.ask("POST", "/api/sync/push", content=b"x" * (limit + 1)), "body-too-large")

    def in_parts() -> Any:
        yield from (b"x" * 65_536 for _ in range(5))

    problem_of(desk.ask("POST", "/api/sync/push", content=in_parts()), "body-too-large")
    gzipped = {"Content-Encoding": "gzip"}
    bomb = gzip.compress(bytes(200_000_000), 9)
    assert len(bomb) < limit
    problem_of(desk.ask("POST", "/api/sync/push", content=bomb, headers=gzipped), "body-too-large")
    shop.check_log()


@pytest.mark.parametrize(
    "content",
    [b"not gzip", gzip.compress(b"{}")[:-4], gzip.compress(b"{}") + b"more", gzip.compress(b"{}") * 2, b""],
    ids=["not gzip", "cut short", "something after", "two members", "nothing"],
)
def test_body_that_does_not_inflate_is_refused(desk: Desk, content: bytes) -> None:
    answer = desk.ask("POST", "/api/sync/push", content=content, headers={"Content-Encoding": "gzip"})
    problem_of(answer, "request-malformed")


def test_unknown_encoding_is_refused(desk: Desk) -> None:
    answer = desk.ask("POST", "/api/sync/push", content=b"{}", headers={"Content-Encoding": "br"})
    problem_of(answer, "request-malformed")


BAD_DOCS: dict[str, tuple[bytes, str]] = {
    "nothing": (b"", "request-malformed"),
    "not json": (b"{", "request-malformed"),
    "an array": (b"[]", "bad-field"),
    "a field missing": (b'{"kind":"contact"}', "missing-field"),
    "a field too many": (b'{"kind":"contact","body":null,"x":1}', "unknown-field"),
    "body as text": (b'{"kind":"contact","body":"x"}', "bad-field"),
    "not a number": (b'{"kind":"contact","body":NaN}', "request-malformed"),
    "too large": (b'{"kind":"contact","body":{"name":"' + b"x" * 262_144 + b'"}}', "body-too-large"),
    "nested": (b'{"kind":"contact","body":' + b'{"a":' * 50_000, "request-malformed"),
}


@pytest.mark.parametrize("name", BAD_DOCS)
def test_bad_card_is_refused(shop: Shop, desk: Desk, name: str) -> None:
    content, slug = BAD_DOCS[name]
    problem_of(desk.ask("PUT", f"/api/docs/{'a' * 20}", content=content), slug)
    assert desk.ask("GET", "/api/docs").json()["docs"] == []
    assert shop.client.get("/api/health").json()["ok"] is True


@pytest.mark.parametrize(
    "path",
    [
        "/nope", "/api", "/api/nope", "/assets/../../../etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd", "/..%2f..%2fetc%2fpasswd",
        "/index.html%00", "/assets/%00", "/api/docs/a/b", "/traymark.sqlite", "//etc/passwd",
    ],
)  # fmt: skip
def test_unknown_address_is_a_problem_with_all_headers(shop: Shop, path: str) -> None:
    answer = shop.client.get(path)
    problem_of(answer, "not-found")
    assert answer.headers["content-security-policy"] == CONTENT_SECURITY_POLICY


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [
        ("POST", "/api/health", "GET, OPTIONS"),
        ("GET", "/api/sync/push", "OPTIONS, POST"),
        ("DELETE", f"/api/blobs/{'0' * 64}", "GET, HEAD, OPTIONS, PUT"),
        ("POST", "/", "GET, HEAD, OPTIONS"),
    ],
)
def test_wrong_method_names_the_right_ones(shop: Shop, method: str, path: str, allowed: str) -> None:
    answer = shop.client.request(method, path)
    problem_of(answer, "method-not-allowed")
    assert answer.headers["allow"] == allowed


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("POST", "/api/sync/push"), ("GET", "/api/sync/pull"), ("GET", "/api/sync/stream"), ("GET", "/api/docs"),
        ("PUT", f"/api/docs/{'a' * 20}"), ("GET", f"/api/blobs/{'0' * 64}"), ("PUT", f"/api/blobs/{'0' * 64}"),
        ("GET", "/api/state"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("cookie", [None, "", "wrong", "x" * 5_000, "\x00"])
def test_without_a_stations_cookie_nothing_is_revealed(
    shop: Shop, desk: Desk, method: str, path: str, cookie: str | None
) -> None:
    headers = {} if cookie is None else {"Cookie": f"__Host-traymark={cookie}"}
    problem_of(shop.client.request(method, path, headers=headers), "station-unknown")


@pytest.mark.parametrize("origin", ["https://evil.test", "null", "http://shop.test", "https://shop.test.evil.test"])
def test_writing_from_another_sites_page_is_refused(shop: Shop, desk: Desk, writer: Writer, origin: str) -> None:
    writer.write("note.added", code("J", "7K2", 1), {"note": "x"})
    answer = desk.ask("POST", "/api/sync/push", content=writer.body(), headers={"Origin": origin})
    problem_of(answer, "origin-foreign")
    assert shop.store.position() == 0
    own = desk.ask("POST", "/api/sync/push", content=writer.body(), headers={"Origin": "https://shop.test"})
    assert own.status_code == 200


def test_script_in_every_text_of_an_event_is_kept_as_the_text_that_it_is(
    shop: Shop, desk: Desk, writer: Writer
) -> None:
    evil = "<script>alert(1)</script>{{7*7}}'; DROP TABLE event;--"
    job = code("J", "7K2", 1)
    writer.write("note.added", job, {"note": evil})
    writer.write("stop.lifted", job, {"reason": "other", "plan": "go_on", "why": evil})
    writer.write("test.read", job, {"stage": "intake", "point": "touch", "result": "cannot", "why": evil})
    writer.write("part.received", None, {
        "part": code("P", "7K2", 1), "name": evil, "part_kind": "display", "supplier": "north", "lot": evil[:40],
        "shipping_caution": "none",
    })  # fmt: skip
    desk.put_texts(writer)
    assert desk.push(writer).json()["malformed"] == []
    answer = desk.ask("GET", "/api/sync/pull")
    assert answer.headers["content-type"].startswith("text/plain")
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.text.count("DROP TABLE") == 1
    record = shop.store.record("job", job)
    assert record is not None
    assert said(shop, record["notes"][0]["note"]) == evil
    docs = desk.ask("GET", "/api/docs")
    assert docs.headers["content-type"] == "application/json"
    assert docs.text.count("DROP TABLE") == 1  # three times the same text about the same job
    shop.check_log()


def test_bug_is_reported_without_its_text(shop: Shop) -> None:
    @get("/broken")
    async def broken() -> None:
        raise RuntimeError("secret detail of the inside")

    app = shop.client.app
    app.register(broken)
    answer = shop.client.get("/broken")
    problem_of(answer, "internal")
    assert "secret" not in answer.text
    assert answer.headers["content-security-policy"] == CONTENT_SECURITY_POLICY
    assert shop.client.get("/api/health").status_code == 200
    assert app.exception_handlers[Exception] is on_bug


def test_every_answer_carries_the_security_headers(shop: Shop, desk: Desk) -> None:
    for path in ("/", "/api/health", "/nope", "/problems/busy"):
        headers = shop.client.get(path).headers
        assert headers["content-security-policy"] == CONTENT_SECURITY_POLICY
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert "camera=(self)" in headers["permissions-policy"]
        assert headers["cross-origin-opener-policy"] == "same-origin"
        assert "max-age" in headers["strict-transport-security"]


def test_strict_transport_is_asked_for_only_where_there_is_https(shop: Shop) -> None:
    for scheme, is_asked in (("http", False), ("https", True)):
        answer = shop.client.get(f"{scheme}://shop.test/api/health")
        assert ("strict-transport-security" in answer.headers) is is_asked


def test_every_problem_type_has_a_page(shop: Shop) -> None:
    for slug, row in problems().items():
        answer = shop.client.get(f"/problems/{slug}")
        assert answer.status_code == 200
        assert row["title"] in answer.text
        assert row["next"] in answer.text
    problem_of(shop.client.get("/problems/no-such-thing"), "not-found")
