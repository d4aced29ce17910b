"""The index by which jobs that were put away are found (F8.8): what it says, and that nothing erased stays in it."""

from typing import Any

import pytest
from sqlalchemy import Connection

from tests.server.conftest import Desk, Shop
from tests.server.shop_events import Writer
from tests.server.story import CARD, CONTACT, JOB, LATER_MS, Story
from traymark.docs.keep import put_doc
from traymark.housekeeping.put_away import put_away
from traymark.log.archive import MOST_JOBS, jobs_of_words
from traymark.log.archive_words import find_jobs, index_jobs
from traymark.log.database import DATABASE
from traymark.log.erasing import due_photos
from traymark.log.rebuild import rebuild
from traymark.log.verify import verify
from traymark.personal.erase import finish_erasing

CONTACT_SAYS = {"name": "Ilse Xyqzvu", "phone": "+49 (0) 555-01 23", "mail": "i@marrow.example"}
DEVICE_SAYS = {"imei": "49 015420 323751 8", "serial": "SN-77", "model": "Quillet 5"}
OF_THE_NAME = b"qzv"
"""Three letters of the name, as the index has them, that nothing else in the file has."""


@pytest.fixture
def away(desk: Desk, writer: Writer, shop: Shop) -> Story:
    """A job that was put away, with its cards."""
    put_doc(shop.store, CARD, "device", DEVICE_SAYS)
    put_doc(shop.store, CONTACT, "contact", CONTACT_SAYS)
    story = Story(desk, writer)
    story.book()
    story.hand_over()
    assert put_away(shop.store, LATER_MS) == 1
    return story


def found(shop: Shop, words: str) -> list[str]:
    return jobs_of_words(shop.store, words)


def in_files(shop: Shop, sought: bytes) -> set[str]:
    """The files of the database that hold these bytes."""
    return {path.name for path in shop.store.data_dir.glob(f"{DATABASE}*") if sought in path.read_bytes()}


@pytest.mark.parametrize(
    "words",
    [
        "ilse",
        "YQZ",
        "555-01",
        "55501",
        "5550123",
        "+49 (0)",
        "@marrow",
        "490154203237518",
        "4901 5420",
        "sn-77",
        "llet 5",
    ],
)
def test_any_three_letters_of_what_a_card_says_find_its_job(away: Story, shop: Shop, words: str) -> None:
    assert found(shop, words) == [JOB]


@pytest.mark.parametrize(
    "words",
    [
        "xyqzvv",
        "vu 555",
        '"',
        'ilse" OR "quillet',
        "ilse*",
        "name",
        "imei",
        "il*",
        "NOT ilse",
        "55 / 01 24",
        "words:ilse",
        "ils\0e",
        "ilse\nsn",
    ],
)
def test_nothing_else_does(away: Story, shop: Shop, words: str) -> None:
    assert found(shop, words) == []


def test_letters_beyond_english_and_a_search_longer_than_what_the_index_is_asked_for(away: Story, shop: Shop) -> None:
    put_doc(shop.store, CONTACT, "contact", {"name": "Jürgen Weiß von der Mühle", "phone": "01"})
    for words in ("jürgen", "JÜRGEN", "weiß", "jürgen weiß von der mühle", "ÜRGEN WEIß VON DER MÜHL"):
        assert found(shop, words) == [JOB], words
    for words in ("jürgen groß von der mühle", "jürgen weiß von der mühlen", "jürgenmühle"):
        assert found(shop, words) == [], words


def test_the_index_follows_the_cards(away: Story, shop: Shop) -> None:
    put_doc(shop.store, CONTACT, "contact", CONTACT_SAYS | {"phone": "0555 0777"})
    assert found(shop, "5550123") == [] and found(shop, "05550777") == [JOB]
    put_doc(shop.store, CARD, "device", DEVICE_SAYS | {"model": "Ostrel 3"})
    assert found(shop, "Quillet") == [] and found(shop, "ostrel") == [JOB]
    assert verify(shop.store) == []


def test_a_rebuild_makes_the_same_index(away: Story, shop: Shop) -> None:
    def said(connection: Connection) -> list[Any]:
        return list(connection.exec_driver_sql("SELECT number, job, words FROM archive_job ORDER BY number").all())

    with shop.store.database.read() as connection:
        before = said(connection)
    rebuild(shop.store)
    with shop.store.database.read() as connection:
        assert said(connection) == before
    assert found(shop, "xyqzvu") == [JOB]
    assert verify(shop.store) == []


def test_verify_names_a_job_that_its_cards_do_not_find(away: Story, shop: Shop) -> None:
    with shop.store.database.write() as connection:
        connection.exec_driver_sql("UPDATE archive_job SET words = 'another'")
    [fault] = verify(shop.store)
    assert fault.where == f"job {JOB}" and "rebuild" in fault.what
    rebuild(shop.store)
    assert verify(shop.store) == []


def test_nothing_of_an_erased_card_stays_in_the_index(away: Story, shop: Shop) -> None:
    assert in_files(shop, OF_THE_NAME) != set()
    put_doc(shop.store, CONTACT, "contact", None)
    assert due_photos(shop.store) is None
    assert in_files(shop, OF_THE_NAME) == set()
    assert found(shop, "xyqzvu") == [] and found(shop, "Quillet") == [JOB]
    assert verify(shop.store) == []


def test_nor_of_a_card_that_was_written_over(away: Story, shop: Shop) -> None:
    """Not at once, since that takes as much work as the index is large, but when the server next keeps house."""
    put_doc(shop.store, CONTACT, "contact", {"name": "Ilse Brandt"})
    assert due_photos(shop.store) == []
    with shop.store.database.read() as reading:
        reading.exec_driver_sql("SELECT 1 FROM event").all()
        assert not finish_erasing(shop.store)
    assert due_photos(shop.store) == []
    assert finish_erasing(shop.store)
    assert in_files(shop, OF_THE_NAME) == set()
    assert due_photos(shop.store) is None


def test_of_many_the_last_ones_are_shown(away: Story, shop: Shop) -> None:
    jobs = [f"J{number:09}" for number in range(100)]
    archive = "INSERT INTO archive (collection, key, json_text, contact) VALUES ('job', ?, '{}', ?)"
    with shop.store.database.write() as connection:
        for job in jobs:
            connection.exec_driver_sql(archive, (job, CONTACT))
        index_jobs(connection, jobs)
        assert find_jobs(connection, "xyqzvu", MOST_JOBS) == jobs[: -MOST_JOBS - 1 : -1]
