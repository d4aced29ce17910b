"""A shop in one file, made while it is in use, and back from it in a new epoch."""

import json
import tarfile
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.server.conftest import NOW_MS, Desk, Shop, problem_of
from tests.server.shop_events import Writer, job_events
from traymark.__main__ import main
from traymark.backup.form import BackupFailed
from traymark.backup.make import last_backup, make_backup
from traymark.backup.restore import restore
from traymark.blobs.files import BlobFiles
from traymark.blobs.keep import all_blobs, keep_blob
from traymark.docs.keep import get_doc, put_doc
from traymark.housekeeping.back_up import back_up
from traymark.log.database import DATABASE
from traymark.log.store import Store
from traymark.log.verify import verify

CARD = "a" * 20
HOUR_MS = 3_600_000


def picture(shade: int) -> bytes:
    packed = BytesIO()
    Image.new("RGB", (64, 48), (shade, shade, shade)).save(packed, "JPEG")
    return packed.getvalue()


def keep_photo(shop: Shop, shade: int) -> str:
    from hashlib import sha256

    data = picture(shade)
    name = sha256(data).hexdigest()
    keep_blob(shop.store, BlobFiles(shop.data_dir), "S7K2", name, data, 1_000_000, NOW_MS)
    return name


@pytest.fixture
def filled(shop: Shop, desk: Desk, writer: Writer) -> Shop:
    """A shop with a job, a card and a photo."""
    for kind, job, body in job_events(1):
        writer.write(kind, job, body)
    assert desk.push(writer).status_code == 200
    put_doc(shop.store, CARD, "contact", {"name": "Ilse Marrow"})
    keep_photo(shop, 10)
    return shop


def opened(folder: Path) -> Store:
    return Store(folder / DATABASE, sole_writer=False)


def test_a_shop_comes_back_as_it_was_in_a_new_epoch(filled: Shop, tmp_path: Path) -> None:
    header = make_backup(filled.store, tmp_path / "a.backup", NOW_MS)
    assert (header.position, header.photos) == (filled.store.position(), 1)
    assert header.chains == {"7K2": filled.store.position()}
    restore(tmp_path / "a.backup", tmp_path / "again", NOW_MS, replace=False)
    again = opened(tmp_path / "again")
    assert again.state() == filled.store.state()
    assert again.epoch != filled.store.epoch
    card = get_doc(again, CARD)
    assert card is not None and json.loads(card.body or "") == {"name": "Ilse Marrow"}
    [photo] = all_blobs(again)
    assert BlobFiles(tmp_path / "again").read(photo) == picture(10)
    assert verify(again) == []
    again.close()


def test_the_file_is_for_its_owner_alone_and_what_is_restored_too(filled: Shop, tmp_path: Path) -> None:
    file = tmp_path / "a.backup"
    make_backup(filled.store, file, NOW_MS)
    assert file.stat().st_mode & 0o777 == 0o600
    restore(file, tmp_path / "again", NOW_MS, replace=False)
    assert (tmp_path / "again" / DATABASE).stat().st_mode & 0o777 == 0o600
    assert [path.name for path in tmp_path.iterdir() if ".coming" in path.name or path.name.startswith(".")] == []


def test_what_is_written_meanwhile_is_in_the_next_one(filled: Shop, desk: Desk, writer: Writer, tmp_path: Path) -> None:
    before = filled.store.position()
    make_backup(filled.store, tmp_path / "a.backup", NOW_MS)
    writer.write("note.added", "J7K200003Z", {"note": "later"})
    desk.push(writer, len(writer.lines))
    keep_photo(filled, 20)
    restore(tmp_path / "a.backup", tmp_path / "again", NOW_MS, replace=False)
    again = opened(tmp_path / "again")
    assert (again.position(), len(all_blobs(again))) == (before, 1)
    again.close()


def test_what_was_erased_before_is_in_no_byte_of_the_file(filled: Shop, tmp_path: Path) -> None:
    put_doc(filled.store, CARD, "contact", None)
    make_backup(filled.store, tmp_path / "a.backup", NOW_MS)
    assert b"Ilse Marrow" not in (tmp_path / "a.backup").read_bytes()


def test_what_was_erased_since_is_erased_again(filled: Shop, tmp_path: Path) -> None:
    make_backup(filled.store, tmp_path / "a.backup", NOW_MS)
    put_doc(filled.store, CARD, "contact", None)
    filled.store.close()
    done = restore(tmp_path / "a.backup", filled.data_dir, NOW_MS, replace=True)
    assert done.erased_again == 1
    again = opened(filled.data_dir)
    card = get_doc(again, CARD)
    assert card is not None and card.body is None
    again.close()
    assert b"Ilse Marrow" not in (filled.data_dir / DATABASE).read_bytes()


