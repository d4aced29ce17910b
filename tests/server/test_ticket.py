"""The customer's page: plain words, nothing personal, and no difference between unknown and switched off."""

import re
from base64 import b64encode
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from litestar.testing import TestClient

from tests.server.shop_events import Writer, code, job_events
from tests.vectors.vector_files import Vector, vectors
from traymark.app import create_app
from traymark.config import Settings
from traymark.docs.keep import get_doc, put_doc
from traymark.docs.shop import begin_shop, shop_settings
from traymark.log.push import Batch, push
from traymark.log.rebuild import rebuild
from traymark.log.store import Store
from traymark.stations.invites import make_invite
from traymark.stations.join import Joined, join
from traymark.tables import blank_records, stages, table
from traymark.views.ticket_page import moment_text, status_html, ticket_status

START_MS = 1_800_000_000_000
JOB = code("J", "7K2", 1)


class Shop:
    """A server with one job whose ticket is `token`."""

    def __init__(self, client: TestClient[Any], token: str, writer: Writer) -> None:
        self.client, self.token, self.writer = client, token, writer

    @property
    def store(self) -> Store:
        return self.client.app.state.store

    def say(self, kind: str, job: str | None, body: dict[str, Any]) -> None:
        """One more event of the station that booked the job."""
        writer, place = self.writer, len(self.writer.lines)
        line = writer.write(kind, job, body)
        batch = Batch(writer.incarnation, place + 1, writer.hashes[place], writer.hashes[place + 1], [line])
        push(self.store, writer.station, batch, START_MS)

    def set(self, **changed: object) -> None:
        """Change the shop's settings."""
        doc = get_doc(self.store, "shop")
        assert doc is not None
        put_doc(self.store, "shop", "settings", shop_settings(self.store) | changed, doc.rev)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    settings = Settings(data_dir=tmp_path)
    with TestClient(create_app(settings, lambda: START_MS), base_url="https://testserver.local") as client:
        store: Store = client.app.state.store
        begin_shop(store, "Africa/Nairobi")
        joined = join(store, make_invite(store, "", "bench", START_MS).code, "", None, START_MS)
        assert isinstance(joined, Joined)
        booked = job_events(1)[0][2]
        writer = Writer(joined.station, joined.incarnation)
        writer.write("job.booked", JOB, booked)
        push(store, joined.station, Batch(joined.incarnation, 1, writer.hashes[0], writer.hashes[1], writer.lines), 1)
        made = Shop(client, booked["ticket"], writer)
        made.set(customer_page="on", shop_name="Corner & <Bench>", phone="555-0100 <b>")
        yield made


def page(shop: Shop, token: str | None = None) -> str:
    answer = shop.client.get(f"/T/{token or shop.token}")
    assert answer.status_code == 200, answer.text
    return answer.text


def test_a_ticket_tells_stage_promise_shop_and_telephone(shop: Shop) -> None:
    html = page(shop)
    assert "Booked in" in html and stages()["booked"]["customer"] in html
    # 1,795,000,000 s + 1 day, three hours east of Greenwich
    assert "Thursday 19 November, 14:06" in html
    assert "Corner &amp; &lt;Bench&gt;" in html and 'href="tel:5550100"' in html


def test_what_the_shop_wrote_is_escaped(shop: Shop) -> None:
    assert "<Bench>" not in page(shop) and "<b>" not in page(shop)


def test_nothing_personal_is_on_the_page_not_even_model_or_complaint(shop: Shop) -> None:
    html = page(shop)
    for private in ("Quillet", "display stays dark", JOB, "W001", shop.token):
        assert private not in html


def test_the_page_runs_nothing_loads_nothing_and_is_not_indexed(shop: Shop) -> None:
    answer = shop.client.get(f"/T/{shop.token}")
    assert not re.search(r"<(script|link|img|iframe|form)\b|\bon\w+=|url\(", answer.text)
    policy = answer.headers["content-security-policy"]
    style = re.search(r"<style>(.*?)</style>", answer.text)
    assert style is not None
    assert f"'sha256-{b64encode(sha256(style[1].encode()).digest()).decode()}'" in policy
    assert policy.startswith("default-src 'none'") and "unsafe-inline" not in policy
    assert answer.headers["x-robots-tag"] == "noindex, nofollow" and 'name="robots" content="noindex' in answer.text
    assert answer.headers["cache-control"] == "no-store"
    assert "color-scheme:dark" in answer.text and 'name="color-scheme" content="light dark"' in answer.text


def test_unknown_misspelt_and_switched_off_get_the_same_bytes(shop: Shop) -> None:
    unknown = shop.client.get(f"/T/{'0' * 26}")
    misspelt = shop.client.get("/T/hello")
    shop.set(customer_page="off")
    switched_off = shop.client.get(f"/T/{shop.token}")
    answers = [unknown, misspelt, switched_off]
    assert {a.status_code for a in answers} == {404}
    assert len({a.content for a in answers}) == 1
    assert len({tuple(sorted(a.headers.items())) for a in answers}) == 1
    assert "There is nothing under this address." in unknown.text


def test_an_empty_shops_page_is_off(tmp_path: Path) -> None:
    store = Store(tmp_path / "s.sqlite")
    begin_shop(store, "Etc/UTC")
    assert shop_settings(store)["customer_page"] == "off"
    store.close()


def test_a_token_typed_in_small_letters_is_found(shop: Shop) -> None:
    assert page(shop, shop.token.lower()) == page(shop)


def test_the_ticket_is_still_found_after_a_rebuild_from_the_log(shop: Shop) -> None:
    before = page(shop)
    rebuild(shop.store)
    assert page(shop) == before


