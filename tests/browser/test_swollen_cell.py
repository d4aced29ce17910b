"""A swollen cell, from its gate to the safe place: stopped, lifted by a lead, taken out on its own steps, recorded."""

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo
from tests.browser.shop import Shop
from tests.browser.walks import book_in, do_step, take_to_bench


def test_a_swollen_cell_is_taken_out_with_a_true_record(launch: Launch, shop: Shop) -> None:
    hand = Person(launch("phone"), shop.server.url)
    hand.join(shop.link, "Bench and counter")
    hand.sign_on(shop.badge("counter"), "Dapple")
    job, _, device = book_in(hand)
    take_to_bench(hand, shop, device)
    hand.choose("Untouched: white all over")
    hand.press("Dry: go on")
    do_step(hand, "Take off the battery plate")

    hand.sees("Isolate power")
    hand.choose("Swollen")
    hand.photograph("Photo, if it is safe to take", photo("swollen cell"))
    hand.press("Battery unsafe: stop the job")
    hand.sees("Stopped: Battery unsafe")
    hand.reads("Nothing is pressed, seated or screwed any more")
    expect(hand.page.get_by_role("link", name="Emergency")).to_be_visible()
    hand.press("Make it safe")
    do_step(hand, "Lay the parts loosely aside")
    hand.sees("Unplug the battery, if that is easy")
    hand.press("Left plugged in")
    do_step(hand, "Label the device")
    hand.sees("Bring it to the safe place")
    hand.press("Done: it lies in the safe place")
    hand.sees("In the safe place")
    # A lead decides, and the record says so for good.
    hand.sign_on(shop.badge("lead"), "Ombra")
    hand.open(f"job/{job}/lift")
    hand.sees("Lift the stop")
    hand.page.get_by_label("The unsafe cell is taken out").first.check()
    hand.fill("Why work may go on", "Fennick is trained for it, container and second person are there.")
    hand.press("Lift the stop")
    hand.wait(lambda: hand.path() == f"job/{job}", "the stop to be lifted")
    hand.sign_on(shop.badge("bench"), "Fennick")
    hand.open(f"bench/{job}")
    do_step(hand, "Make ready for a swollen cell")
    hand.sees("Isolate power")
    hand.choose("Swollen")
    hand.press("Done: unplugged, the cell comes out")
    do_step(hand, "Take the swollen cell out")
    hand.sees("Put the cell into the container")
    hand.press("Give the cell a code")
    hand.reads("Code of the cell")
    hand.press("Done: lid on, in the safe place")

    # The device has no battery now: it is closed without one and goes back.
    hand.sees("Stopped: Battery unsafe")
    hand.reads("The unsafe battery is out")
    hand.press("Close up")
    while not hand.page.get_by_role("heading", level=1, name="Nothing left over").is_visible():
        title = hand.page.get_by_role("heading", level=1).inner_text()
        do_step(hand, title)
        expect(hand.page.get_by_role("heading", level=1)).not_to_have_text(title)
    hand.choose("The tray is empty, every pocket")
    hand.choose("Nothing of this device lies on the bench")
    hand.choose("Test traces removed")
    hand.press("Closed up: nothing left over")
    hand.sees("Closed up, not repaired")
    hand.synced()
    record = shop.job(job)
    assert [check["battery"] for check in record["power"]] == ["swollen", "swollen"]
    assert (record["cell"], record["stage"], record["findings"]) == ("out", "ready", [])
    hand.open("safe")
    hand.reads("Battery")
    shop.verify()
