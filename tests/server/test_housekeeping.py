"""The server puts away what is over (F5.14), hands out what is live (F8.7) and finds what was put away (F8.8)."""

import gzip
import json
from typing import Any

import pytest

from tests.server.conftest import NOW_MS, Desk, Shop, said
from tests.server.shop_events import Writer
from tests.server.story import (
    BOX,
    CARD,
    CONTACT,
    CORE,
    DEVICE,
    JOB,
    LATER_MS,
    MUCH_LATER_MS,
    PART,
    PREFIX,
    SUPPLIER,
    TRAY,
    Story,
    code,
)  # fmt: skip
from traymark.docs.keep import put_doc
from traymark.events.envelope import Event, parse
from traymark.fold.fold import Entry, fold, fold_name, state_hash
from traymark.housekeeping.put_away import put_away
from traymark.log.verify import verify
from traymark.rules.putting_away import DAY_MS
from traymark.stations.registry import all_stations
from traymark_labels.codes import mint


@pytest.fixture
def story(desk: Desk, writer: Writer) -> Story:
    return Story(desk, writer)


def held(shop: Shop, collection: str) -> set[str]:
    query = "SELECT key FROM record WHERE collection = ?"
    with shop.store.database.read() as connection:
        return {row[0] for row in connection.exec_driver_sql(query, (collection,))}


def archived(shop: Shop) -> set[str]:
    with shop.store.database.read() as connection:
        return {row[0] for row in connection.exec_driver_sql("SELECT key FROM archive")}


def test_a_job_that_was_handed_over_long_ago_is_put_away_with_its_things(story: Story, shop: Shop) -> None:
    story.book()
    story.fit()
    story.hand_over()
    assert put_away(shop.store, NOW_MS + 29 * DAY_MS) == 0
    assert put_away(shop.store, LATER_MS) == 1
    assert archived(shop) == {JOB, DEVICE, PART}
    assert held(shop, "job") == set()
    assert put_away(shop.store, LATER_MS) == 0
    assert verify(shop.store) == []


def test_what_the_server_writes_is_a_chain_of_a_station_that_nobody_can_use(
    story: Story, desk: Desk, shop: Shop
) -> None:
    story.book()
    story.hand_over()
    put_away(shop.store, LATER_MS)
    _, lines = desk.pull(after=0)
    own = [event for _, _, raw in lines if isinstance(event := parse(raw), Event) and event.incarnation != PREFIX]
    assert [(e.seq, e.kind, e.staff) for e in own] == [(1, "station.began", None), (2, "job.put_away", None)]
    assert own[1].job == JOB
    station = own[0].station
    documents = {d["id"]: d for d in desk.ask("GET", "/api/docs").json()["docs"]}
    assert documents[f"station:{station}"]["body"] == {"name": "The server", "taken_out": False}
    assert station not in {line.id for line in all_stations(shop.store)}


def test_the_shop_says_after_how_many_days(story: Story, shop: Shop) -> None:
    story.book()
    story.hand_over()
    put_doc(shop.store, "shop", "settings", {"shop_name": "Bench", "put_away_after_days": 3})
    assert put_away(shop.store, NOW_MS + 2 * DAY_MS) == 0
    assert put_away(shop.store, NOW_MS + 4 * DAY_MS) == 1


def test_a_core_in_a_box_keeps_its_job_until_the_box_is_long_gone_and_then_the_box_goes(
    story: Story, shop: Shop
) -> None:
    story.book()
    story.tag()
    story.ship()
    story.hand_over()
    assert put_away(shop.store, LATER_MS) == 0
    assert put_away(shop.store, MUCH_LATER_MS) == 2
    assert archived(shop) == {JOB, DEVICE, CORE, BOX}
    assert held(shop, "box") == set()
    assert verify(shop.store) == []


