"""Photos that were shown are kept by the service worker alone: a station that forgets the shop forgets them (F8.11)."""

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo
from tests.browser.robust import a_job, join_again
from tests.browser.shop import Shop
from tests.browser.test_evidence import is_cached, look_at_all
from tests.browser.test_forgets import REACHED_AGO, customer_of, joined
from tests.browser.test_robust_stations import take_out

DAY_MS = 24 * 3_600_000

KEPT = """async (word) => {
    const kept = [];
    for (const name of await caches.keys()) {
        const cache = await caches.open(name);
        for (const request of await cache.keys()) {
            const path = new URL(request.url).pathname;
            if (path.startsWith("/api/")) kept.push(path);
            else if ((await (await cache.match(request)).text()).includes(word)) kept.push(`${path}: ${word}`);
        }
    }
    return kept;
}"""
"""What Cache Storage has of the shop: answers of the server, and files of the app with a word in them."""

PUT_BACK = """async (path) => {
    await (await caches.open("pictures-small")).put(path, new Response("picture"));
}"""
"""As if the page had been closed after the stores were emptied and before the pictures went."""


def kept(person: Person, word: str) -> list[str]:
    return person.page.evaluate(KEPT, word)


def shown_and_kept(launch: Launch, shop: Shop, name: str) -> tuple[Person, str, str, str]:
    """A station that has looked at a photo which another one took: it, the job, the photo, and the customer's name."""
    other = joined(launch, shop, "Other")
    job = a_job(shop)
    other.open(f"job/{job}/note")
    other.sees("Add a note or photo")
    other.photograph("Take a photo", photo("scratch"))
    other.synced()
    taken = next(reversed(shop.job(job)["photos"]))
    person = joined(launch, shop, name)
    person.open(f"job/{job}")
    look_at_all(person)
    person.wait(lambda: is_cached(person, taken), "the picture to be kept")
    customer = customer_of(shop, job)
    assert f"/api/blobs/{taken}" in kept(person, customer)
    return person, job, taken, customer


def test_a_station_that_was_silent_for_long_has_no_picture_left(launch: Launch, shop: Shop) -> None:
    person, job, taken, customer = shown_and_kept(launch, shop, "Drawer")
    person.network(there=False)
    person.page.evaluate(REACHED_AGO, 75 * DAY_MS)
    person.page.reload()
    person.sees("This station was silent for long")
    assert kept(person, customer) == []
    assert not is_cached(person, taken)

    person.page.evaluate(PUT_BACK, f"/api/blobs/{taken}?size=thumb")
    assert kept(person, customer) == [f"/api/blobs/{taken}"]
    person.page.reload()
    person.sees("This station was silent for long")
    assert kept(person, customer) == []

    person.network(there=True)
    person.synced()
    person.open(f"job/{job}")
    look_at_all(person)
    person.wait(lambda: is_cached(person, taken), "the picture to be kept again")


def test_a_station_that_was_taken_out_has_no_picture_left_and_gets_them_again(launch: Launch, shop: Shop) -> None:
    person, job, taken, customer = shown_and_kept(launch, shop, "Window")
    take_out(shop, "Window")
    person.page.evaluate("() => dispatchEvent(new Event('online'))")  # one of the moments at which a station asks
    person.wait(lambda: kept(person, customer) == [], "no picture")
    assert not is_cached(person, taken)
    person.reads(customer)  # the screen stays until it is left

    join_again(person, shop.join_link("Window", "counter"))
    person.open(f"job/{job}")
    look_at_all(person)
    person.wait(lambda: is_cached(person, taken), "the picture to be kept again")
