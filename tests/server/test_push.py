"""Taking batches into the log (F3.3 to F3.5, F4, F8.1)."""

import gzip
import threading

import msgspec
import pytest
from sqlalchemy import func
from sqlmodel import select

from tests.server.conftest import Desk, Shop, problem_of
from tests.server.shop_events import AT_MS, Writer, code, job_events, shop_day
from traymark.events.chain import genesis
from traymark.events.write import write_event
from traymark.log.rows import EventRow, ForkRow
from traymark.log.trace import events_of

JOB = code("J", "7K2", 1)


def note(writer: Writer, text: str = "Looked at it", at_ms: int = AT_MS) -> bytes:
    return writer.write("note.added", JOB, {"note": text}, at_ms)


def stored(shop: Shop) -> list[bytes]:
    with shop.store.database.read() as connection:
        return [row[0] for row in connection.execute(select(EventRow.raw).order_by(EventRow.position))]


def forks(shop: Shop) -> list[bytes]:
    with shop.store.database.read() as connection:
        return [row[0] for row in connection.execute(select(ForkRow.raw).order_by(ForkRow.id))]


def test_pushed_events_are_acknowledged_and_stored_byte_for_byte(shop: Shop, desk: Desk, writer: Writer) -> None:
    for kind, job, body in job_events(1):
        writer.write(kind, job, body)
    answer = desk.push(writer)
    assert answer.status_code == 200
    told = answer.json()
    assert (told["position"], told["seq"], told["incarnation"]) == (len(writer.lines), len(writer.lines), "7K2")
    assert told["head"] == writer.hashes[-1].hex()
    assert told["malformed"] == []
    assert told["epoch"] == shop.store.epoch
    assert stored(shop) == writer.lines
    shop.check_log()


def test_gzip_batch_is_taken_like_a_plain_one(shop: Shop, desk: Desk, writer: Writer) -> None:
    note(writer)
    body = gzip.compress(writer.body())
    answer = desk.ask("POST", "/api/sync/push", content=body, headers={"Content-Encoding": "gzip"})
    assert answer.status_code == 200
    assert stored(shop) == writer.lines
    shop.check_log()


def test_whole_batch_sent_again_is_acknowledged_and_stored_once(shop: Shop, desk: Desk, writer: Writer) -> None:
    note(writer)
    note(writer)
    first, second = desk.push(writer), desk.push(writer)
    assert first.json() == second.json()
    assert stored(shop) == writer.lines
    shop.check_log()


def test_batch_that_overlaps_the_log_adds_only_the_rest(shop: Shop, desk: Desk, writer: Writer) -> None:
    for n in range(6):
        note(writer, f"Note {n}")
    assert desk.push(writer, 1, 4).json()["position"] == 4
    answer = desk.push(writer, 3, 6)
    assert (answer.json()["position"], answer.json()["seq"]) == (6, 6)
    assert stored(shop) == writer.lines
    shop.check_log()


def test_old_batch_sent_again_is_acknowledged_only_up_to_its_own_end(desk: Desk, writer: Writer) -> None:
    for n in range(4):
        note(writer, f"Note {n}")
    desk.push(writer)
    told = desk.push(writer, 1, 2).json()
    assert (told["seq"], told["head"]) == (2, writer.hashes[2].hex())


def test_gap_is_refused_with_the_expected_seq(shop: Shop, desk: Desk, writer: Writer) -> None:
    for n in range(5):
        note(writer, f"Note {n}")
    desk.push(writer, 1, 2)
    told = problem_of(desk.push(writer, 4, 5), "chain-gap")
    assert told["expected_seq"] == 3
    assert desk.push(writer, 3, 5).json()["position"] == 5
    assert stored(shop) == writer.lines
    shop.check_log()


def test_batches_in_the_wrong_order_end_in_the_same_log(shop: Shop, desk: Desk, writer: Writer) -> None:
    for n in range(9):
        note(writer, f"Note {n}")
    problem_of(desk.push(writer, 7, 9), "chain-gap")
    problem_of(desk.push(writer, 4, 6), "chain-gap")
    for first in (1, 4, 7):
        assert desk.push(writer, first, first + 2).status_code == 200
    assert stored(shop) == writer.lines
    shop.check_log()


def test_fork_at_a_held_seq_is_kept_apart_and_changes_nothing(shop: Shop, desk: Desk, writer: Writer) -> None:
    copy = Writer("S7K2", "7K2")
    for chain in (writer, copy):
        note(chain, "Both wrote this")
    note(writer, "The one went on so")
    other = [note(copy, "The other went on so"), note(copy, "And further")]
    desk.push(writer)
    state = shop.store.state()
    for _ in range(2):
        told = problem_of(desk.push(copy), "chain-fork")
        assert told["seq"] == 2
    assert stored(shop) == writer.lines
    assert forks(shop) == other
    assert shop.store.state() == state
    shop.check_log()


