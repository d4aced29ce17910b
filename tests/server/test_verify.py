"""Every kind of planted damage is found and named; what is derived can be rebuilt from the log (F5)."""

from collections.abc import Callable
from hashlib import sha256
from io import BytesIO

import pytest
from PIL import Image
from sqlalchemy import Connection

from tests.server.conftest import Desk, Shop
from tests.server.shop_events import Writer, code, shop_day
from traymark.events.chain import link
from traymark.log.rebuild import bring_up_to_date, fold_name, rebuild
from traymark.log.records import live_hash
from traymark.log.verify import Fault, verify

JOB = code("J", "7K2", 0)


@pytest.fixture
def filled(shop: Shop, desk: Desk, writer: Writer) -> Shop:
    """A sound log with two chains, a fork, a malformed event, a card and a photo."""
    for kind, job, body in shop_day(120, 3):
        writer.write(kind, job, body)
    writer.keep(b"not an event")
    desk.push(writer)
    other = Writer("S7K9", "7K9")
    other.write("note.added", JOB, {"note": "Seen from the other bench"})
    second = shop.enrol("S7K9", "7K9")
    second.push(other)
    fork = Writer("S7K9", "7K9")
    fork.write("note.added", JOB, {"note": "Written twice"})
    assert second.push(fork).status_code == 409
    contact = {"name": "Pat", "phone": "", "mail": ""}
    desk.ask("PUT", f"/api/docs/{'a' * 20}", json={"kind": "contact", "body": contact})
    out = BytesIO()
    Image.new("RGB", (20, 20), "white").save(out, "PNG")
    data = out.getvalue()
    assert desk.ask("PUT", f"/api/blobs/{sha256(data).hexdigest()}", content=data).status_code == 200
    shop.check_log()
    return shop


Damage = Callable[[Connection], object]


def sql(statement: str, *values: object) -> Damage:
    return lambda connection: connection.exec_driver_sql(statement, values)


def other_bytes_and_hash(connection: Connection) -> None:
    """A forger who also fixes the hash: then the next event's no longer follows."""
    raw, before = connection.exec_driver_sql(
        "SELECT e.raw, b.hash FROM event e JOIN event b ON b.position = 6 WHERE e.position = 7"
    ).one()
    forged = raw.replace(b"1795", b"1796", 1)
    assert forged != raw
    connection.exec_driver_sql("UPDATE event SET raw = ?, hash = ? WHERE position = 7", (forged, link(before, forged)))


DAMAGES: dict[str, tuple[Damage, str, str]] = {
    "a flipped byte": (
        sql("UPDATE event SET raw = CAST(replace(CAST(raw AS TEXT), 'W001', 'W002') AS BLOB) WHERE position = 5"),
        "event 5 (7K2.5)", "does not follow",
    ),
    "a changed hash": (
        sql("UPDATE event SET hash = zeroblob(32) WHERE position = 9"), "event 9 (7K2.9)", "does not follow",
    ),
    "forged bytes with their hash": (other_bytes_and_hash, "event 8 (7K2.8)", "does not follow"),
    "an event gone": (sql("DELETE FROM event WHERE position = 50"), "position 50", "missing"),
    "the last event gone": (sql("DELETE FROM event WHERE position = 122"), "chain 7K9", "not the end"),
    "an event moved to another position": (
        sql("UPDATE event SET position = 500 WHERE position = 60"), "event 500 (7K2.60)", "chain goes from 121 to 60",
    ),
    "another seq": (
        sql("UPDATE event SET seq = 900 WHERE position = 122"), "event 122 (7K9.900)", "chain goes from 0 to 900",
    ),
    "another kind": (
        sql("UPDATE event SET kind = 'job.booked' WHERE position = 122"), "event 122 (7K9.1)", "its bytes say",
    ),
    "a malformed event called sound": (
        sql("UPDATE event SET slug = NULL WHERE position = 121"), "event 121 (7K2.121)", "its bytes say",
    ),
    "a prefix taken away": (
        sql("DELETE FROM incarnation WHERE prefix = '7K9'"), "event 122 (7K9.1)", "never given out",
    ),
    "a prefix given to another": (
        sql("UPDATE incarnation SET station = 'S7K2' WHERE prefix = '7K9'"), "event 122 (7K9.1)", "does not follow",
    ),
    "a station gone": (sql("DELETE FROM station WHERE id = 'S7K9'"), "incarnation 7K9", "not there"),
    "a chain's end": (sql("UPDATE chain SET seq = 3 WHERE incarnation = '7K2'"), "chain 7K2", "not the end"),
    "a trace entry gone": (
        sql("DELETE FROM event_code WHERE code = ? AND position = 122", JOB), f"trace of {JOB}", "lacks event 122",
    ),
    "a trace entry too many": (
        sql("INSERT INTO event_code VALUES ('T7K2000000', 122)"), "trace of T7K2000000", "names event 122",
    ),
    "a changed record": (
        sql("UPDATE record SET json_text = CAST(replace(CAST(json_text AS TEXT), '\"Quillet 5\"', '\"Other\"') AS BLOB)"
            " WHERE key = ?", JOB),
        f"record job/{JOB}", "is not what",
    ),
    "a record that is not JSON": (
        sql("UPDATE record SET json_text = x'00' WHERE key = ?", JOB), f"record job/{JOB}", "is not what",
    ),
    "a record gone": (sql("DELETE FROM record WHERE key = ?", JOB), f"record job/{JOB}", "missing"),
    "a record too many": (
        sql("INSERT INTO record VALUES ('job', 'J7K2ZZZZZ0', x'7b7d', NULL, NULL, NULL)"),
        "record job/J7K2ZZZZZ0", "no event",
    ),
    "another job's ticket": (
        sql("UPDATE record SET ticket = 'x' WHERE key = ?", JOB), f"record job/{JOB}", "another ticket",
    ),
    "changed bytes of a fork": (sql("UPDATE fork SET raw = x'7b7d'"), "fork row 1", "does not follow"),
    "a card that is not JSON": (sql("UPDATE doc SET body = '[' "), f"document {'a' * 20}", "not a JSON object"),
}  # fmt: skip


