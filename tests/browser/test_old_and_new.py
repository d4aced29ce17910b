"""An app and a server of versions that do not understand each other any more (F8.10): nothing is lost, and people read
which of the two to update."""

import re
from collections.abc import Callable
from contextlib import suppress

import pytest
from playwright.sync_api import Error, Route, expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.robust import a_job, note, notes_of, same_everywhere, sign_on
from tests.browser.shop import Shop

ASKED = re.compile(r"/api/(sync/(push|pull)|docs|live)")
OLD = "0"


def as_old_app(route: Route) -> None:
    route.continue_(headers=route.request.headers | {"traymark-format": OLD})


def as_old_server(route: Route) -> None:
    with suppress(Error):  # the page may be gone before the answer is there
        answer = route.fetch()
        route.fulfill(response=answer, headers=answer.headers | {"traymark-format": OLD})


@pytest.mark.parametrize(
    ("meddle", "refusal", "what_to_do"),
    [
        (as_old_app, "This app is too old for the server", "Load this page again"),
        (as_old_server, "The server is too old for this app", "installs the newer Traymark"),
    ],
)
def test_what_is_written_stays_until_the_older_one_is_updated(
    launch: Launch, shop: Shop, meddle: Callable[[Route], None], refusal: str, what_to_do: str
) -> None:
    person = Person(launch("counter"), shop.server.url)
    person.join(shop.join_link("Counter", "counter"), "Counter")
    sign_on(person, shop.badge("counter"), "Dapple")
    person.synced()
    job = a_job(shop)

    person.page.route(ASKED, meddle)
    note(person, job, "between two versions")
    expect(person.page.locator(".sync-mark")).to_contain_text("Server refuses, 1 kept here")
    person.open("sync")
    person.reads(refusal)
    person.reads(what_to_do)
    person.page.reload()
    expect(person.page.locator(".sync-mark")).to_contain_text("1")

    person.page.unroute(ASKED)
    person.open("sync")
    person.press("Sync now")
    person.synced()
    person.sees("All is on the server")
    assert notes_of(shop, job)[-1] == "between two versions"
    same_everywhere(shop, person)
