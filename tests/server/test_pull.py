"""Reading the log from a cursor (F4.4, F8.2)."""

import gzip

import pytest

from tests.server.conftest import NOW_MS, Desk, Shop, problem_of
from tests.server.shop_events import Writer, code, shop_day
from traymark.events.chain import genesis
from traymark.log.pull import Cursor, read_after

JOB = code("J", "7K2", 1)


@pytest.fixture
def filled(desk: Desk, writer: Writer) -> Writer:
    for kind, job, body in shop_day(60, 3):
        writer.write(kind, job, body)
    desk.push(writer)
    return writer


def test_pull_from_the_start_gives_every_event_in_order(shop: Shop, desk: Desk, filled: Writer) -> None:
    header, lines = desk.pull(epoch=shop.store.epoch, after=0, limit=2000)
    assert [position for position, _, _ in lines] == list(range(1, 61))
    assert [raw for _, _, raw in lines] == filled.lines
    assert header == {
        "epoch": shop.store.epoch, "reset": False, "from": 1, "to": 60, "last": 60, "now_ms": NOW_MS,
        "head": filled.hashes[-1].hex(), "backed_up_ms": None,
        "chain": {"incarnation": "7K2", "seq": 60, "head": filled.hashes[-1].hex()},
    }  # fmt: skip


def test_pull_continues_after_the_cursor_until_nothing_is_left(shop: Shop, desk: Desk, filled: Writer) -> None:
    got: list[bytes] = []
    after = 0
    while True:
        header, lines = desk.pull(epoch=shop.store.epoch, after=after, limit=7)
        got += [raw for _, _, raw in lines]
        after = header["to"]
        if header["to"] == header["last"]:
            break
    assert got == filled.lines
    header, lines = desk.pull(epoch=shop.store.epoch, after=60)
    assert (header["from"], header["to"], lines) == (61, 60, [])


@pytest.mark.parametrize("cursor", [{"epoch": "another", "after": 40}, {"epoch": "", "after": 0}, {}])
def test_cursor_of_another_epoch_starts_over_at_the_first_event(
    desk: Desk, filled: Writer, cursor: dict[str, int]
) -> None:
    header, lines = desk.pull(**cursor)
    assert header["reset"] is True
    assert lines[0][0] == 1


def test_cursor_beyond_the_end_starts_over(shop: Shop, desk: Desk, filled: Writer) -> None:
    header, lines = desk.pull(epoch=shop.store.epoch, after=61)
    assert header["reset"] is True
    assert len(lines) == 60


def test_new_epoch_is_announced_and_kept(shop: Shop, desk: Desk, filled: Writer) -> None:
    old = shop.store.epoch
    new = shop.store.begin_epoch()
    assert new != old
    assert desk.pull(epoch=old, after=60)[0]["reset"] is True
    assert desk.pull(epoch=new, after=60)[0]["reset"] is False


def test_answer_is_compressed_for_clients_that_accept_it(desk: Desk, filled: Writer) -> None:
    plain = desk.ask("GET", "/api/sync/pull", headers={"Accept-Encoding": "identity"})
    assert "content-encoding" not in plain.headers
    with desk.client.stream("GET", "/api/sync/pull", headers=desk.headers | {"Accept-Encoding": "gzip"}) as answer:
        assert answer.headers["content-encoding"] == "gzip"
        assert gzip.decompress(b"".join(answer.iter_raw())) == plain.content


def test_answer_ends_with_the_event_that_reaches_the_size(shop: Shop, desk: Desk, writer: Writer) -> None:
    for n in range(180):
        points = [f"p{n:03}-{m:02}-{'x' * 30}" for m in range(15)]
        writer.write("final.rechecked", JOB, {"round": 1, "points": points})
    for first in range(1, 180, 60):
        desk.push(writer, first, first + 59)
    pulled = read_after(shop.store, "S7K2", Cursor(shop.store.epoch, 0), 2000, 10_000)
    size = sum(len(e.raw) for e in pulled.events)
    assert size >= 10_000
    assert size - len(pulled.events[-1].raw) < 10_000
    assert pulled.last == 180


def test_station_without_a_chain_gets_none_and_one_without_events_gets_its_genesis(shop: Shop) -> None:
    assert shop.enrol("S7K8").pull()[0]["chain"] is None
    chain = shop.enrol("S7K9", "7K9").pull()[0]["chain"]
    assert chain == {"incarnation": "7K9", "seq": 0, "head": genesis("S7K9", "7K9").hex()}


def test_station_with_several_chains_gets_the_newest(shop: Shop) -> None:
    assert shop.enrol("S7K9", "ZZZ", "AAA").pull()[0]["chain"]["incarnation"] == "AAA"


@pytest.mark.parametrize(
    "query", [{"after": -1}, {"after": "x"}, {"limit": 0}, {"limit": 2001}, {"after": 2**53}, {"epoch": "e" * 65}]
)
def test_query_that_does_not_fit_is_refused_by_name(desk: Desk, query: dict[str, object]) -> None:
    told = problem_of(desk.ask("GET", "/api/sync/pull", params=query), "request-malformed")
    assert next(iter(query)) in told["detail"]


def test_a_cursor_at_another_event_than_the_log_has_there_starts_over(shop: Shop, desk: Desk, filled: Writer) -> None:
    epoch = shop.store.epoch
    right, wrong = filled.hashes[30].hex(), filled.hashes[31].hex()
    assert desk.pull(epoch=epoch, after=30, head=right)[0]["reset"] is False
    header, lines = desk.pull(epoch=epoch, after=30, head=wrong)
    assert header["reset"] is True and lines[0][0] == 1
