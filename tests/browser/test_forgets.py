"""A station that was silent for long, or was taken out, forgets the shop (F8.11). What it has not sent stays."""

import json
import re

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.robust import a_job, join_again, note, notes_of, same_everywhere, sign_on, with_store
from tests.browser.shop import Shop
from tests.browser.test_erasing import HELD
from tests.browser.test_robust_stations import take_out
from traymark.docs.keep import get_doc

DAY_MS = 24 * 3_600_000

REACHED_AGO = """(ms) => new Promise((done, failed) => {
    const asked = indexedDB.open("traymark-station");
    asked.onerror = () => failed(asked.error);
    asked.onsuccess = () => {
        const writing = asked.result.transaction("meta", "readwrite");
        writing.objectStore("meta").put({ name: "reached_ms", value: Date.now() - ms });
        writing.oncomplete = () => { asked.result.close(); done(); };
    };
})"""
"""As if the server had answered last so long ago."""


def customer_of(shop: Shop, job: str) -> str:
    """The name on a job's card."""
    doc = with_store(shop, lambda store: get_doc(store, shop.job(job)["contact"]))
    assert doc is not None and doc.body is not None
    return json.loads(doc.body)["name"]


def holds(person: Person, *words: str) -> list[str]:
    return person.page.evaluate(HELD, list(words))


def joined(launch: Launch, shop: Shop, name: str) -> Person:
    person = Person(launch(name), shop.server.url)
    person.join(shop.join_link(name, "counter"), name)
    sign_on(person, shop.badge("counter"), "Dapple")
    person.synced()
    return person


def test_a_station_that_was_silent_for_long_forgets_the_shop_and_sends_what_it_has(launch: Launch, shop: Shop) -> None:
    person = joined(launch, shop, "Drawer")
    job = a_job(shop)
    name = customer_of(shop, job)
    person.open(f"job/{job}")
    person.reads(name)

    person.network(there=False)
    note(person, job, "Not sent yet")
    person.page.evaluate(REACHED_AGO, 59 * DAY_MS)
    person.page.reload()
    person.reads(name)  # not silent for long enough
    person.page.evaluate(REACHED_AGO, 75 * DAY_MS)
    assert holds(person, name) != []
    person.page.reload()
    person.sees("This station was silent for long")
    person.reads(re.compile("It has not heard from the shop's server for 75 days. After 60 days"))
    person.reads("1 entry")
    assert holds(person, name) == []
    assert holds(person, "Not sent yet") != []
    with person.page.expect_download() as saved:
        person.press("Save what is not sent as a file")
    text = saved.value.path().read_text(encoding="utf-8")
    assert "Not sent yet" in text and name not in text
    person.press("Try again")
    person.reads("No network")
    person.open("queue")
    person.sees("This station was silent for long")
    person.page.reload()
    person.sees("This station was silent for long")
    assert "Not sent yet" not in notes_of(shop, job)

    person.network(there=True)
    person.synced()
    expect(person.page.get_by_role("heading", level=1, name="This station was silent for long")).to_have_count(0)
    assert notes_of(shop, job)[-1] == "Not sent yet"
    same_everywhere(shop, person)
    person.open(f"job/{job}")
    person.reads(name)
    person.page.reload()
    person.reads(name)
    shop.verify()


def test_a_station_taken_out_while_a_note_is_written_keeps_the_note(launch: Launch, shop: Shop) -> None:
    person = joined(launch, shop, "Window")
    job = a_job(shop)
    name = customer_of(shop, job)
    other = Person(person.station, shop.server.url)
    other.page = person.station.context.new_page()
    other.page.goto(f"{shop.server.url}/#/job/{job}")
    other.reads(name)
    person.open(f"job/{job}/note")
    person.sees("Add a note or photo")
    person.fill("Note", "Half of it")

    take_out(shop, "Window")
    person.page.evaluate("() => dispatchEvent(new Event('online'))")  # one of the moments at which a station asks
    expect(person.page.locator(".sync-mark")).to_contain_text("Server refuses")
    person.wait(lambda: holds(person, name) == [], "nothing of the shop")
    person.sees("Add a note or photo")
    expect(person.page.get_by_label("Note", exact=True)).to_have_value("Half of it")
    person.fill("Note", "Half of it and the rest")
    person.press("Save the note")
    person.sees("This station was taken out of the shop")
    person.reads("1 entry")
    assert holds(person, name) == []
    other.reads(name)  # the screen of the other tab stays until it is left, too
    other.page.evaluate("() => { location.hash = '#/queue' }")
    other.sees("This station was taken out of the shop")
    other.page.close()

    person.page.reload()
    person.sees("This station was taken out of the shop")
    person.reads("1 entry")
    assert holds(person, name) == []
    person.open("sync")
    person.reads(re.compile("What this station held of the shop is forgotten; what is not sent stays here"))
    assert "Half of it and the rest" not in notes_of(shop, job)

    join_again(person, shop.join_link("Window", "counter"))
    assert notes_of(shop, job)[-1] == "Half of it and the rest"
    same_everywhere(shop, person)
    person.open(f"job/{job}")
    person.reads(name)
    assert [error for error in person.station.errors if "Failed to load resource" not in error] == []
    shop.verify()