@pytest.mark.parametrize("name", DAMAGES)
def test_damage_is_found_and_located(filled: Shop, name: str) -> None:
    damage, where, what = DAMAGES[name]
    with filled.store.database.write() as connection:
        damage(connection)
    faults = verify(filled.store)
    assert any(f.where == where and what in f.what for f in faults), faults


def test_changed_bit_of_a_photo_is_found(filled: Shop) -> None:
    path = next(p for p in (filled.data_dir / "blobs").rglob("*") if p.is_file())
    data = bytearray(path.read_bytes())
    data[-1] ^= 1
    path.write_bytes(data)
    assert verify(filled.store) == [Fault(f"photo {path.name}", "its bytes are not what its name says")]


def test_lost_photo_is_found(filled: Shop) -> None:
    path = next(p for p in (filled.data_dir / "blobs").rglob("*") if p.is_file())
    path.unlink()
    assert verify(filled.store) == [Fault(f"photo {path.name}", "its file is missing")]


def test_one_changed_event_is_one_fault_of_its_chain(filled: Shop) -> None:
    with filled.store.database.write() as connection:
        connection.exec_driver_sql("UPDATE event SET hash = zeroblob(32) WHERE position = 9")
    assert [f.where for f in verify(filled.store)] == ["event 9 (7K2.9)", "event 10 (7K2.10)"]


def test_rebuild_makes_the_same_state_from_the_log_alone(filled: Shop) -> None:
    before = filled.store.state()
    with filled.store.database.write() as connection:
        for table in ("record", "event_code", "chain"):
            connection.exec_driver_sql(f"DELETE FROM {table}")  # the three names above
        connection.exec_driver_sql("UPDATE event SET kind = NULL, slug = 'x', pointer = NULL")
    assert verify(filled.store) != []
    assert rebuild(filled.store) == 122
    assert filled.store.state() == before
    filled.check_log()


def test_rebuild_of_a_sound_log_changes_nothing(filled: Shop, desk: Desk, writer: Writer) -> None:
    before = filled.store.state()
    rebuild(filled.store)
    assert filled.store.state() == before
    writer.write("note.added", JOB, {"note": "After the rebuild"})
    assert desk.push(writer, len(writer.lines)).json()["position"] == 123
    filled.check_log()


def test_log_folded_by_other_tables_is_folded_again_at_start_up(filled: Shop) -> None:
    assert bring_up_to_date(filled.store) is None
    with filled.store.database.write() as connection:
        connection.exec_driver_sql("UPDATE meta SET value = 'older' WHERE key = 'fold'")
        connection.exec_driver_sql("DELETE FROM record")
    assert bring_up_to_date(filled.store) == 122
    filled.check_log()
    with filled.store.database.read() as connection:
        held = connection.exec_driver_sql("SELECT value FROM meta WHERE key = 'fold'").scalar()
    assert held == fold_name()


def test_state_over_http_is_the_state_of_the_records(filled: Shop, desk: Desk) -> None:
    with filled.store.database.read() as connection:
        hash_ = live_hash(connection)
    assert desk.ask("GET", "/api/state").json() == {"position": 122, "state_hash": hash_}


def test_only_events_after_a_position_are_checked_when_that_is_asked(filled: Shop) -> None:
    damage, where, _ = DAMAGES["a flipped byte"]  # event 5
    with filled.store.database.write() as connection:
        damage(connection)
    assert where in [fault.where for fault in verify(filled.store)]
    assert verify(filled.store, since=5) == []
    with filled.store.database.write() as connection:
        connection.exec_driver_sql("UPDATE event SET hash = zeroblob(32) WHERE position = 90")
    assert [fault.where for fault in verify(filled.store, since=5)][:1] == ["event 90 (7K2.90)"]


def test_what_is_put_away_is_verified_and_rebuilt_too(filled: Shop, desk: Desk, writer: Writer) -> None:
    writer.write("job.put_away", JOB, {"things": []})
    writer.write("note.added", JOB, {"note": "found later"})
    desk.push(writer)
    chain = filled.store.record("chain", "7K2")
    assert chain is not None
    assert [late["code"] for late in chain["late"].values()] == [JOB]
    job = filled.store.record("job", JOB)
    assert job is not None and job["notes"][-1]["note"] == writer.texts[-1].id
    filled.check_log()
    before = filled.store.state()
    with filled.store.database.write() as connection:
        connection.exec_driver_sql("UPDATE archive SET json_text = replace(json_text, 'Quillet', 'Quilted')")
    assert [fault.where for fault in verify(filled.store)] == [f"archive job/{JOB}"]
    rebuild(filled.store)
    filled.check_log()
    assert filled.store.state() == before and filled.store.record("job", JOB) == job
