"""The whole job through the screens, by the real camera path, on stations that were offline for part of it."""

import re

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo, read_code
from tests.browser.shop import Shop
from tests.browser.walks import (
    LACKING,
    OVER_TO_NEW,
    TO_TRIAL,
    book_in,
    close_up,
    do_step,
    isolate,
    nothing_left,
    open_up,
    prove_part,
    say_cured,
    say_of_points,
)


def test_the_whole_job_on_two_stations_that_were_offline_for_part_of_it(launch: Launch, shop: Shop) -> None:
    counter = Person(launch("counter"), shop.server.url)
    counter.join(shop.link, "Counter")
    counter.sign_on(shop.badge("counter"), "Dapple")
    job, ticket, device = book_in(counter)
    counter.synced()

    bench = Person(launch("bench"), shop.server.url)
    bench.join(shop.join_link("Bench 2", "bench"), "Bench 2")
    bench.synced()
    bench.sign_on(shop.badge("bench"), "Fennick")
    bench.scan(shop.named("tray", "A free tray"))
    bench.sees("Scan the device label")

    # From here on the bench has no network.
    bench.network(there=False)
    bench.scan(device, at=bench.path())
    open_up(bench)
    bench.press("Dry: go on")
    bench.reads("The indicator.")  # refused: nothing was looked at
    bench.choose("Untouched: white all over")
    bench.press("Dry: go on")
    do_step(bench, "Take off the battery plate")
    isolate(bench, "Isolate power")
    do_step(bench, "Take off the cable shield")

    # A reload in the middle of the work, still without a network, leads back to the same step.
    bench.sees("Unplug the three upper cables")
    bench.page.reload()
    bench.sees("Unplug the three upper cables")
    for heading in TO_TRIAL[1:]:
        do_step(bench, heading)

    prove_part(bench, shop.named("part", "Display assembly"))
    isolate(bench, "Isolate power again")
    for heading in OVER_TO_NEW:
        do_step(bench, heading)

    # Back on the network: everything drains by itself.
    bench.network(there=True)
    bench.synced()
    close_up(bench)
    bench.sees("Test the whole device")
    bench.synced()

    # A colleague at the second station takes the job over, without a network: a photo and a test result.
    colleague = counter
    colleague.sign_on(shop.named("badge", "Wembra"), "Wembra")
    colleague.open(f"bench/{job}")
    colleague.sees("Fennick has this job")
    colleague.network(there=False)
    colleague.press(re.compile("^Take"))
    colleague.sees("Test the whole device")
    colleague.press("Loudspeaker: works")
    colleague.open(f"job/{job}/note")
    colleague.photograph("Take a photo", photo("seen by a colleague"))
    colleague.fill("Note", "Loudspeaker tested with the long tone")
    colleague.press("Save the note")
    expect(colleague.page.locator(".sync-mark")).to_contain_text("Saved here")

    # The bench, knowing nothing of it, goes on.
    bench.press(LACKING)
    say_of_points(bench, "works")
    bench.press("Close the test")
    bench.reads("The complaint was not checked")  # refused: it is the first line
    say_cured(bench)
    bench.press("Close the test")
    bench.sees("Tag the old part")
    bench.choose("Cracked")
    bench.photograph("Photo of the old part", photo("old display"))
    bench.press("Give it a code")
    core = bench.label_printed_by("Print its label")
    bench.press("Done: labelled and packed")
    nothing_left(bench)
    bench.synced()

    # Both meet: the colleague's entries are there, nothing is lost, nothing counts twice, both show the same.
    colleague.network(there=True)
    colleague.synced()
    bench.wait(lambda: len({bench.check_number(), colleague.check_number(), shop.state_hash()}) == 1, "one state")
    record = shop.job(job)
    assert record["tests"]["final/loudspeaker"]["result"] == "pass"
    assert record["complaint_checks"]["final/1"]["cured"] == "yes"
    assert [look["traces"] for look in record["leftover"]] == ["removed"]
    assert shop.said(record["notes"][-1]["note"]) == "Loudspeaker tested with the long tone"
    assert "other" in [p["use"] for p in record["photos"].values()]
    assert record["stage"] == "ready" and record["findings"] == []

    # The shipping clerk scans the core into the box, counts, weighs and seals.
    clerk = bench
    clerk.sign_on(shop.badge("shipping"), "Quarto")
    box = read_code(shop.named("box", "2 in it, open"))
    clerk.scan(core, at=f"box/{box}")
    clerk.reads(re.compile("^In$"))
    clerk.scan(shop.named("core", "in no box yet"), at=f"box/{box}")
    clerk.reads(re.compile("^(In|Not in this box)$"))
    pieces = clerk.page.locator(".count b").inner_text()
    clerk.press("Count and seal")
    clerk.fill("Pieces you counted", "77")
    clerk.fill("Weight in grams", "640")
    clerk.press("Seal this box")
    clerk.reads(re.compile("77"))  # refused: the count differs
    clerk.fill("Pieces you counted", pieces)
    clerk.press("Seal this box")
    clerk.sees("Sealed")
    clerk.press("Handed to the shipper")
    clerk.sees("Handed to the shipper")
    clerk.synced()

    # The counter scans the ticket: what is owed next, tell, hand over by the device's label.
    counter.sign_on(shop.badge("counter"), "Dapple")
    counter.scan(ticket)
    counter.sees("Quillet 5")
    counter.press("Tell: it is ready")
    counter.choose("By message")
    counter.press("The customer was told")
    counter.sees("Quillet 5")
    counter.press("Hand over")
    counter.sees("Is it this device?")
    counter.station.camera.show(shop.named("device", "Ready to be handed over"))
    counter.press("Scan with the camera")
    counter.reads("This is not the device of this job")
    counter.scan(device, at=f"job/{job}/hand-over")
    counter.press("Scan with the camera")
    counter.sees("Hand the device over")
    counter.press("Hand over")
    counter.reads("Handed over")
    counter.synced()

    # The customer's own telephone sees a plain page; trace and log are sound to the end.
    shown = shop.customer_page(read_code(ticket))
    assert "handed over" in shown.lower() and "Tamsel" not in shown and "555-0142" not in shown
    counter.open(f"trace/{read_code(core)}")
    counter.reads(re.compile("supplier|shipper|shipping", re.I))
    assert shop.job(job)["findings"] == []
    assert counter.station.errors == [] or all("ERR_INTERNET_DISCONNECTED" in e for e in counter.station.errors)
    shop.verify()
