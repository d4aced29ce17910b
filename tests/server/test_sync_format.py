"""App and server tell each other which format they talk in, and the server refuses an app that is too old (F8.10)."""

from typing import Any

import pytest

from tests.server.conftest import Desk, Shop, problem_of
from tests.server.shop_events import Writer, code
from traymark.tables import table

HEADER = "Traymark-Format"
OWN = table("sync_format")["format"]


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> int:
    """As if the format had been raised by two, and this server still understood the one before."""
    monkeypatch.setitem(table("sync_format"), "format", OWN + 2)
    monkeypatch.setitem(table("sync_format"), "oldest", OWN + 1)
    return OWN + 2


def told(number: object) -> dict[str, Any]:
    return {"headers": {HEADER: str(number)}}


def test_a_version_understands_itself() -> None:
    assert 1 <= table("sync_format")["oldest"] <= OWN


def test_every_answer_to_the_app_names_the_number(shop: Shop, desk: Desk) -> None:
    for answer in (desk.ask("GET", "/api/station"), shop.client.get("/api/nope"), shop.client.get("/api/sync/pull")):
        assert answer.headers[HEADER] == str(OWN)
    assert HEADER not in shop.client.get("/problems/busy").headers


def test_an_app_that_is_too_old_is_told_so_and_nothing_of_it_is_taken(
    shop: Shop, desk: Desk, writer: Writer, later: int
) -> None:
    writer.write("note.added", code("J", "7K2", 1), {"note": "From an older app"})
    problem = problem_of(desk.ask("POST", "/api/sync/push", content=writer.body(), **told(OWN)), "app-too-old")
    assert "stays here" in problem["next"]
    problem_of(desk.ask("GET", "/api/sync/pull", **told(OWN)), "app-too-old")
    problem_of(desk.ask("PUT", f"/api/docs/{'c' * 20}", json={}, **told(OWN)), "app-too-old")
    assert shop.store.position() == 0


@pytest.mark.parametrize("above", [-1, 0, 1, 40])
def test_an_app_of_the_same_the_one_before_or_a_later_format_keeps_syncing(
    desk: Desk, writer: Writer, later: int, above: int
) -> None:
    writer.write("note.added", code("J", "7K2", 1), {"note": "Taken"})
    answer = desk.ask("POST", "/api/sync/push", content=writer.body(), **told(later + above))
    assert answer.json()["position"] == 1
    assert answer.headers[HEADER] == str(later)


@pytest.mark.parametrize("number", ["", "old", "-1", "1.0", "9" * 5_000, "²"])
def test_what_names_no_number_is_not_judged(desk: Desk, later: int, number: str) -> None:
    assert desk.ask("GET", "/api/station").status_code == 200
    answer = desk.ask("GET", "/api/station", headers={HEADER: number.encode()})
    assert answer.status_code == 200
