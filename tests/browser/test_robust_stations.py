"""Stations with a wrong clock, with two tabs, with a copied storage, and one that was taken out.

What the server holds is written in the notation of FORMAT F10.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from shutil import copytree

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, read_code
from tests.browser.robust import (
    a_job,
    chain_of,
    chains_in_notation,
    copy_storage,
    entries_of,
    heads_of,
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
from traymark.clock import system_clock_ms
from traymark.stations.registry import all_stations, revoke

DAY_MS = 24 * 3_600_000

_SHIFT_CLOCK = """
const Right = Date;
globalThis.Date = class extends Right {
    constructor(...given) { if (given.length === 0) super(Right.now() + SHIFT); else super(...given); }
    static now() { return Right.now() + SHIFT; }
};
"""


@pytest.fixture(scope="module")
def shop(built_app: Path, filled_demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """One shop for all tests of this file. What they leave in its log must be sound."""
    opened = open_shop(copytree(filled_demo, tmp_path_factory.mktemp("shop") / "data"))
    yield opened
    opened.verify()


def test_clocks_that_are_a_day_wrong_change_no_order_and_are_told(launch: Launch, shop: Shop) -> None:
    fast, slow = launch("fast"), launch("slow")
    fast.context.add_init_script(_SHIFT_CLOCK.replace("SHIFT", str(DAY_MS)))
    slow.context.add_init_script(_SHIFT_CLOCK.replace("SHIFT", str(-DAY_MS)))
    one, two = Person(fast, shop.server.url), Person(slow, shop.server.url)
    one.join(shop.join_link("Fast", "counter"), "Fast")
    two.join(shop.join_link("Slow", "counter"), "Slow")
    for person in (one, two):
        sign_on(person, shop.badge("counter"), "Dapple")
    job = a_job(shop)
    before = notes_of(shop, job)
    for person, text in ((one, "first"), (two, "second"), (one, "third"), (two, "fourth")):
        note(person, job, text)
        person.synced()
    assert notes_of(shop, job)[len(before) :] == ["first", "second", "third", "fourth"]
    times = [n["at_ms"] - system_clock_ms() for n in shop.job(job)["notes"][len(before) :]]
    assert times[0] > DAY_MS / 2 > -DAY_MS / 2 > times[1]  # the clocks were wrong indeed
    same_everywhere(shop, one, two)
    for person, said in ((one, "fast"), (two, "slow")):
        person.open("sync")
        person.reads(re.compile(rf"^This station's clock is (1439|1440|1441) min {said}$"))
        person.open(f"job/{job}")
    assert one.station.errors == [] and two.station.errors == []


def test_two_tabs_of_one_station_write_at_the_same_time(launch: Launch, shop: Shop) -> None:
    station = launch("counter")
    one = Person(station, shop.server.url)
    one.join(shop.join_link("Two tabs", "counter"), "Two tabs")
    sign_on(one, shop.badge("counter"), "Dapple")
    two = Person(replace(station, page=station.context.new_page()), shop.server.url)
    two.page.goto(f"{shop.server.url}/#/scan")
    expect(two.page.locator(".head-name")).to_have_text("Dapple")
    job = a_job(shop)
    before = notes_of(shop, job)
    texts: list[str] = []
    for turn in range(5):
        for person, text in ((one, f"left {turn}"), (two, f"right {turn}")):
            person.open(f"job/{job}/note")
            person.sees("Add a note or photo")
            person.fill("Note", text)
            texts.append(text)
        for person in (one, two):  # neither waits for the other
            person.page.evaluate(
                "() => { setTimeout(() => document.querySelector('.dock .main, .dock button:last-child').click()) }"
            )
        for person in (one, two):
            person.page.wait_for_function("(job) => location.hash === `#/job/${job}`", arg=job)
    for person in (one, two):
        person.synced()
    same_everywhere(shop, one, two)
    assert sorted(notes_of(shop, job)[len(before) :]) == sorted(texts)
    chain = chain_of(one)
    assert chain == chain_of(two)
    held, confirmed = entries_of(one)
    assert held == confirmed and entries_of(two) == (held, held)
    assert chains_in_notation(shop, chain) == f"{chain}.1..{held}"

    # The tab that talked to the server is closed: the other one takes over.
    one.page.close()
    note(two, job, "alone now")
    two.synced()
    assert notes_of(shop, job)[-1] == "alone now"


def test_a_copied_storage_continues_in_a_chain_of_its_own(launch: Launch, shop: Shop) -> None:
    person = Person(launch("desk"), shop.server.url)
    person.join(shop.join_link("Copied", "shipping"), "Copied")
    sign_on(person, shop.badge("shipping"), "Quarto")
    job = a_job(shop)
    core = read_code(shop.named("core", "in no box yet"))
    # The demo's open credit box says which supplier the core goes to.
    person.open(f"box/{read_code(shop.named('box', '2 in it, open'))}")
    person.wait(lambda: person.page.locator(".count").count() == 1, "the box")
    supplier = person.page.get_by_role("heading", level=1).inner_text().partition(":")[0]
    note(person, job, "before the copy")
    person.synced()
    old = chain_of(person)
    n, _ = entries_of(person)
    assert chains_in_notation(shop, old) == f"{old}.1..{n}"
    copy_storage(person)
    repeated = open_box(person, supplier)
    note(person, job, "of the first copy")
    person.synced()
    assert chains_in_notation(shop, old) == f"{old}.1..{n + 3}"

    person.network(there=False)
    put_storage_back(person)
    assert open_box(person, supplier) == repeated  # the copy knows nothing of it and mints the same code
    person.fill("Or type the code", core)
    person.page.keyboard.press("Enter")
    person.reads(re.compile("^In$"))
    person.press(re.compile("^Take out"))
    person.wait(lambda: person.page.locator(".count b").inner_text() == "0", "the core to be out")
    note(person, job, "of the second copy")
    person.network(there=True)
    person.synced()

    # Box opened and placed, core in and out, note: n+1' to n+5' came for seqs that were taken, and are new.2 to new.6.
    new = chain_of(person)
    assert chains_in_notation(shop, old, new) == (
        f"{old}.1..{n + 3} {new}.1<{old} {new}.2..6; {old}.{n + 1}'..{n + 5}'"
    )
    assert notes_of(shop, job)[-3:] == ["before the copy", "of the first copy", "of the second copy"]
    log = log_of(shop)
    # The core went out by a move that follows the one in under its new name, so it has one head.
    assert heads_of(shop, core) == f"{{{new}.5 shipping}}"
    same_everywhere(shop, person)
    # Both copies minted the same code once. The record shows one box with both openings in its history, and two heads,
    # since the moves do not know of each other; they name the same place, so that nobody is asked which one is right.
    openings = [e.incarnation for e in log if e.kind == "box.opened" and e.event and e.event["body"]["box"] == repeated]
    assert openings == [old, new]
    assert heads_of(shop, repeated) == f"{{{old}.{n + 2} shipping, {new}.3 shipping}}"
    fresh = open_box(person, supplier)
    assert fresh[1:4] == new and fresh != repeated


def test_a_station_that_was_taken_out_keeps_its_entries_until_it_joins_again(launch: Launch, shop: Shop) -> None:
    person = Person(launch("counter"), shop.server.url)
    person.join(shop.join_link("Window", "counter"), "Window")
    sign_on(person, shop.badge("counter"), "Dapple")
    job = a_job(shop)
    person.synced()

    # The note is written before the station can hear of it: hearing of it with nothing unsent, it would forget the job.
    person.network(there=False)
    take_out(shop, "Window")
    note(person, job, "while taken out")
    person.network(there=True)
    expect(person.page.locator(".sync-mark")).to_contain_text(re.compile("Server refuses, 1 kept here"))
    person.open("sync")
    person.reads("This station was taken out of the shop")
    person.reads("Ask a lead for a new join code. Entries kept here stay here until then.")
    person.page.reload()
    expect(person.page.locator(".sync-mark")).to_contain_text("1")
    assert "while taken out" not in notes_of(shop, job)

    join_again(person, shop.join_link("Window", "counter"))
    assert notes_of(shop, job)[-1] == "while taken out"
    same_everywhere(shop, person)

    # Taken out once more, and the browser has lost its cookie: it becomes another station, and nothing stays behind.
    sign_on(person, shop.badge("counter"), "Dapple")
    person.synced()
    person.network(there=False)
    take_out(shop, "Window")
    note(person, job, "for another station")
    person.network(there=True)
    person.station.context.clear_cookies()
    join_again(person, shop.join_link("Second window", "counter"))
    assert notes_of(shop, job)[-2:] == ["while taken out", "for another station"]
    ours = [e for e in log_of(shop) if e.kind == "note.added" and e.event["job"] == job][-2:]
    assert ours[0].event["station"] != ours[1].event["station"]
    same_everywhere(shop, person)


def open_box(person: Person, supplier: str) -> str:
    """Open a box under a new label. Its code."""
    person.open("box/new")
    person.choose(supplier)
    person.choose("Core credit")
    person.press("Open this box")
    person.reads("Scan the label of each part")
    return person.path().partition("/")[2]


def take_out(shop: Shop, name: str) -> None:
    """As a lead does on the Shop screen of another station."""
    with_store(
        shop,
        lambda store: revoke(
            store, next(s.id for s in all_stations(store) if s.name == name and not s.revoked_at_ms), system_clock_ms()
        ),
    )
