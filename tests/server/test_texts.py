"""Texts that people write freely stand outside the log, and are handed on with what they are about (F7.9, F8.4)."""

import json
from typing import Any

import httpx
import pytest

from tests.server.conftest import Desk, Shop, problem_of, said
from tests.server.shop_events import Writer
from tests.server.story import DEVICE, JOB, LATER_MS, Story
from traymark.events.texts import Text
from traymark.housekeeping.put_away import put_away

SALT = "0123456789ABCDEFGHJKMNPQRS"
NOTE = Text(JOB, SALT, "The customer is away on Friday")


@pytest.fixture
def story(desk: Desk, writer: Writer) -> Story:
    return Story(desk, writer)


def put(desk: Desk, id_: str, body: Any) -> httpx.Response:
    return desk.ask("PUT", f"/api/docs/{id_}", json={"kind": "text", "body": body})


def texts(desk: Desk, after: int = 0) -> dict[str, str]:
    docs = desk.ask("GET", "/api/docs", params={"after": after}).json()["docs"]
    return {doc["id"]: doc["body"] and doc["body"]["text"] for doc in docs if doc["kind"] == "text"}


def last(desk: Desk) -> int:
    return desk.ask("GET", "/api/docs").json()["last"]


def test_no_event_holds_what_was_written(story: Story, desk: Desk, shop: Shop) -> None:
    story.book()
    story.say("note.added", {"note": "Nervous about the photos"})
    _, lines = desk.pull()
    log = b"".join(raw for _, _, raw in lines)
    assert b"Nervous" not in log and b"Dark display" not in log
    job = shop.store.record("job", JOB)
    assert job is not None
    assert (said(shop, job["complaint"]), said(shop, job["notes"][0]["note"])) == (
        "Dark display", "Nervous about the photos",
    )  # fmt: skip
    shop.check_log()


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        (NOTE._replace(text="Another text")._asdict(), "/id"),
        (NOTE._replace(of=DEVICE)._asdict(), "/id"),
        (NOTE._asdict() | {"salt": "short"}, "/body/salt"),
        (NOTE._asdict() | {"of": "somebody"}, "/body/of"),
        (NOTE._asdict() | {"text": ""}, "/body/text"),
        (NOTE._asdict() | {"text": "x" * 601}, "/body/text"),
        (NOTE._asdict() | {"text": "a\x07b"}, "/body/text"),
        (NOTE._asdict() | {"more": 1}, "/body/more"),
    ],
)
def test_a_text_is_what_its_id_says(desk: Desk, body: dict[str, Any], pointer: str) -> None:
    told = problem_of(put(desk, NOTE.id, body), "bad-field")
    assert told["errors"][0]["pointer"] == pointer
    assert put(desk, NOTE.id, NOTE._asdict()).status_code == 200


def test_a_text_reaches_stations_once_an_event_names_it(story: Story, desk: Desk, shop: Shop) -> None:
    story.book()
    other = shop.enrol("S7K9")
    before = last(other)
    assert put(desk, NOTE.id, NOTE._asdict()).status_code == 200
    assert texts(other, before) == {}
    at = last(other)
    story.say("note.added", {"note": "Something else"})  # that text has a salt of its own
    assert list(texts(other, at).values()) == ["Something else"]
    assert sorted(texts(other).values()) == ["Dark display", "Something else"]


def test_a_text_that_comes_after_its_event_is_handed_on_as_well(
    story: Story, desk: Desk, writer: Writer, shop: Shop
) -> None:
    story.book()
    at = last(desk)
    writer.write("note.added", JOB, {"note": "Late"})
    desk.push(writer, len(writer.lines))
    assert texts(desk, at) == {}
    text = writer.texts[-1]
    put(desk, text.id, text._asdict())
    assert texts(desk, at) == {text.id: "Late"}


def test_what_was_put_away_takes_its_texts_along_and_the_archive_has_them(story: Story, desk: Desk, shop: Shop) -> None:
    story.book()
    story.hand_over()
    assert list(texts(desk).values()) == ["Dark display"]
    put_away(shop.store, LATER_MS)
    assert texts(desk) == {}
    answer = desk.ask("GET", "/api/archive", params={"code": JOB}).text
    _, cards, _ = answer.split("\n\n")
    assert "Dark display" in [json.loads(line)["body"].get("text") for line in cards.splitlines()]


def test_only_a_lead_erases_a_text(story: Story, desk: Desk, shop: Shop) -> None:
    story.book()
    [id_] = texts(desk)
    problem_of(put(desk, id_, None), "not-allowed")
    lead = shop.enrol("S7KA", role="lead")
    assert put(lead, id_, None).status_code == 200
    assert texts(desk) == {id_: None}
    problem_of(put(desk, id_, {"of": JOB, "salt": "0" * 26, "text": "Dark display"}), "doc-erased")
    shop.check_log()


def test_a_station_that_begins_does_not_hear_of_what_was_erased_before(story: Story, desk: Desk, shop: Shop) -> None:
    story.book()
    lead = shop.enrol("S7KA", role="lead")
    [id_] = texts(desk)
    put(lead, id_, None)
    newcomer = desk.ask("GET", "/api/docs", params={"erased_after": last(desk)}).json()["docs"]
    assert [doc for doc in newcomer if doc["body"] is None] == []
    assert texts(desk) == {id_: None}
