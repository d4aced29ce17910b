"""One file, one writing process, and what others see while it writes."""

import sqlite3
from pathlib import Path

import pytest

from tests.server.conftest import DATABASE, Desk, Shop, problem_of
from tests.server.shop_events import Writer, code
from traymark.log.database import Database, StoreInUse
from traymark.log.form import FORM, FormNewer, FormOlder, FormUnknown
from traymark.log.store import Store


@pytest.fixture(autouse=True)
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("traymark.log.database._BUSY_MS", 50)


def test_second_server_on_the_same_folder_is_refused(tmp_path: Path) -> None:
    first = Store(tmp_path / DATABASE)
    with pytest.raises(StoreInUse, match="another"):
        Store(tmp_path / DATABASE)
    beside = Store(tmp_path / DATABASE, sole_writer=False)
    assert beside.epoch == first.epoch
    beside.close()
    first.close()
    Store(tmp_path / DATABASE).close()


@pytest.mark.parametrize(("form", "refusal"), [(FORM + 98, FormNewer), (FORM - 1, FormOlder)])
def test_database_of_another_form_is_refused(tmp_path: Path, form: int, refusal: type[FormUnknown]) -> None:
    store = Store(tmp_path / DATABASE)
    with store.database.write() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = ?", (str(form),))
    store.close()
    with pytest.raises(refusal, match=f"form {form}"):
        Store(tmp_path / DATABASE)
    Database(tmp_path / DATABASE, any_form=True).close()


def test_every_connection_is_durable_and_keeps_foreign_keys(tmp_path: Path) -> None:
    database = Database(tmp_path / DATABASE)
    with database.read() as connection:
        pragmas = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys")
        }
    assert pragmas == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
    database.close()


def test_push_while_another_process_holds_the_file_is_told_to_retry_and_then_taken(
    shop: Shop, desk: Desk, writer: Writer
) -> None:
    writer.write("note.added", code("J", "7K2", 1), {"note": "Waits"})
    other = sqlite3.connect(shop.data_dir / DATABASE, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    problem_of(desk.push(writer), "busy")
    other.execute("ROLLBACK")
    other.close()
    assert desk.push(writer).json()["position"] == 1
    shop.check_log()


def test_reader_sees_one_moment_while_a_writer_carries_on(shop: Shop, desk: Desk, writer: Writer) -> None:
    writer.write("note.added", code("J", "7K2", 1), {"note": "One"})
    writer.write("note.added", code("J", "7K2", 1), {"note": "Two"})
    desk.push(writer, 1, 1)
    with shop.store.database.read() as connection:
        count = "SELECT count(*) FROM event"
        assert connection.exec_driver_sql(count).scalar() == 1
        assert desk.push(writer, 2, 2).status_code == 200
        assert connection.exec_driver_sql(count).scalar() == 1
    assert shop.store.position() == 2
