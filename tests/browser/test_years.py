"""A shop with years behind it: what was put away is not on the station, and is there when it is asked for."""

import time

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo
from tests.browser.shop import Shop
from tests.browser.usable import faults
from tests.browser.walks import look_it_over
from tests.browser.years import COMPLAINT, CUSTOMER, IMEI, past, put_away_later
from traymark_labels.codes import group

COUNT = 2_000

KEPT = """() => new Promise((done) => {
    const asked = indexedDB.open("traymark-station");
    asked.onsuccess = () => {
        const reading = asked.result.transaction(["records", "chunks", "docs"]);
        const kept = {};
        for (const name of reading.objectStoreNames) {
            reading.objectStore(name).getAll().onsuccess = (e) => { kept[name] = e.target.result };
        }
        reading.oncomplete = () => {
            asked.result.close();
            done({
                jobs: kept.records.filter((r) => r.collection === "job").map((r) => r.key),
                lines: kept.chunks.map((c) => c.lines).join("\\n").split("\\n").length,
                cards: kept.docs.filter((d) => d.kind === "contact").length,
            });
        };
    };
})"""
"""What a station holds: its jobs, lines of history, and customers."""


def now_ms() -> int:
    return int(time.time() * 1000)


def test_a_station_joins_a_shop_with_years_behind_it(launch: Launch, shop: Shop, axe_source: str) -> None:
    fresh = Person(launch("fresh"), shop.server.url)
    fresh.join(shop.link, "Bench 2")
    before = fresh.page.evaluate(KEPT)
    shop.server.stop()
    old = past(shop, COUNT, now_ms())
    shop.server.start()

    hand = Person(launch("hand"), shop.server.url)
    hand.join(shop.join_link("Counter 2", "counter"), "Counter 2")
    held = hand.page.evaluate(KEPT)
    assert sorted(held["jobs"]) == sorted(before["jobs"])
    assert held["cards"] == before["cards"]
    assert held["lines"] < before["lines"] + 50
    assert hand.check_number() == shop.state_hash()
    # The station that was there already has given them up, too.
    fresh.wait(lambda: fresh.check_number() == shop.state_hash(), "the same state")
    fresh.wait(lambda: sorted(fresh.page.evaluate(KEPT)["jobs"]) == sorted(before["jobs"]), "the jobs of before")

    # A ticket of long ago, with the network.
    hand.sign_on(shop.badge("counter"), "Dapple")
    job = old[0]
    hand.open(f"put-away/ticket/{job.ticket}")
    hand.reads(COMPLAINT)
    hand.reads("Put away. Read from the server")
    assert faults(hand.page, axe_source) == []
    hand.open(f"trace/{job.device}")
    hand.reads("Handed over")
    assert hand.check_number() == shop.state_hash(), "what was read is no part of the live state"

    # And without.
    hand.network(there=False)
    other = old[1]
    hand.open(f"job/{other.code}")
    hand.sees("Put away")
    hand.reads("Put away; needs the network")
    assert faults(hand.page, axe_source) == []
    hand.network(there=True)
    hand.press("Try again")
    hand.reads(COMPLAINT)


def test_a_device_of_long_ago_is_known_when_it_comes_back(launch: Launch, shop: Shop, axe_source: str) -> None:
    shop.server.stop()
    old = past(shop, 3, now_ms())[0]
    shop.server.start()
    hand = Person(launch("hand"), shop.server.url)
    hand.join(shop.link, "Counter 2")
    hand.sign_on(shop.badge("counter"), "Dapple")
    hand.network(there=False)
    hand.open(f"book/imei/{IMEI}")
    look_it_over(hand)
    hand.reads("Older jobs could not be asked for")
    assert faults(hand.page, axe_source) == []
    hand.network(there=True)
    hand.press("Ask again")
    hand.reads(COMPLAINT)
    hand.page.get_by_role("link", name=COMPLAINT).click()
    hand.reads(CUSTOMER)
    expect(hand.page.get_by_text(group(old.code)).first).to_be_visible()


def test_a_late_photo_of_a_job_that_was_put_away_meanwhile_waits_for_a_lead(
    launch: Launch, shop: Shop, axe_source: str
) -> None:
    hand = Person(launch("hand"), shop.server.url)
    hand.join(shop.link, "Counter 2")
    hand.sign_on(shop.badge("counter"), "Dapple")
    hand.synced()
    jobs = set(hand.page.evaluate(KEPT)["jobs"])
    hand.network(there=False)
    shop.server.stop()
    away = put_away_later(shop, now_ms())
    assert away & jobs
    code = sorted(away & jobs)[0]
    shop.server.start()
    hand.open(f"job/{code}/note")
    hand.fill("Note", "The customer brought the box it came in.")
    hand.photograph("Take a photo", photo("its box"))
    hand.press("Save the note")
    hand.network(there=True)
    hand.synced()

    lead = Person(launch("lead"), shop.server.url)
    lead.join(shop.join_link("Office", "lead"), "Office")
    lead.sign_on(shop.badge("lead"), "Ombra")
    lead.open("look-at")
    lead.reads("Came late, about something put away")
    assert faults(lead.page, axe_source) == []
    row = lead.page.get_by_role("listitem").filter(has_text=group(code)).filter(has_text="arrived after").first
    row.get_by_role("link", name="Open").click()
    lead.reads("The customer brought the box it came in.")
    lead.open("look-at")
    late = lead.page.get_by_role("listitem").filter(has_text="arrived after")
    while late.count() > 0:
        count = late.count()
        late.first.get_by_role("button", name="Looked at").click()
        expect(late).to_have_count(count - 1)
    lead.synced()
    assert lead.check_number() == hand.check_number() == shop.state_hash()
    assert "The customer brought the box it came in." in [shop.said(note["note"]) for note in shop.job(code)["notes"]]
    shop.verify()