@pytest.mark.parametrize("place", ["shelf", "safe", "shipping", TRAY])
def test_a_core_that_is_still_in_the_shop_keeps_its_job(story: Story, shop: Shop, place: str) -> None:
    story.book()
    story.tag()
    story.move(CORE, place)
    story.hand_over()
    assert put_away(shop.store, MUCH_LATER_MS) == 0


@pytest.mark.parametrize("place", ["supplier", "recycler", "bin", "lost"])
def test_a_core_that_is_out_of_the_shop_goes_with_its_job(story: Story, shop: Shop, place: str) -> None:
    story.book()
    story.tag()
    story.move(CORE, place)
    story.hand_over()
    assert put_away(shop.store, LATER_MS) == 1


def test_what_is_open_keeps_a_job(story: Story, shop: Shop) -> None:
    story.book()
    story.tag()  # nobody has said where it is
    story.hand_over()
    assert put_away(shop.store, MUCH_LATER_MS) == 0
    story.move(CORE, "bin")
    story.move(TRAY, JOB)
    assert put_away(shop.store, MUCH_LATER_MS) == 0
    story.move(TRAY, "shelf")
    # A clash: another station moved the core from the same place to another.
    story.say("thing.moved", {"thing": CORE, "to": "supplier", "after": []}, None)
    assert put_away(shop.store, MUCH_LATER_MS) == 0


def test_a_finding_keeps_a_job_until_a_lead_has_looked(story: Story, shop: Shop) -> None:
    story.book()
    story.say("fastener.removed", {"step": "open", "group": "screw_a", "pocket": 1, "count": 1})
    story.hand_over()  # with a screw left in the tray
    job = shop.store.record("job", JOB)
    assert job is not None and len(job["findings"]) == 1
    assert put_away(shop.store, LATER_MS) == 0
    story.say("findings.seen", {"of": JOB, "count": 1}, None)
    assert put_away(shop.store, LATER_MS) == 1


def test_a_job_that_is_not_over_stays_whatever_its_age(story: Story, shop: Shop) -> None:
    story.book()
    assert put_away(shop.store, NOW_MS + 4_000 * DAY_MS) == 0


def test_a_device_that_a_later_job_has_stays_with_that(story: Story, shop: Shop) -> None:
    story.book()
    story.hand_over()
    again = code("J", 77)
    story.book(again, DEVICE, "B" * 26)
    assert put_away(shop.store, LATER_MS) == 1
    assert archived(shop) == {JOB}
    assert held(shop, "thing") == {DEVICE}


def test_a_dead_part_of_no_job_goes_once_it_went_back(story: Story, shop: Shop) -> None:
    part = {"part": PART, "name": "Display", "part_kind": "display", "supplier": SUPPLIER, "lot": "1"}
    story.say("part.received", part | {"shipping_caution": "none"}, None)
    story.move(PART, "shelf")
    assert put_away(shop.store, MUCH_LATER_MS) == 0
    story.move(PART, "supplier")
    assert put_away(shop.store, MUCH_LATER_MS) == 1
    assert archived(shop) == {PART}


def test_many_are_put_away_in_shares(desk: Desk, shop: Shop, writer: Writer) -> None:
    story = Story(desk, writer)
    count, counter = 205, 100
    for n in range(count):
        minted = mint("J", PREFIX, counter), mint("D", PREFIX, counter)
        job, device = (m.code for m in minted)
        counter = max(m.next_counter for m in minted)
        story.book(job, device, f"{n:026}")
        story.hand_over(job, device)
    assert put_away(shop.store, LATER_MS) == count
    assert len(archived(shop)) == 2 * count
    assert held(shop, "job") == set()


# --- what a station begins with ------------------------------------------------------------------------------


