"""A sign of liquid ends the repair: only closing up and handing back remain, and the customer is told plainly."""

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo, read_code
from tests.browser.shop import Shop
from tests.browser.walks import book_in, do_step, isolate, take_to_bench


def test_a_slightly_pink_indicator_stops_the_job(launch: Launch, shop: Shop) -> None:
    # That slightly pink counts as tripped: common practice, no source.
    hand = Person(launch("phone"), shop.server.url)
    hand.join(shop.link, "Bench and counter")
    hand.sign_on(shop.badge("counter"), "Dapple")
    job, ticket, device = book_in(hand)
    take_to_bench(hand, shop, device)

    hand.choose("Slightly pink: counts as tripped")
    hand.press("Signs of liquid: stop the job")
    hand.reads("A sign of liquid needs its photo")
    assert shop.job(job)["stop"] is None
    hand.photograph("Photo of the indicator", photo("pink indicator"))
    hand.press("Signs of liquid: stop the job")
    hand.sees("Stopped: Liquid inside")
    hand.page.reload()
    hand.sees("Stopped: Liquid inside")

    # The battery is unplugged, then nothing but the way out of what was opened; the tray must be empty in the end.
    hand.press("Close up")
    do_step(hand, "Take off the battery plate")
    isolate(hand, "Isolate power")
    do_step(hand, "Back: Take off the battery plate")
    do_step(hand, "Close the display")
    do_step(hand, "Back: Take out the latch screws")
    do_step(hand, "Put the card tray in")
    hand.sees("Nothing left over")
    hand.choose("The tray is empty, every pocket")
    hand.choose("Nothing of this device lies on the bench")
    hand.choose("Test traces removed")
    hand.press("Closed up: nothing left over")
    hand.sees("Closed up, not repaired")
    hand.synced()

    hand.sign_on(shop.badge("counter"), "Dapple")
    hand.scan(ticket)
    hand.sees("Quillet 5")
    hand.reads("Liquid inside")
    expect(hand.page.get_by_role("img", name="photo 1 of 1").first).to_be_visible()
    shown = shop.customer_page(read_code(ticket))
    assert "signs of liquid" in shown
    assert "<script" not in shown
    hand.press("Tell: to be picked up, not repaired")
    hand.choose("By call")
    hand.press("The customer was told")
    hand.sees("Quillet 5")
    hand.open(f"job/{job}/hand-over")
    hand.scan(device, at=f"job/{job}/hand-over")
    hand.press("Scan with the camera")
    hand.sees("Hand the device over")
    hand.press("Hand over")
    hand.reads("Handed over")
    hand.synced()
    record = shop.job(job)
    assert record["stage"] == "handed_over"
    assert record["stop"]["reason"] == "liquid"
    assert record["findings"] == []
    shop.verify()
