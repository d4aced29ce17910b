"""The app is on the station: it opens without a network, and changes only when a person agrees."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Error, Page

from tests.browser.app_copy import AppCopy
from tests.browser.conftest import Launch
from tests.server_process import ServerProcess

# Each is a function text: the server's content security policy forbids to evaluate plain expressions.
IS_GUARDED = "() => navigator.serviceWorker.controller !== null"
APP_IS_SHOWN = "() => document.querySelector('#app main') !== null"
FETCH_NEWER_VERSION = """async () => {
    const registration = await navigator.serviceWorker.getRegistration();
    await registration.update();
    const arriving = registration.installing;
    if (arriving !== null) {
        await new Promise((done) => arriving.addEventListener("statechange", done, { once: true }));
    }
    return registration.waiting?.state;
}"""
AGREE = """async () => {
    const registration = await navigator.serviceWorker.getRegistration();
    const changed = new Promise((done) => navigator.serviceWorker.addEventListener("controllerchange", done));
    registration.waiting.postMessage("take-over");
    await changed;
}"""
KEPT_BY_A_LATER_VERSION = """() => new Promise((done) => {
    const asked = indexedDB.open("traymark-station", 99);
    asked.onsuccess = () => { asked.result.close(); done(); };
})"""
SIZE_OF = """async (path) => {
    const answer = await fetch(path);
    return answer.ok ? (await answer.arrayBuffer()).byteLength : -answer.status;
}"""


@pytest.fixture
def copy(built_app: Path, tmp_path: Path) -> Iterator[AppCopy]:
    served = AppCopy(built_app, tmp_path / "app")
    yield served
    served.close()


def open_and_keep(page: Page, url: str) -> None:
    """Open the app and wait until all of it is on the station."""
    page.goto(url)
    page.wait_for_function(IS_GUARDED)
    page.wait_for_function(APP_IS_SHOWN)


def test_app_opens_again_without_network(launch: Launch, server: ServerProcess) -> None:
    station = launch()
    open_and_keep(station.page, server.url)
    server.stop()
    station.page.reload()
    station.page.wait_for_function(APP_IS_SHOWN)
    assert station.page.title() == "Traymark"


def test_app_opens_in_a_new_tab_without_network(launch: Launch, server: ServerProcess) -> None:
    station = launch()
    open_and_keep(station.page, server.url)
    station.context.set_offline(True)
    tab = station.context.new_page()
    tab.goto(f"{server.url}/?from=home#/scan")
    tab.wait_for_function(APP_IS_SHOWN)


def test_app_says_so_when_it_cannot_open_what_it_keeps(launch: Launch, server: ServerProcess) -> None:
    station = launch()
    station.page.goto(f"{server.url}/api/health")
    station.page.evaluate(KEPT_BY_A_LATER_VERSION)
    station.page.goto(server.url)
    station.page.get_by_role("alert").filter(has_text="What this station keeps cannot be opened").wait_for()


def test_server_runs_the_app_under_its_own_policy_without_a_complaint(launch: Launch, server: ServerProcess) -> None:
    station = launch()
    open_and_keep(station.page, server.url)
    refused = [line for line in station.errors if "Content Security Policy" in line]
    assert refused == []


def test_every_file_of_the_app_is_on_the_station_after_the_first_visit(
    launch: Launch, copy: AppCopy, built_app: Path
) -> None:
    station = launch()
    open_and_keep(station.page, copy.url)
    copy.close()
    names = {path.relative_to(built_app).as_posix() for path in built_app.rglob("*") if path.is_file()}
    # The worker itself is the browser's to keep; the self-test runs on another device, never here.
    names -= {"sw.js", ".built-from", "selftest/selftest.js", "selftest/selftest.css"}
    assert any(name.endswith(".js") for name in names)
    wrong = {
        name: (size, (built_app / name).stat().st_size)
        for name in sorted(names)
        if (size := station.page.evaluate(SIZE_OF, f"/{name}")) != (built_app / name).stat().st_size
    }
    assert wrong == {}


@pytest.mark.parametrize("path", ["/T/0123456789ABCDEFGHJKMNPQRS", "/api/health", "/jobs"])
def test_app_never_answers_in_the_place_of_the_server(launch: Launch, copy: AppCopy, path: str) -> None:
    station = launch()
    open_and_keep(station.page, copy.url)
    station.context.set_offline(True)
    with pytest.raises(Error, match="ERR_INTERNET_DISCONNECTED"):
        station.page.goto(f"{copy.url}{path}")


def test_newer_version_waits_until_a_person_agrees(launch: Launch, copy: AppCopy) -> None:
    station = launch()
    open_and_keep(station.page, copy.url)
    copy.publish_newer_version("Traymark, newer")
    assert station.page.evaluate(FETCH_NEWER_VERSION) == "installed"

    station.page.reload()
    station.page.wait_for_function(APP_IS_SHOWN)
    assert station.page.title() == "Traymark"

    # A person agrees on a screen that is there. While the page still loads, the browser may take five minutes for it.
    station.page.evaluate(AGREE)
    station.page.reload()
    assert station.page.title() == "Traymark, newer"


def test_newer_version_that_took_over_opens_without_network(launch: Launch, copy: AppCopy) -> None:
    station = launch()
    open_and_keep(station.page, copy.url)
    copy.publish_newer_version("Traymark, newer")
    assert station.page.evaluate(FETCH_NEWER_VERSION) == "installed"
    station.page.evaluate(AGREE)
    station.context.set_offline(True)
    station.page.reload()
    station.page.wait_for_function(APP_IS_SHOWN)
    assert station.page.title() == "Traymark, newer"
