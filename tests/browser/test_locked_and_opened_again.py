"""A device that stays locked, from its intake sheet to its record, opened again after the final test on the way."""

import re
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo
from tests.browser.shop import Shop
from tests.browser.usable import PHONE, faults
from tests.browser.walks import (
    LACKING,
    OVER_TO_NEW,
    TO_TRIAL,
    book_in,
    close_up,
    do_step,
    isolate,
    nothing_left,
    prove_part,
    say_cured,
    say_of_points,
    take_to_bench,
)
from traymark.rules.locked import barred_points
from traymark.tables import table

POINTS = table("test_points")["points"]
FINAL = [point for point, row in POINTS.items() if "final" in row["stages"]]
BARRED = barred_points()
ENTER = f"Enter these {len(BARRED)}: device stays locked"


def test_locked_device_is_tested_as_far_as_it_goes_and_anew_once_opened_again(
    launch: Launch, shop: Shop, axe_source: str, tmp_path: Path
) -> None:
    hand = Person(launch("bench"), shop.server.url)

    def looks_right(name: str) -> None:
        hand.page.screenshot(path=tmp_path / f"{name}.png", full_page=True)
        assert faults(hand.page, axe_source) == [], name
        hand.page.set_viewport_size(PHONE)
        hand.page.emulate_media(color_scheme="light")

    hand.join(shop.link, "Counter")
    hand.sign_on(shop.badge("counter"), "Dapple")
    job, _, device = book_in(hand, locked=True)
    hand.synced()
    tests = shop.job(job)["tests"]
    said = {point: tests[f"intake/{point}"] for point in POINTS}
    not_tested = {point: row["because"] for point, row in said.items() if row["result"] == "cannot"}
    lacking = {point for point, because in not_tested.items() if because == "lacking"}
    assert lacking and lacking <= {point for point, row in POINTS.items() if row.get("some_models")}
    assert {p: because for p, because in not_tested.items() if p not in lacking} == dict.fromkeys(BARRED, "locked")
    expect(hand.page.get_by_role("link", name="Let the device test itself")).to_have_count(0)

    take_to_bench(hand, shop, device)
    hand.choose("Untouched: white all over")
    hand.press("Dry: go on")
    do_step(hand, "Take off the battery plate")
    isolate(hand, "Isolate power")
    for heading in TO_TRIAL:
        do_step(hand, heading)
    prove_part(hand, shop.named("part", "Display assembly"))
    isolate(hand, "Isolate power again")
    for heading in OVER_TO_NEW:
        do_step(hand, heading)
    close_up(hand)

    # The final gate: what the lock bars has its reason ready, at its row and for all of them together.
    hand.sees("Test the whole device")
    hand.reads("Tested locked: as far as it goes")
    hand.reads("Open the camera from the lock screen and turn it to the front")
    hand.reads("Join the shop's network, open a page. Joining a network needs the settings, behind the lock.")
    expect(hand.page.get_by_role("link", name="Let the device test itself")).to_have_count(0)
    looks_right("final-locked")
    hand.press("Wireless network: cannot be tested, device stays locked")
    hand.press(ENTER.replace(str(len(BARRED)), str(len(BARRED) - 1)))
    hand.press(LACKING)
    say_of_points(hand, "works")
    say_cured(hand)
    hand.press("Close the test")
    hand.sees("Tag the old part")
    hand.choose("Cracked")
    hand.photograph("Photo of the old part", photo("old display"))
    hand.press("Give it a code")
    hand.press("Done: labelled and packed")
    nothing_left(hand)

    # Opened again: every point is open, and the gate waits for all of them.
    hand.press("Open it again on the bench")
    hand.sees("Test the whole device")
    hand.reads("Round 2: every point anew")
    hand.reads(f"{len(FINAL)} of {len(FINAL)} points open")
    hand.press(re.compile("^Close the test: "))
    hand.reads(re.compile(f"^{len(FINAL)} open: "))
    looks_right("final-round-2")
    hand.press(ENTER)
    hand.reads(f"{len(FINAL) - len(BARRED)} of {len(FINAL)} points open")
    hand.press("Close the test", exact=False)
    hand.reads(re.compile(f"^{len(FINAL) - len(BARRED)} open: "))
    hand.press(LACKING)
    say_of_points(hand, "works")
    hand.press("Close the test")
    hand.reads("The complaint was not checked")
    say_cured(hand)
    hand.press("Close the test")
    nothing_left(hand)
    hand.synced()
    record = shop.job(job)
    assert {key.partition("/")[2] for key in record["final_tests"]} == set(FINAL)
    assert {key.partition("/")[2] for key in record["tests"] if key.startswith("final/")} == set(FINAL)
    assert record["findings"] == [] and record["stage"] == "ready"

    # Counter and customer read what was not shown, and which test stands.
    names = ", ".join(POINTS[point]["name"] for point in BARRED)
    hand.open(f"job/{job}")
    hand.reads("It stays locked: tested locked")
    hand.reads(f"{len(BARRED)} points could not be shown: see Tests")
    hand.reads(f"Could not be shown: {names}.")
    hand.reads("Final is round 2.")
    looks_right("job-locked")
    hand.open(f"job/{job}/record")
    hand.reads(table("record")["locked"]["kept"])
    hand.reads(f"Could not be shown: {names}.")
    hand.reads(f"Test 1: {len(FINAL) - len(BARRED) - len(lacking)} worked; no test: {names}.")
    looks_right("record-locked")
