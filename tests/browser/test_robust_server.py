"""A server that is killed, that is restored from an older copy, and that holds what no station could read."""

import json
import shutil
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from shutil import copytree

import pytest
from playwright.sync_api import Request, Route

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.robust import (
    a_job,
    copy_storage,
    entries_of,
    join_again,
    log_of,
    note,
    notes_of,
    put_storage_back,
    same_everywhere,
    sign_on,
    with_store,
)
from tests.browser.shop import Shop, open_shop
from traymark.api.who import COOKIE
from traymark.clock import system_clock_ms
from traymark.events.chain import genesis, link
from traymark.events.write import write_event
from traymark.log.store import Store
from traymark.stations.invites import make_invite
from traymark.stations.join import Joined, join


@pytest.fixture(scope="module")
def shop(built_app: Path, filled_demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """One shop for all tests of this file. What they leave in its log must be sound."""
    opened = open_shop(copytree(filled_demo, tmp_path_factory.mktemp("shop") / "data"))
    yield opened
    opened.verify()


def test_entries_drain_by_themselves_after_the_server_was_killed(launch: Launch, shop: Shop) -> None:
    person = Person(launch("counter"), shop.server.url)
    person.join(shop.join_link("Counter", "counter"), "Counter")
    sign_on(person, shop.badge("counter"), "Dapple")
    job = a_job(shop)
    before = notes_of(shop, job)
    person.synced()

    # An answer is lost on its way: the server has the entry, the station does not know.
    lost: list[str] = []

    def lose(route: Route, request: Request) -> None:
        if lost or "note.added" not in (request.post_data or ""):
            route.continue_()
            return
        route.fetch()
        lost.append(request.url)
        route.abort()

    person.page.route("**/api/sync/push", lose)
    note(person, job, "answered to nobody")
    person.wait(lambda: len(lost) == 1, "the lost answer")
    assert notes_of(shop, job)[-1] == "answered to nobody"

    note(person, job, "as the power went")
    shop.server.kill()
    note(person, job, "in the dark")
    entries, confirmed = entries_of(person)
    assert confirmed < entries
    shop.server.start()
    # Nobody presses anything.
    person.wait(lambda: "On the server" in person.page.locator(".sync-mark").inner_text(), "the entries to drain")
    assert notes_of(shop, job)[len(before) :] == ["answered to nobody", "as the power went", "in the dark"]
    same_everywhere(shop, person)


def test_a_restored_server_gets_back_what_its_stations_have(launch: Launch, shop: Shop, tmp_path: Path) -> None:
    one = Person(launch("counter"), shop.server.url)
    one.join(shop.join_link("Counter", "counter"), "Counter")
    two = Person(launch("back"), shop.server.url)
    two.join(shop.join_link("Back room", "counter"), "Back room")
    for person in (one, two):
        sign_on(person, shop.badge("counter"), "Dapple")
        person.synced()
    job = a_job(shop)
    before = notes_of(shop, job)
    shop.server.stop()
    shutil.copytree(shop.server.data_dir, tmp_path / "backup")
    shop.server.start()
    note(one, job, "after the backup")
    one.synced()
    # Its storage is copied, written on and put back: it goes on in a further chain that the backup does not know.
    copy_storage(one)
    note(one, job, "of a storage that was overwritten")
    one.synced()
    one.network(there=False)
    put_storage_back(one)
    note(one, job, "in the further chain")
    one.network(there=True)
    one.synced()
    note(two, job, "of the other station")
    two.synced()
    # A third one joins; the backup will not know it.
    late = Person(launch("late"), shop.server.url)
    late.join(shop.join_link("Late", "counter"), "Late")
    sign_on(late, shop.badge("counter"), "Dapple")
    note(late, job, "of a station that the backup does not know")
    late.synced()
    everything = notes_of(shop, job)[len(before) :]
    assert len(everything) == 5

    shop.server.stop()
    shutil.rmtree(shop.server.data_dir)
    shutil.copytree(tmp_path / "backup", shop.server.data_dir)
    with_store(shop, lambda store: store.begin_epoch())
    two.network(there=False)
    note(two, job, "while the server was away")
    shop.server.start()
    assert notes_of(shop, job)[len(before) :] == []
    two.network(there=True)
    for person in (one, two):
        person.open("sync")
        person.press("Sync now")
    two.wait(
        lambda: {"in the further chain", "while the server was away"} <= set(notes_of(shop, job)), "what is missing"
    )
    same_everywhere(shop, one, two)
    # The late one is told that it is not known, and keeps everything until it joins again.
    late.open("sync")
    late.press("Sync now")
    late.reads("This browser has not joined the shop")
    join_again(late, shop.join_link("Late", "counter"))
    same_everywhere(shop, one, two, late)
    # All is there again, once, but for what stood only in the storage that was overwritten.
    kept = [n for n in everything if n != "of a storage that was overwritten"]
    assert sorted(notes_of(shop, job)[len(before) :]) == sorted([*kept, "while the server was away"])
    of_one = [n for n in notes_of(shop, job) if n in ("after the backup", "in the further chain")]
    assert of_one == ["after the backup", "in the further chain"]


def test_an_entry_that_nobody_can_read_leaves_stations_and_server_alike(launch: Launch, shop: Shop) -> None:
    person = Person(launch("counter"), shop.server.url)
    person.join(shop.join_link("Counter", "counter"), "Counter")
    person.synced()
    broken = push_broken(shop)
    person.wait(lambda: shop.state_hash() == person.check_number(), "the broken entries to arrive")
    log = log_of(shop)
    assert [e.kind for e in log if e.incarnation == broken] == [None, None, "station.began"]
    person.page.reload()
    same_everywhere(shop, person)


def push_broken(shop: Shop) -> str:
    """Push, as a station with a broken program, two events that cannot be read and one that can. Its incarnation."""

    def joined_by(store: Store) -> Joined:
        code = make_invite(store, "Broken", "bench", system_clock_ms()).code
        joined = join(store, code, "Broken", None, system_clock_ms())
        assert isinstance(joined, Joined)
        return joined

    joined = with_store(shop, joined_by)
    station, incarnation = joined.station, joined.incarnation
    lines = [
        b"no JSON\twith a tab",
        # Sound by itself, at a place that it does not name.
        write_event("station.began", station, incarnation, 7, None, 1, None, {"reason": "joined"}),
        write_event("station.began", station, incarnation, 3, None, 1, None, {"reason": "joined"}),
    ]
    head = genesis(station, incarnation)
    for line in lines:
        head = link(head, line)
    header = {
        "incarnation": incarnation,
        "first_seq": 1,
        "prev": genesis(station, incarnation).hex(),
        "head": head.hex(),
    }
    request = urllib.request.Request(
        f"{shop.server.url}/api/sync/push",
        data=b"\n".join([json.dumps(header).encode(), *lines]),
        headers={"Cookie": f"{COOKIE}={joined.token}", "Content-Type": "application/x-ndjson"},
        method="POST",
    )
    with urllib.request.urlopen(request, timeout=10) as answer:
        assert [m["seq"] for m in json.load(answer)["malformed"]] == [1, 2]
    return incarnation
