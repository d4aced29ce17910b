"""What breaks inside the app is told on the screen, with what to do next; no screen stays empty."""

from playwright.sync_api import Page, expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.shop import Shop
from tests.server_process import ServerProcess

BREAK = """(method) => {
    IDBObjectStore.prototype[method] = () => { throw new DOMException("broken by a test", "UnknownError"); };
}"""


def alert(page: Page, text: str) -> None:
    expect(page.get_by_role("alert").filter(has_text=text)).to_be_in_viewport()


def test_a_screen_that_cannot_be_loaded_says_so_and_comes_when_it_can(launch: Launch, server: ServerProcess) -> None:
    # Without the service worker, and so without what it keeps.
    page = launch(service_workers="block").page
    page.route("**/assets/Emergency-*", lambda route: route.abort())
    page.goto(f"{server.url}/#/emergency")
    alert(page, "This screen cannot be loaded")
    page.get_by_role("button", name="Try again").click()
    alert(page, "This screen cannot be loaded")
    page.unroute("**/assets/Emergency-*")
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("heading", level=1, name="Emergency")).to_be_visible()


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
    person.page.get_by_label("300", exact=True).click()
    alert(person.page, "This could not be done here")