def live(desk: Desk) -> tuple[dict[str, Any], dict[tuple[str, str], Any], list[tuple[int, str, bytes]]]:
    answer = desk.ask("GET", "/api/live")
    assert answer.status_code == 200, answer.text
    top, _, rest = answer.content.partition(b"\n\n")
    first, *records = top.split(b"\n")
    state = {
        (line.split(b"\t")[0].decode(), line.split(b"\t")[1].decode()): line.split(b"\t", 2)[2] for line in records
    }
    lines = [line.split(b"\t", 2) for line in rest.splitlines()]
    return (
        json.loads(first),
        {place: json.loads(text) for place, text in state.items()},
        [(int(position), flag.decode(), raw) for position, flag, raw in lines],
    )


def test_the_live_state_fits_its_hash_and_the_log_goes_on_from_it(story: Story, desk: Desk, shop: Shop) -> None:
    story.book()
    story.hand_over()
    put_away(shop.store, LATER_MS)
    story.book(code("J", 8), code("D", 8), "B" * 26)
    header, records, lines = live(desk)
    assert header["hash"] == state_hash((c, k, record) for (c, k), record in records.items())
    assert (header["fold"], header["epoch"], header["now_ms"]) == (fold_name(), shop.store.epoch, NOW_MS)
    assert ("job", JOB) not in records and ("job", code("J", 8)) in records
    _, whole = desk.pull(after=0)
    assert header["position"] == whole[-1][0]
    entries = [Entry(e.incarnation, e.seq, e) for _, _, raw in whole if isinstance(e := parse(raw), Event)]
    folded = fold(entries)
    assert {place: folded[place] for place in records} == records
    assert {raw for _, _, raw in lines} <= {raw for _, _, raw in whole}


def test_the_history_is_of_what_is_live_and_of_a_tray_the_newest(story: Story, desk: Desk, shop: Shop) -> None:
    story.book()
    for n in range(30):
        story.move(TRAY, "bench" if n % 2 else "shelf")
    story.hand_over()
    put_away(shop.store, LATER_MS)
    story.book(code("J", 8), code("D", 8), "B" * 26)
    _, _, lines = live(desk)
    events = [event for _, _, raw in lines if isinstance(event := parse(raw), Event)]
    assert len([e for e in events if e.body.get("thing") == TRAY]) == 20
    assert [e.kind for e in events if e.job == JOB] == []
    assert [e.kind for e in events if e.job == code("J", 8)] == ["job.booked"]


def test_what_was_set_aside_is_handed_on(desk: Desk, writer: Writer) -> None:
    writer.keep(b"no JSON")
    desk.push(writer)
    _, _, lines = live(desk)
    assert [(flag, raw) for _, flag, raw in lines] == [(f"event-not-json@{PREFIX}.1", b"no JSON")]


def test_it_comes_packed_to_those_who_say_so(desk: Desk, story: Story) -> None:
    story.book()
    plain = desk.ask("GET", "/api/live", headers={"Accept-Encoding": "identity"}).content
    with desk.client.stream("GET", "/api/live", headers=desk.headers | {"Accept-Encoding": "gzip"}) as answer:
        assert gzip.decompress(b"".join(answer.iter_raw())) == plain


def test_only_a_station_may_ask(shop: Shop) -> None:
    for path in ("/api/live", f"/api/archive?code={JOB}"):
        assert shop.client.get(path).status_code == 401


# --- what was put away ---------------------------------------------------------------------------------------


def kept(desk: Desk, **query: str) -> tuple[set[str], set[str], list[str]]:
    """Keys of records, ids of cards, kinds of events."""
    answer = desk.ask("GET", "/api/archive", params=query)
    assert answer.status_code == 200, answer.text
    lines = answer.content.split(b"\n")
    first = lines.index(b"")
    second = lines.index(b"", first + 1)
    events = [parse(line.split(b"\t", 2)[2]) for line in lines[second + 1 :] if line]
    return (
        {line.split(b"\t")[1].decode() for line in lines[:first]},
        {json.loads(line)["id"] for line in lines[first + 1 : second]},
        [e.kind for e in events if isinstance(e, Event)],
    )


