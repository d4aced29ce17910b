"""What a person or a push waits for reads by an index, and not in proportion to all jobs and cards there ever were."""

import pytest
from sqlalchemy import Connection

from tests.server.conftest import Shop
from traymark.log import archive, archive_words
from traymark.personal import belongings

JOBS_OF = belongings._JOBS  # pyright: ignore[reportPrivateUsage]  # the queries themselves are looked at


def plan_of(connection: Connection, query: str) -> list[str]:
    return [row[3] for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {query}", ("a",) * query.count("?"))]


@pytest.mark.parametrize(
    "query",
    [
        archive._BY_TICKET,  # pyright: ignore[reportPrivateUsage]
        archive._BY_IMEI,  # pyright: ignore[reportPrivateUsage]
        archive._BY_SERIAL,  # pyright: ignore[reportPrivateUsage]
        archive_words._NAMING,  # pyright: ignore[reportPrivateUsage]
        JOBS_OF.format("archive", "contact"),
        JOBS_OF.format("archive", "card"),
        JOBS_OF.format("record", "contact"),
    ],
)
def test_one_of_many_is_found_by_an_index_of_its_own(shop: Shop, query: str) -> None:
    with shop.store.database.read() as connection:
        plan = plan_of(connection, query)
    assert any("USING INDEX archive_" in line or "USING INDEX record_" in line for line in plan), plan
    assert not any(line.startswith("SCAN ") or line.endswith("(collection=?)") for line in plan), plan


def test_procedures_are_looked_through_without_the_cards(shop: Shop) -> None:
    with shop.store.database.read() as connection:
        [line] = plan_of(connection, belongings._PROCEDURES)  # pyright: ignore[reportPrivateUsage]
    assert line.endswith("USING INDEX doc_document")