def test_fork_right_after_the_end_is_a_fork_too(shop: Shop, desk: Desk, writer: Writer) -> None:
    copy = Writer("S7K2", "7K2")
    note(writer, "One")
    note(copy, "Other")
    last = note(copy, "Went on after the other")
    desk.push(writer)
    problem_of(desk.push(copy, 2, 2), "chain-fork")
    assert forks(shop) == [last]
    assert stored(shop) == writer.lines
    shop.check_log()


def test_station_continues_in_a_new_chain_after_a_fork(shop: Shop) -> None:
    desk = shop.enrol("S7K2", "7K2", "7K3")
    writer, copy, fresh = Writer("S7K2", "7K2"), Writer("S7K2", "7K2"), Writer("S7K2", "7K3")
    note(writer, "One")
    note(copy, "Other")
    desk.push(writer)
    problem_of(desk.push(copy), "chain-fork")
    fresh.write("station.began", None, {"reason": "forked", "old_incarnation": "7K2", "old_seq": 0})
    note(fresh, "Other")
    assert desk.push(fresh).json()["position"] == 3
    shop.check_log()


@pytest.mark.parametrize("member", ["prev", "head"])
def test_hash_that_does_not_fit_is_refused_and_nothing_is_stored(
    shop: Shop, desk: Desk, writer: Writer, member: str
) -> None:
    note(writer)
    told = problem_of(desk.push(writer, **{member: "0" * 64}), "chain-mismatch")
    assert told["errors"][0]["pointer"] == f"/{member}"
    assert stored(shop) == []
    assert forks(shop) == []


def test_incarnation_of_another_station_is_refused(shop: Shop, desk: Desk) -> None:
    shop.enrol("S7K9", "7K9")
    stranger = Writer("S7K2", "7K9")
    note(stranger)
    problem_of(desk.push(stranger), "incarnation-unknown")
    never = Writer("S7K2", "AAA")
    note(never)
    problem_of(desk.push(never), "incarnation-unknown")
    assert stored(shop) == []


MALFORMED = {
    "not json": (b"{", "event-not-json", ""),
    "no bytes": (b"", "event-not-json", ""),
    "not UTF-8": (b'"\xff\xfe"', "event-not-json", ""),
    "an array": (b"[]", "event-not-json", ""),
    "too large": (b" " * 16_385, "event-too-large", ""),
    "another station": (
        write_event("note.added", "S7K3", "7K2", 2, None, 1, JOB, {"note": "0" * 64}), "envelope-field", "/station",
    ),
    "another chain": (
        write_event("note.added", "S7K2", "7K3", 2, None, 1, JOB, {"note": "0" * 64}), "envelope-field", "/incarnation",
    ),
    "another place": (
        write_event("note.added", "S7K2", "7K2", 7, None, 1, JOB, {"note": "0" * 64}), "envelope-field", "/seq",
    ),
    "a field too many": (
        write_event("job.taken_over", "S7K2", "7K2", 2, None, 1, JOB, {"more": 1}), "unknown-field", "/body/more",
    ),
    "a field missing": (write_event("note.added", "S7K2", "7K2", 2, None, 1, JOB, {}), "missing-field", "/body/note"),
    "a wrong type": (write_event("note.added", "S7K2", "7K2", 2, None, 1, JOB, {"note": 5}), "bad-field", "/body/note"),
}  # fmt: skip


@pytest.mark.parametrize("name", MALFORMED)
def test_malformed_event_keeps_its_seq_and_has_no_effect(shop: Shop, desk: Desk, writer: Writer, name: str) -> None:
    raw, slug, pointer = MALFORMED[name]
    note(writer, "Before")
    writer.keep(raw)
    note(writer, "After")
    answer = desk.push(writer)
    assert answer.status_code == 200, answer.text
    assert answer.json()["malformed"] == [{"seq": 2, "slug": slug, "pointer": pointer}]
    assert desk.push(writer).json()["malformed"] == [{"seq": 2, "slug": slug, "pointer": pointer}]
    assert stored(shop) == writer.lines
    job = shop.store.record("job", JOB)
    assert job is not None
    assert [n["note"] for n in job["notes"]] == [text.id for text in writer.texts]
    _, lines = desk.pull()
    assert [line[1] for line in lines] == ["-", f"{slug}@7K2.2", "-"]
    shop.check_log()


