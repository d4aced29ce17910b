"""A start that is slow, that fails, or that has nothing yet: the person is told, and what is not sent is safe."""

import json
from pathlib import Path
from threading import Event

from playwright.sync_api import Route, expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.shop import Shop
from tests.browser.usable import faults

SPOIL = """(store) => new Promise((done) => {
    const asked = indexedDB.open("traymark-station");
    asked.onsuccess = () => {
        const writing = asked.result.transaction(store, "readwrite");
        const cursor = writing.objectStore(store).openCursor();
        cursor.onsuccess = () => {
            if (cursor.result === null) return;
            const lines = { ...cursor.result.value, lines: 5, last: 1e9 };
            const record = { ...cursor.result.value, record: 5 };
            cursor.result.update(store === "chunks" ? lines : record);
            cursor.result.continue();
        };
        writing.oncomplete = () => { asked.result.close(); done(); };
    };
})"""
"""Every row of a store becomes one that this program never wrote."""

OCCUPY = """() => new Promise((begun) => {
    const asked = indexedDB.open("traymark-station");
    asked.onsuccess = () => {
        const chunks = asked.result.transaction("chunks", "readwrite").objectStore("chunks");
        const again = () => {
            if (window.isDone) asked.result.close();
            else chunks.count().onsuccess = again;
        };
        again();
        begun();
    };
})"""
"""Writing that takes a while, so that reading has to wait."""


def test_a_start_that_fails_says_so_keeps_what_is_not_sent_and_can_fetch_the_rest_again(
    launch: Launch, shop: Shop, axe_source: str
) -> None:
    hand = Person(launch("bench"), shop.server.url)
    hand.join(shop.link, "Bench 2")
    hand.sign_on(shop.badge("bench"), "Fennick")
    hand.synced()
    number = hand.check_number()
    hand.network(there=False)
    hand.sign_on(shop.badge("lead"), "Ombra")
    hand.station.camera.show_nothing()
    hand.page.evaluate(SPOIL, "chunks")
    hand.page.reload()
    hand.sees("Traymark cannot start")
    assert faults(hand.page, axe_source) == []

    with hand.page.expect_download() as downloading:
        hand.press("Save what is not sent as a file")
    first, *lines = Path(downloading.value.path()).read_text("utf-8").splitlines()
    assert json.loads(first)["events"] == 1
    assert [json.loads(line)["kind"] for line in lines] == ["staff.signed_on"]

    hand.press("Fetch the shop's log again")
    hand.sees("Scan")
    expect(hand.page.locator(".head-name")).to_have_text("Ombra")
    hand.network(there=True)
    hand.synced()
    assert hand.check_number() not in ("", number)
    assert hand.check_number() == shop.state_hash()


def test_records_that_make_no_sense_are_fetched_again(launch: Launch, shop: Shop) -> None:
    hand = Person(launch("bench"), shop.server.url)
    hand.join(shop.link, "Bench 2")
    hand.sign_on(shop.badge("bench"), "Fennick")
    hand.synced()
    number = hand.check_number()
    hand.page.evaluate(SPOIL, "records")
    hand.page.reload()
    hand.wait(lambda: hand.check_number() == number, "the same state")


def test_a_slow_start_says_that_it_is_at_work(launch: Launch, shop: Shop, axe_source: str) -> None:
    hand = Person(launch("bench"), shop.server.url)
    hand.join(shop.link, "Bench 2")
    other = hand.page.context.new_page()
    other.goto(f"{shop.server.url}/api/health")
    other.evaluate(OCCUPY)
    hand.page.reload()
    hand.sees("Still starting")
    assert faults(hand.page, axe_source) == []
    other.evaluate("() => { window.isDone = true }")
    hand.sees("Scan")


def test_people_sign_on_while_the_log_still_arrives(launch: Launch, shop: Shop) -> None:
    # What passes through a service worker cannot be held up.
    hand = Person(launch("bench", service_workers="block"), shop.server.url)
    held: list[Route] = []
    let_through = Event()
    hand.page.route("**/api/live", lambda r: r.continue_() if let_through.is_set() else held.append(r))
    hand.page.goto(shop.link)
    hand.page.get_by_label("Name of this station").fill("Bench 2")
    with hand.page.expect_request("**/api/live"):
        hand.press("Join")
    hand.sees("Scan")
    hand.sign_on(shop.badge("bench"), "Fennick")
    assert held, "what came was not held up"
    let_through.set()
    for route in held:
        route.continue_()
    hand.synced()
    expect(hand.page.locator(".head-name")).to_have_text("Fennick")
    assert hand.check_number() == shop.state_hash()