def test_an_address_with_too_many_requests_gets_a_page_that_says_so(shop: Shop) -> None:
    answers = [shop.client.get(f"/T/{'0' * 26}") for _ in range(31)]
    assert [a.status_code for a in answers] == [404] * 30 + [429]
    assert answers[-1].headers["retry-after"] == "2" and "Please wait a little" in answers[-1].text


def test_head_is_answered_like_get_without_the_page(shop: Shop) -> None:
    answer = shop.client.head(f"/T/{shop.token}")
    assert (answer.status_code, answer.content) == (200, b"")


def job(**changed: object) -> dict[str, Any]:
    return blank_records()["job"] | {"booked": True, "promised_at_ms": START_MS} | changed


@pytest.mark.parametrize("stage", list(stages()))
def test_every_stage_has_its_words_and_a_promise_only_while_work_lies_ahead(stage: str) -> None:
    status = ticket_status(job(stage=stage), {"time_zone": "Etc/UTC"})
    assert (status.stage, status.text) == (stages()[stage]["name"], stages()[stage]["customer"])
    assert (status.promised is not None) == (stage in ("booked", "bench"))


@pytest.mark.parametrize("reason", list(table("stages")["stop_reasons"]))
def test_a_stopped_job_tells_its_reason(reason: str) -> None:
    stop = {"reason": reason, "event": "7K2.1", "staff": "W001", "at_ms": 1}
    words = table("stages")["stop_reasons"][reason]["customer"]
    assert words in status_html(ticket_status(job(stage="stopped", stop=stop), {}))
    assert words in status_html(ticket_status(job(stage="ready", stop=stop), {})), "to be picked up, not repaired"
    assert words not in status_html(ticket_status(job(stage="handed_over", stop=stop), {}))


@pytest.mark.parametrize("vector", vectors("outcome"), ids=lambda vector: vector["name"])
def test_a_device_to_be_picked_up_tells_what_came_of_it(vector: Vector) -> None:
    told = job(**vector["job"])
    words = table("record")["outcomes"][vector["expect"]]
    status = ticket_status(told, {})
    if told["stage"] == "ready":
        assert ("tail" in words) == (words["say"] in status.more)
        assert status.stage == "Ready" + (f", {words['tail']}" if "tail" in words else "")
    html = status_html(status)
    assert "torn" not in html and "button" not in html, "what and where is the record's, not the ticket's"


def test_an_unsafe_battery_is_never_ready_to_be_picked_up_and_the_page_says_where_it_is() -> None:
    stop = {"reason": "battery", "event": "7K2.1", "staff": "W001", "at_ms": 1}
    places = table("record")["places"]
    for stage in ("stopped", "ready"):
        unsafe = job(stage=stage, stop=stop, cell="swollen", leftover=[{}])
        html = status_html(ticket_status(unsafe, {}, "safe"))
        assert "Do not use, charge or press" in html and places["safe"] in html
        assert stages()["ready"]["customer"] not in html
        assert places["here"] in status_html(ticket_status(unsafe, {}, "bench"))
    taken_out = job(stage="ready", stop=stop, cell="out", leftover=[{}])
    html = status_html(ticket_status(taken_out, {}, "shelf"))
    assert "The device has none now." in html and "Do not use, charge or press" not in html
    assert stages()["ready"]["customer"] in html


def test_whoever_took_an_unsafe_battery_home_still_reads_what_not_to_do() -> None:
    stop = {"reason": "battery", "event": "7K2.1", "staff": "W001", "at_ms": 1}
    html = status_html(ticket_status(job(stage="handed_over", stop=stop, cell="swollen"), {}, "customer"))
    assert table("record")["cautions"]["battery"] in html


def test_a_wet_device_is_not_to_be_charged_or_switched_on() -> None:
    stop = {"reason": "liquid", "event": "7K2.1", "staff": "W001", "at_ms": 1}
    html = status_html(ticket_status(job(stage="stopped", stop=stop), {}))
    assert "Do not charge it and do not switch it on until somebody has dried and looked at it." in html


def test_the_page_finds_the_place_of_the_device(shop: Shop) -> None:
    """A bulging device in the safe place, told entirely by events."""
    device = job_events(1)[0][2]["device"]
    shop.say("safety.checked", JOB, {"at": "counter", "wet": "no", "bulging": "yes", "hot": "no", "photos": []})
    assert table("record")["places"]["here"] in page(shop)
    shop.say("thing.moved", None, {"thing": device, "to": "safe", "after": []})
    assert table("record")["places"]["safe"] in page(shop)


def test_each_stage_has_a_sign_of_its_own_shape() -> None:
    assert len({ticket_status(job(stage=stage), {}).sign for stage in stages()}) == len(stages())


@pytest.mark.parametrize(
    ("zone", "text"),
    [
        ("Etc/UTC", "Friday 15 January, 08:00"),
        ("Asia/Kathmandu", "Friday 15 January, 13:45"),
        ("Pacific/Honolulu", "Thursday 14 January, 22:00"),
        ("", "Friday 15 January, 08:00 UTC"),
        ("No/Such", "Friday 15 January, 08:00 UTC"),
        ("../../etc/passwd", "Friday 15 January, 08:00 UTC"),
    ],
)
def test_a_moment_is_given_on_the_shops_clock(zone: str, text: str) -> None:
    assert moment_text(START_MS, zone) == text


def test_a_moment_beyond_any_calendar_is_no_error() -> None:
    assert moment_text(2**53 - 1, "Etc/UTC") == "a later day"
