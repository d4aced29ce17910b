"""Revisions of documents are never told twice unseen: not after one was dropped, nor when an older copy of the data was
put back by hand (F7.2)."""

import shutil
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from traymark.docs.keep import drop_doc, has_given_out, last_rev, put_doc
from traymark.log.database import DATABASE
from traymark.log.store import Store
from traymark.refused import Refused


@contextmanager
def running(folder: Path) -> Iterator[Store]:
    """A run of the server, as far as documents are concerned."""
    with closing(Store(folder / DATABASE)) as store:
        yield store


def write(store: Store, number: int) -> int:
    """A card; the revision that it was given."""
    kept = put_doc(store, f"{number:020}", "contact", {"name": f"Pat {number}"})
    assert not isinstance(kept, Refused)
    return kept.rev


def test_what_a_run_has_told_was_given_out_also_in_later_runs(tmp_path: Path) -> None:
    told: list[tuple[str, int]] = []
    for number in range(3):
        with running(tmp_path) as store:
            told.append((store.run, write(store, number)))
            assert all(has_given_out(store, run, rev) for run, rev in told)
            assert not has_given_out(store, store.run, told[-1][1] + 1)
            assert has_given_out(store, "", 0) and not has_given_out(store, "", told[-1][1] + 1)
    assert len({run for run, _ in told}) == 3


def test_an_older_copy_does_not_pass_for_the_newer_one(tmp_path: Path) -> None:
    """Whatever it has written meanwhile: as many revisions, or more."""
    shop, copy = tmp_path / "shop", tmp_path / "copy"
    with running(shop) as store:
        write(store, 1)
        before = store.run
    shutil.copytree(shop, copy)
    with running(shop) as store:
        told = [(store.run, write(store, number)) for number in range(2, 5)]
    shutil.rmtree(shop)
    copy.rename(shop)
    with running(shop) as store:
        for number in range(10, 20):
            write(store, number)
        assert last_rev(store) > told[-1][1]
        assert not any(has_given_out(store, run, rev) for run, rev in told)
        assert has_given_out(store, before, 1) and not has_given_out(store, before, 2)


def test_nor_does_a_copy_that_was_made_while_the_run_went_on(tmp_path: Path) -> None:
    shop, copy = tmp_path / "shop", tmp_path / "copy"
    with running(shop) as store:
        write(store, 1)
        run = store.run
        copy.mkdir()
        store.database.copy_to(copy / DATABASE)
        told = write(store, 2)
    with running(copy) as store:
        for number in range(10, 13):
            write(store, number)
        assert has_given_out(store, run, told - 1) and not has_given_out(store, run, told)


def test_the_last_revision_is_not_given_out_again_once_its_document_was_dropped(tmp_path: Path) -> None:
    with running(tmp_path) as store:
        rev = write(store, 1)
        with store.database.write() as connection:
            drop_doc(connection, f"{1:020}")
        assert last_rev(store) == rev and has_given_out(store, store.run, rev)
        assert write(store, 2) == rev + 1
    with running(tmp_path) as store:
        assert last_rev(store) == rev + 1
