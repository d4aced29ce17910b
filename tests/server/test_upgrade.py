"""`traymark upgrade`: from the present form to an invented one, with the backup before it and all that may go wrong."""

import os
import signal
import sqlite3
import subprocess
import sys
import tarfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from tests.server.command import REPOSITORY, plain_environment
from tests.server.conftest import NOW_MS
from tests.server.data.make_form import PHOTO_NAME
from tests.server.invented_form import BROKEN, INVENTED, OF_THE_LOG, PATCHED, PRESENT, write_steps
from tests.server.test_migrations import said_before, says, stored_shop
from traymark.__main__ import main
from traymark.backup.form import BackupFailed
from traymark.backup.make import make_backup
from traymark.backup.restore import restore
from traymark.blobs.files import BlobFiles
from traymark.cli.say import CliError
from traymark.cli.serve import open_app
from traymark.config import Settings
from traymark.docs.keep import put_doc
from traymark.log.database import DATABASE, Database, lock_folder
from traymark.log.migrate import migrate
from traymark.log.rebuild import bring_up_to_date
from traymark.log.store import Store
from traymark.log.verify import verify

CONTACT = "c" * 20


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A shop in the present form, which is about to be an older one."""
    return stored_shop(PRESENT, tmp_path / "shop")


@pytest.fixture
def newer(tmp_path: Path, folder: Path) -> Iterator[pytest.MonkeyPatch]:
    """From here on the program is a version with one form more."""
    with pytest.MonkeyPatch.context() as patch:
        use_steps(patch, write_steps(tmp_path / "steps"))
        yield patch


def use_steps(patch: pytest.MonkeyPatch, steps: Path) -> None:
    for module, name in PATCHED:
        patch.setattr(module, name, INVENTED)
    patch.setattr("traymark.log.migrate.MIGRATIONS", steps)


def upgrade(folder: Path, *more: str) -> int:
    return main(["upgrade", "--data", str(folder), *more])


def dump_of(database: Path) -> list[str]:
    with closing(sqlite3.connect(database)) as opened:
        return list(opened.iterdump())


def form_of(database: Path) -> str:
    with closing(sqlite3.connect(database)) as opened:
        return opened.execute("SELECT version_num FROM alembic_version").fetchone()[0]


def backups_beside(folder: Path) -> list[Path]:
    return sorted(folder.parent.glob(f"{folder.name}.before-*.backup"))


Said = pytest.CaptureFixture[str]


@pytest.mark.usefixtures("newer")
class TestAnOlderForm:
    @pytest.mark.parametrize("command", [["verify"], ["rebuild"], ["enrol"], ["backup", "shop.backup"]])
    def test_is_refused_by_other_commands_which_name_the_one_that_helps(
        self, folder: Path, command: list[str], capsys: Said
    ) -> None:
        before = dump_of(folder / DATABASE)
        assert main([*command, "--data", str(folder)]) == 1
        told = capsys.readouterr().err
        assert f"form {PRESENT}" in told and f"form {INVENTED}" in told and "`traymark upgrade`" in told
        assert dump_of(folder / DATABASE) == before

    def test_is_refused_by_a_start_of_the_server(self, folder: Path) -> None:
        with pytest.raises(CliError, match="`traymark upgrade`"):
            open_app(Settings(data_dir=folder))
        assert form_of(folder / DATABASE) == str(PRESENT)

    def test_is_backed_up_then_upgraded_then_checked(self, folder: Path, capsys: Said) -> None:
        assert upgrade(folder) == 0
        told = capsys.readouterr().out
        [backup] = backups_beside(folder)
        assert str(backup) in told and "sound in the new form" in told
        assert f"had form {PRESENT} and has form {INVENTED} now" in told
        assert "made again from" in told and "All sound" in told
        assert form_of(folder / DATABASE) == str(INVENTED)
        with closing(sqlite3.connect(folder / DATABASE)) as opened:
            assert {row[0] for row in opened.execute("SELECT bench FROM station")} == {"none"}
        assert says(folder) == said_before(PRESENT)
        assert list(folder.glob(".traymark-*")) == []

    def test_is_in_the_backup_as_it_was(self, folder: Path, tmp_path: Path) -> None:
        before = dump_of(folder / DATABASE)
        assert upgrade(folder, "--backup", str(tmp_path / "mine.backup")) == 0
        assert backups_beside(folder) == []
        with tarfile.open(tmp_path / "mine.backup") as tar:
            assert f"blobs/{PHOTO_NAME}" in tar.getnames()
            held = tar.extractfile(DATABASE)
            assert held is not None
            (tmp_path / "held.sqlite").write_bytes(held.read())
        assert dump_of(tmp_path / "held.sqlite") == before

    def test_is_upgraded_once(self, folder: Path, capsys: Said) -> None:
        assert upgrade(folder) == 0
        after = dump_of(folder / DATABASE)
        capsys.readouterr()
        assert upgrade(folder) == 0
        assert "nothing to do" in capsys.readouterr().out
        assert len(backups_beside(folder)) == 1
        assert dump_of(folder / DATABASE) == after

    def test_is_left_alone_while_a_server_has_it(self, folder: Path, capsys: Said) -> None:
        before = dump_of(folder / DATABASE)
        lock = lock_folder(folder / DATABASE)
        assert upgrade(folder) == 1
        assert "stop it first" in capsys.readouterr().err
        lock.release()
        assert dump_of(folder / DATABASE) == before and backups_beside(folder) == []

    def test_is_not_upgraded_without_a_good_backup_unless_asked_to(self, folder: Path, capsys: Said) -> None:
        BlobFiles(folder).path(PHOTO_NAME).unlink()
        assert upgrade(folder) == 1
        assert "nothing was upgraded" in capsys.readouterr().err
        assert form_of(folder / DATABASE) == str(PRESENT) and backups_beside(folder) == []
        assert upgrade(folder, "--no-backup") == 1
        assert f"photo {PHOTO_NAME}: its file is missing" in capsys.readouterr().out
        assert form_of(folder / DATABASE) == str(INVENTED)

    def test_that_was_cut_off_before_it_was_folded_is_folded_by_the_next_start(self, folder: Path) -> None:
        with closing(Database(folder / DATABASE, any_form=True)) as database:
            assert migrate(database) == PRESENT
        with closing(Store(folder / DATABASE)) as store:
            assert verify(store) != []
            assert bring_up_to_date(store) == store.position()
        assert says(folder) == said_before(PRESENT)


@pytest.mark.parametrize("body", [OF_THE_LOG, BROKEN], ids=["touches the log", "fails half-way"])
@pytest.mark.parametrize("more", [[], ["--no-backup"]], ids=["with a backup", "without"])
def test_a_step_that_must_not_be_leaves_the_shop_as_it_was(
    newer: pytest.MonkeyPatch, folder: Path, tmp_path: Path, body: str, more: list[str], capsys: Said
) -> None:
    use_steps(newer, write_steps(tmp_path / "other steps", body))
    before = dump_of(folder / DATABASE)
    assert upgrade(folder, *more) == 1
    told = capsys.readouterr().err
    assert ("would have changed the log" if body == OF_THE_LOG else "lamp") in told
    assert "as it was" in told or "nothing was upgraded" in told
    assert dump_of(folder / DATABASE) == before and backups_beside(folder) == []


@pytest.mark.parametrize("at", ["begun", "altered", "emptied", "done"])
def test_an_upgrade_that_is_killed_leaves_the_shop_as_it_was(folder: Path, tmp_path: Path, at: str) -> None:
    before = dump_of(folder / DATABASE)
    steps = write_steps(tmp_path / "steps")
    # Without a backup, since the step is tried on a copy there first.
    asked = ["-m", "tests.server.invented_form", str(steps), "upgrade", "--data", str(folder), "--no-backup"]
    source = os.pathsep.join([str(REPOSITORY), plain_environment()["PYTHONPATH"]])
    environment = plain_environment() | {"PYTHONPATH": source, "STOP_AT": at}
    killed = subprocess.run([sys.executable, *asked], env=environment, capture_output=True, check=False)
    assert killed.returncode == -signal.SIGKILL, killed.stderr
    assert dump_of(folder / DATABASE) == before
    assert says(folder) == said_before(PRESENT)
    with pytest.MonkeyPatch.context() as patch:
        use_steps(patch, steps)
        assert upgrade(folder, "--no-backup") == 0
    assert form_of(folder / DATABASE) == str(INVENTED)


class TestANewerForm:
    @pytest.fixture(autouse=True)
    def upgraded(self, folder: Path, newer: pytest.MonkeyPatch) -> None:
        assert upgrade(folder) == 0
        newer.undo()

    @pytest.mark.parametrize("command", [["verify"], ["upgrade"], ["backup", "shop.backup"]])
    def test_is_refused_with_the_word_to_install_the_newer_version(
        self, folder: Path, command: list[str], capsys: Said
    ) -> None:
        capsys.readouterr()
        before = dump_of(folder / DATABASE)
        assert main([*command, "--data", str(folder)]) == 1
        told = capsys.readouterr().err
        assert "Install the newer version" in told and f"form {INVENTED}" in told
        assert dump_of(folder / DATABASE) == before

    def test_gives_way_to_the_backup_that_was_made_before(self, folder: Path, capsys: Said) -> None:
        """The way back. What was erased meanwhile, this version cannot read, and says so."""
        [backup] = backups_beside(folder)
        assert main(["restore", "--data", str(folder), "--replace", str(backup)]) == 0
        assert "erase it again by hand" in capsys.readouterr().out
        assert says(folder) | {"epoch": ""} == said_before(PRESENT) | {"epoch": ""}


class TestABackupOfAnOlderForm:
    @pytest.fixture
    def backup(self, folder: Path, tmp_path: Path) -> Path:
        with closing(Store(folder / DATABASE)) as store:
            make_backup(store, tmp_path / "older.backup", NOW_MS)
            put_doc(store, CONTACT, "contact", None)
        return tmp_path / "older.backup"

    def test_is_restored_in_the_present_form(self, backup: Path, tmp_path: Path, newer: pytest.MonkeyPatch) -> None:
        restore(backup, tmp_path / "again", NOW_MS, replace=False)
        assert form_of(tmp_path / "again" / DATABASE) == str(INVENTED)
        assert says(tmp_path / "again") | {"epoch": ""} == said_before(PRESENT) | {"epoch": ""}

    def test_brings_back_nothing_that_the_shop_it_replaces_has_erased_since(
        self, backup: Path, folder: Path, newer: pytest.MonkeyPatch
    ) -> None:
        assert form_of(folder / DATABASE) == str(PRESENT)
        assert restore(backup, folder, NOW_MS, replace=True).erased_again == 1
        assert [body for id_, _, _, body in says(folder)["docs"] if id_ == CONTACT] == [None]


def test_records_of_an_older_fold_make_no_backup_unsound(folder: Path, tmp_path: Path) -> None:
    """They are made again before they are compared, in the copy that is read back and in what is restored."""
    with closing(Store(folder / DATABASE)) as store:
        with store.database.write() as connection:
            connection.exec_driver_sql("UPDATE record SET json_text = '{}' WHERE collection = 'job'")
        with pytest.raises(BackupFailed, match="not sound"):
            make_backup(store, tmp_path / "a.backup", NOW_MS)
        with store.database.write() as connection:
            connection.exec_driver_sql("UPDATE meta SET value = 'an older one' WHERE key = 'fold'")
        make_backup(store, tmp_path / "a.backup", NOW_MS)
    restore(tmp_path / "a.backup", tmp_path / "again", NOW_MS, replace=False)
    assert says(tmp_path / "again") | {"epoch": ""} == said_before(PRESENT) | {"epoch": ""}