def test_a_shop_is_moved_aside_only_when_asked(filled: Shop, tmp_path: Path) -> None:
    make_backup(filled.store, tmp_path / "a.backup", NOW_MS)
    with pytest.raises(BackupFailed, match="not empty"):
        restore(tmp_path / "a.backup", filled.data_dir, NOW_MS, replace=False)
    with pytest.raises(BackupFailed, match="another Traymark server"):
        restore(tmp_path / "a.backup", filled.data_dir, NOW_MS, replace=True)
    filled.store.close()
    done = restore(tmp_path / "a.backup", filled.data_dir, NOW_MS, replace=True)
    assert done.before is not None and (done.before / DATABASE).is_file()


def test_a_copy_of_what_is_not_sound_is_not_called_good(filled: Shop, tmp_path: Path) -> None:
    [photo] = all_blobs(filled.store)
    BlobFiles(filled.data_dir).path(photo).write_bytes(b"changed")
    with pytest.raises(BackupFailed, match="not sound"):
        make_backup(filled.store, tmp_path / "a.backup", NOW_MS)
    assert not (tmp_path / "a.backup").exists()
    assert last_backup(filled.store) is None


def test_a_photo_that_is_missing_is_told(filled: Shop, tmp_path: Path) -> None:
    [photo] = all_blobs(filled.store)
    BlobFiles(filled.data_dir).path(photo).unlink()
    with pytest.raises(BackupFailed, match="could not be written"):
        make_backup(filled.store, tmp_path / "a.backup", NOW_MS)
    assert list(tmp_path.glob("*.backup*")) == []


def damaged(file: Path, how: str) -> None:
    data = file.read_bytes()
    match how:
        case "cut short":
            file.write_bytes(data[: len(data) // 2])
        case "empty":
            file.write_bytes(b"")
        case "a byte changed":
            at = data.index(b"Dark") if b"Dark" in data else data.index(b"Quillet 5")
            file.write_bytes(data[:at] + b"X" + data[at + 1 :])
        case "of another kind":
            with tarfile.open(file, "w") as tar:
                tar.addfile(tarfile.TarInfo("something.txt"))
        case _:
            with tarfile.open(file, "a") as tar:
                tar.addfile(tarfile.TarInfo("../escaped.txt"))


@pytest.mark.parametrize("how", ["cut short", "empty", "a byte changed", "of another kind", "a name that leads out"])
def test_a_damaged_file_restores_nothing_and_says_so(filled: Shop, tmp_path: Path, how: str) -> None:
    file = tmp_path / "a.backup"
    make_backup(filled.store, file, NOW_MS)
    damaged(file, how)
    with pytest.raises(BackupFailed):
        restore(file, tmp_path / "again", NOW_MS, replace=False)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.backup", "data"]


def test_they_are_made_when_due_and_the_last_few_are_kept(filled: Shop, tmp_path: Path) -> None:
    folder = tmp_path / "backups"
    assert back_up(filled.store, folder, 24, 3, NOW_MS) is not None
    assert back_up(filled.store, folder, 24, 3, NOW_MS + 23 * HOUR_MS) is None
    made = [back_up(filled.store, folder, 24, 3, NOW_MS + day * 24 * HOUR_MS) for day in range(1, 5)]
    assert sorted(folder.iterdir()) == made[-3:]


def test_a_lead_sees_how_old_the_last_one_is(filled: Shop, desk: Desk, tmp_path: Path) -> None:
    problem_of(desk.ask("GET", "/api/backup"), "not-allowed")
    lead = filled.enrol("S7KA", "7KA", role="lead")
    assert lead.ask("GET", "/api/backup").json() == {"at_ms": None, "position": None, "every_h": None}
    make_backup(filled.store, tmp_path / "a.backup", NOW_MS)
    assert lead.ask("GET", "/api/backup").json()["at_ms"] == NOW_MS


def test_a_station_is_told_how_far_a_backup_has_its_chains(
    filled: Shop, desk: Desk, writer: Writer, tmp_path: Path
) -> None:
    assert desk.ask("GET", "/api/station").json()["backed_up"] == {}
    make_backup(filled.store, tmp_path / "a.backup", NOW_MS)
    writer.write("note.added", "J7K200003Z", {"note": "later"})
    desk.push(writer, len(writer.lines))
    assert desk.ask("GET", "/api/station").json()["backed_up"] == {"7K2": len(writer.lines) - 1}
    assert desk.pull(after=0)[0]["backed_up_ms"] == NOW_MS


def test_the_commands_say_what_they_did(filled: Shop, tmp_path: Path, capsys: Any) -> None:
    file, again = tmp_path / "a.backup", tmp_path / "again"
    assert main(["backup", "--data", str(filled.data_dir), str(file)]) == 0
    assert "read back and is sound" in capsys.readouterr().out
    assert main(["backup", "--data", str(filled.data_dir), str(file)]) == 1
    assert "is there already" in capsys.readouterr().err
    assert main(["restore", "--data", str(again), str(file)]) == 0
    assert "Stations bring what it lacks" in capsys.readouterr().out
    assert main(["restore", "--data", str(again), str(file)]) == 1
    assert "--replace" in capsys.readouterr().err