def test_kind_and_version_from_the_future_are_stored_and_forwarded(shop: Shop, desk: Desk, writer: Writer) -> None:
    writer.write("device.dreamed", JOB, {"of": "electric sheep"})
    newer = msgspec.json.decode(write_event("note.added", "S7K2", "7K2", 2, None, 1, JOB, {"anything": True}))
    writer.keep(msgspec.json.encode(newer | {"v": 2}))
    note(writer)
    answer = desk.push(writer)
    assert answer.json()["malformed"] == []
    _, lines = desk.pull()
    assert [raw for _, _, raw in lines] == writer.lines
    assert [event.seq for event in events_of(shop.store, JOB, 9)] == [1, 2, 3]
    shop.check_log()


def test_trace_of_a_code_names_every_event_about_it(shop: Shop, desk: Desk, writer: Writer) -> None:
    box, core = code("B", "7K2", 1), code("C", "7K2", 1)
    writer.write("box.opened", None, {"box": box, "supplier": "north", "purpose": "credit"})
    writer.write("thing.moved", None, {"thing": core, "to": box, "after": []})
    writer.write("box.sealed", None, {"box": box, "count": 1, "weight_g": 90, "cores": [core]})
    desk.push(writer)
    assert [event.seq for event in events_of(shop.store, core, 9)] == [2, 3]
    assert [event.seq for event in events_of(shop.store, box, 9)] == [1, 2, 3]
    shop.check_log()


def test_clock_that_is_off_by_a_day_changes_no_order(shop: Shop) -> None:
    early, late = shop.enrol("S7K2", "7K2"), shop.enrol("S7K9", "7K9")
    ahead, behind = Writer("S7K2", "7K2"), Writer("S7K9", "7K9")
    day_ms = 24 * 3600 * 1000
    for n in range(3):
        note(ahead, f"From the future {n}", AT_MS + day_ms - 5 * n)
        early.push(ahead, n + 1)
        note(behind, f"From the past {n}", AT_MS - day_ms - 5 * n)
        late.push(behind, n + 1)
    in_turn = [line for pair in zip(ahead.lines, behind.lines, strict=True) for line in pair]
    assert stored(shop) == in_turn
    _, lines = early.pull()
    assert [position for position, _, _ in lines] == [1, 2, 3, 4, 5, 6]
    assert [raw for _, _, raw in lines] == in_turn
    job = shop.store.record("job", JOB)
    assert job is not None
    assert [n["event"] for n in job["notes"]] == ["7K2.1", "7K9.1", "7K2.2", "7K9.2", "7K2.3", "7K9.3"]
    shop.check_log()


def test_two_stations_that_push_at_the_same_time_get_positions_without_gaps(shop: Shop) -> None:
    writers = [Writer(f"S7K{n}", f"7K{n}") for n in range(3)]
    desks = [shop.enrol(w.station, w.incarnation) for w in writers]
    for w in writers:
        for kind, job, body in shop_day(120, 5, seed=int(w.station[3])):
            w.write(kind, job, body)
    failed: list[str] = []

    def drain(desk: Desk, writer: Writer) -> None:
        for first in range(1, 121, 10):
            answer = desk.push(writer, first, first + 9)
            if answer.status_code != 200:
                failed.append(answer.text)

    threads = [threading.Thread(target=drain, args=pair) for pair in zip(desks, writers, strict=True)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    with shop.store.database.read() as connection:
        assert connection.execute(select(func.count(), func.max(EventRow.position))).one() == (360, 360)
    shop.check_log()


def test_failed_transaction_leaves_neither_log_nor_memory_changed(
    shop: Shop, desk: Desk, writer: Writer, monkeypatch: pytest.MonkeyPatch
) -> None:
    note(writer, "Held")
    desk.push(writer)
    before = shop.store.state()
    note(writer, "Fails on the way to the disk")
    with monkeypatch.context() as broken:

        def fail(*_: object) -> None:
            raise OSError("disk full")

        broken.setattr("traymark.log.push.put_chain", fail)
        problem_of(desk.push(writer, 2), "internal")
    assert shop.store.state() == before
    shop.check_log()
    assert desk.push(writer, 2).json()["position"] == 2
    job = shop.store.record("job", JOB)
    assert job is not None
    assert len(job["notes"]) == 2
    shop.check_log()


def test_empty_batch_is_refused(desk: Desk, writer: Writer) -> None:
    header = {"incarnation": "7K2", "first_seq": 1, "prev": genesis("S7K2", "7K2").hex(), "head": "0" * 64}
    for content in (msgspec.json.encode(header), msgspec.json.encode(header) + b"\n"):
        problem_of(desk.ask("POST", "/api/sync/push", content=content), "request-malformed")


def test_batch_of_more_than_500_events_is_refused(shop: Shop, desk: Desk, writer: Writer) -> None:
    for _ in range(501):
        note(writer, "x")
    problem_of(desk.push(writer), "body-too-large")
    assert desk.push(writer, 1, 500).status_code == 200
    shop.check_log()
