"""What breaks inside the app is told on the screen, with what to do next; no screen stays empty."""

import re

from playwright.sync_api import Page, expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.shop import Shop

DROP_A_SCREEN = """async (name) => {
    let dropped = 0;
    for (const cache of await caches.keys()) {
        const kept = await caches.open(cache);
        for (const request of await kept.keys()) {
            if (request.url.includes(`/assets/${name}-`) && await kept.delete(request)) dropped += 1;
        }
    }
    return dropped;
}"""
BREAK = """(method) => {
    IDBObjectStore.prototype[method] = () => { throw new DOMException("broken by a test", "UnknownError"); };
}"""


def alert(page: Page, text: str) -> None:
    expect(page.get_by_role("alert").filter(has_text=text)).to_be_in_viewport()


def test_a_screen_that_cannot_be_loaded_says_so_and_comes_when_it_can(launch: Launch, shop: Shop) -> None:
    person = Person(launch("bench"), shop.server.url)
    person.join(shop.link, "Bench 7")
    assert person.page.evaluate(DROP_A_SCREEN, "Queue") > 0
    person.network(there=False)
    person.open("queue")
    person.sees("Not loaded")
    alert(person.page, "Nothing that was saved is lost")
    person.press("Try again")
    person.sees("Not loaded")
    # The other screens are here and go on working.
    person.open("sync")
    person.sees(re.compile("server|only here"))
    person.network(there=True)
    person.open("queue")
    person.sees("Queue")


def test_a_reading_that_fails_says_so(launch: Launch, shop: Shop) -> None:
    person = Person(launch("bench"), shop.server.url)
    person.join(shop.link, "Bench 7")
    person.page.evaluate(BREAK, "getAll")
    person.open("print")
    person.sees("To print")
    alert(person.page, "What this station keeps cannot be opened")


def test_a_press_that_fails_says_so(launch: Launch, shop: Shop) -> None:
    person = Person(launch("bench"), shop.server.url)
    person.join(shop.link, "Bench 7")
    person.open("print")
    person.sees("To print")
    person.page.evaluate(BREAK, "put")
    person.choose("300")
    alert(person.page, "This could not be done here")