@pytest.fixture
def away(story: Story, shop: Shop) -> Story:
    """A job that was put away, with its part and its cards."""
    put_doc(shop.store, CARD, "device", {"imei": "490154203237518", "serial": "SN-77", "model": "Quillet 5"})
    put_doc(
        shop.store,
        CONTACT,
        "contact",
        {"name": "Ilse Marrow", "phone": "+49 (0) 555-01 23", "mail": "i@marrow.example"},
    )
    story.book()
    story.fit()
    story.hand_over()
    put_away(shop.store, LATER_MS)
    return story


@pytest.mark.parametrize(
    "query",
    [
        {"code": JOB}, {"code": DEVICE}, {"code": PART}, {"ticket": "A" * 26}, {"imei": "490154203237518"},
        {"serial": "SN-77"}, {"words": "marrow"}, {"words": "Quillet"}, {"words": "555 0123"}, {"words": "i@marrow"},
    ],
)  # fmt: skip
def test_a_job_is_found_by_its_codes_ticket_numbers_and_words(
    away: Story, desk: Desk, shop: Shop, query: dict[str, str]
) -> None:
    records, cards, events = kept(desk, **query)
    assert records == {JOB, DEVICE, PART}
    assert {CARD, CONTACT} <= cards
    [complaint] = cards - {CARD, CONTACT}
    assert said(shop, complaint) == "Dark display"
    assert events[0] == "job.booked" and "job.put_away" in events and "part.received" in events


@pytest.mark.parametrize(
    "query",
    [
        {"code": code("J", 99)}, {"ticket": "C" * 26}, {"imei": "356938035643809"}, {"words": "m_rrow"},
        {"words": "mar%"}, {},
    ],
)  # fmt: skip
def test_what_there_is_not_is_not_found(away: Story, desk: Desk, query: dict[str, str]) -> None:
    assert kept(desk, **query) == (set(), set(), [])


def test_two_letters_are_too_few_to_search_for(desk: Desk) -> None:
    answer = desk.ask("GET", "/api/archive", params={"words": "ab"})
    assert (answer.status_code, answer.json()["errors"][0]["pointer"]) == (400, "/words")


def test_a_late_entry_is_in_the_archive_and_waits_for_a_lead(away: Story, desk: Desk, shop: Shop) -> None:
    away.say("note.added", {"note": "found a photo on the other phone"})
    job = shop.store.record("job", JOB)
    assert job is not None and said(shop, job["notes"][0]["note"]) == "found a photo on the other phone"
    _, records, _ = live(desk)
    [late] = records[("chain", PREFIX)]["late"].values()
    assert late["code"] == JOB
    assert "note.added" in kept(desk, code=JOB)[2]
    assert verify(shop.store) == []


# --- cards ---------------------------------------------------------------------------------------------------


def card_ids(desk: Desk, **query: str) -> set[str]:
    return {
        d["id"] for d in desk.ask("GET", "/api/docs", params=query).json()["docs"] if d["kind"] in ("contact", "device")
    }


def test_only_cards_that_a_live_job_names_are_handed_on(story: Story, desk: Desk, shop: Shop) -> None:
    put_doc(shop.store, CARD, "device", {"imei": "490154203237518"})
    put_doc(shop.store, CONTACT, "contact", {"name": "Ilse Marrow"})
    assert card_ids(desk) == set()
    story.book()
    assert card_ids(desk) == {CARD, CONTACT}
    story.hand_over()
    put_away(shop.store, LATER_MS)
    assert card_ids(desk) == set()
    assert card_ids(desk, ids=f"{CARD},{'c' * 20}") == {CARD}


def test_that_a_card_was_erased_is_told_to_everybody(desk: Desk, shop: Shop) -> None:
    put_doc(shop.store, CARD, "device", {"imei": "490154203237518"})
    put_doc(shop.store, CARD, "device", None)
    assert card_ids(desk) == {CARD}
