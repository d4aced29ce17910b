"""Unsafe at the counter: three questions before any test, the short way in, the safe place, and who may hand it out."""

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo, read_code
from tests.browser.shop import Shop
from tests.browser.usable import faults
from tests.browser.walks import IMEI, QUESTIONS, book_in, look_it_over


def at_the_counter(launch: Launch, shop: Shop) -> Person:
    hand = Person(launch("counter"), shop.server.url)
    hand.join(shop.link, "Counter")
    hand.sign_on(shop.badge("counter"), "Dapple")
    return hand


def whose_it_is(hand: Person, complaint: str) -> None:
    """Device, model, customer, complaint: all that the short way asks."""
    hand.sees("Which device is it?")
    hand.fill("Or type the number", IMEI)
    hand.press("Take it")
    hand.press("Next")
    hand.sees("Which model is it?")
    hand.choose("Quillet 5")
    hand.press("Next")
    hand.sees("Who brings it?")
    hand.fill("Name", "Tamsel Orrow")
    hand.fill("Telephone", "555-0142")
    hand.press("Next")
    hand.fill("Complaint", complaint)
    hand.press("Next")
    hand.sees("Is this right?")


def job_code(hand: Person) -> str:
    return hand.page.locator(".book-code .code").inner_text().replace(" ", "")


def test_a_bulging_device_goes_the_short_way_and_only_a_lead_hands_it_out(
    launch: Launch, shop: Shop, axe_source: str
) -> None:
    hand = at_the_counter(launch, shop)
    hand.open("book")
    hand.sees("Is it safe to handle?")
    assert faults(hand.page, axe_source) == []
    hand.press("Next")
    hand.reads("Answer by looking: Is it wet? Does it bulge? Is it hot, or does it smell?")
    hand.choose("Yes", within=QUESTIONS["bulging"])
    hand.reads("Battery unsafe: hands off the repair")
    expect(hand.page.get_by_role("link", name="Emergency")).to_have_attribute("href", "#/emergency")
    hand.choose("No", within=QUESTIONS["wet"])
    hand.choose("No", within=QUESTIONS["hot"])
    hand.photograph("Photo, if it is safe to take", photo("the back is lifted"))
    assert faults(hand.page, axe_source) == []
    hand.page.reload()
    hand.reads("Battery unsafe: hands off the repair")
    hand.press("Next")
    whose_it_is(hand, "Back comes off by itself")
    # No line of the summary leads to a test, a lock, an agreement, a price or a promise.
    changes = hand.page.locator('button[aria-label^="Change: "]').all()
    assert [(button.get_attribute("aria-label") or "").removeprefix("Change: ") for button in changes] == [
        "Is it safe to handle?",
        "Which device is it?",
        "Which model is it?",
        "Who brings it?",
        "What is wrong?",
    ]
    assert faults(hand.page, axe_source) == []
    hand.press("Book in as unsafe: to the safe place")
    hand.sees("Quillet 5 is booked in")
    hand.reads("A lead decides: the cell comes out, or the device stays in the safe place.")
    expect(hand.page.get_by_role("group")).to_have_count(0)
    expect(hand.page.get_by_text("Promised for")).to_have_count(0)
    assert faults(hand.page, axe_source) == []
    code = job_code(hand)
    ticket = hand.label_printed_by("Print ticket")
    device = hand.label_printed_by("Print device label")
    hand.synced()

    job = shop.job(code)
    assert (job["stage"], job["stop"]["reason"], job["cell"]) == ("stopped", "battery", "swollen")
    assert (job["tests"], job["lock"], job["promised_at_ms"], job["consents"]) == ({}, None, None, [])
    assert len(job["safety"][0]["photos"]) == 1
    page = shop.customer_page(read_code(ticket))
    assert "Do not use, charge or press the device." in page
    assert "It lies in our safe place." in page

    hand.open(f"job/{code}")
    hand.sees("Quillet 5")
    hand.reads("In the safe place")
    hand.press("Tell: Battery unsafe")
    hand.choose("In person")
    hand.press("The customer was told")
    hand.reads("A lead decides: the cell comes out, or the device stays in the safe place.")
    for name in ("Hand over", "Hand out with the unsafe battery"):
        expect(hand.page.get_by_role("button", name=name)).to_have_count(0)
        expect(hand.page.get_by_role("link", name=name)).to_have_count(0)
    assert faults(hand.page, axe_source) == []
    hand.open(f"job/{code}/hand-over")
    hand.reads("A device with an unsafe battery stays in the safe place")

    hand.sign_on(shop.badge("lead"), "Ombra")
    hand.open(f"job/{code}")
    hand.page.get_by_role("link", name="Hand out with the unsafe battery").click()
    hand.sees("Is it this device?")
    hand.station.camera.show(device)
    hand.press("Scan with the camera")
    hand.sees("Hand the device over")
    expect(hand.page.get_by_role("button", name="Write what the owner was told")).to_be_disabled()
    hand.fill("What the owner was told of the danger", "Not to charge or press it; collection point today")
    assert faults(hand.page, axe_source) == []
    hand.press("Hand out with the unsafe battery")
    hand.reads("Handed over")
    hand.synced()
    job = shop.job(code)
    assert job["stage"] == "handed_over" and job["findings"] == []
    assert shop.said(job["owner_told"]) == "Not to charge or press it; collection point today"
    assert "Do not use, charge, press" in shop.customer_page(read_code(ticket))
    shop.verify()


def test_a_wet_device_stays_off_and_the_customer_reads_so(launch: Launch, shop: Shop, axe_source: str) -> None:
    hand = at_the_counter(launch, shop)
    hand.open("book")
    look_it_over(hand, wet=True)
    whose_it_is(hand, "Fell into the sink")
    hand.press("Book in as wet: it stays off")
    hand.sees("Quillet 5 is booked in")
    hand.reads("Wet: leave it off")
    assert faults(hand.page, axe_source) == []
    code = job_code(hand)
    ticket = hand.label_printed_by("Print ticket")
    hand.synced()
    assert shop.job(code)["stop"]["reason"] == "liquid"
    said = "Do not charge it and do not switch it on until somebody has dried and looked at it."
    assert said in shop.customer_page(read_code(ticket))
    hand.open(f"job/{code}/tell/stop")
    hand.sees("Tell why it stopped")
    text = hand.page.get_by_label("Text", exact=True).input_value()
    assert said in text and text.index("save your data") > text.index(said)
    shop.verify()


def test_a_usual_booking_goes_on_after_three_times_no_and_is_stopped_by_hand(launch: Launch, shop: Shop) -> None:
    hand = at_the_counter(launch, shop)
    code, _, _ = book_in(hand)
    hand.synced()
    job = shop.job(code)
    assert job["stage"] == "booked" and job["stop"] is None and job["findings"] == []
    [check] = job["safety"]
    assert (check["at"], check["wet"], check["bulging"], check["hot"]) == ("counter", "no", "no", "no")
    assert "warranty_terms" in job["consents"] and job["terms"] is None

    # It got warm while it lay here: the stop says how the battery is, and the device goes to the safe place.
    hand.open(f"job/{code}/stop")
    hand.choose("Battery unsafe")
    expect(hand.page.get_by_role("button", name="Say how the battery is")).to_be_disabled()
    hand.choose("Hot")
    hand.fill("Note for the record", "Warm at the edge")
    hand.press("Stop the job")
    hand.press("It is in the safe place now")
    hand.reads("In the safe place")
    expect(hand.page.get_by_role("button", name="It is in the safe place now")).to_have_count(0)
    hand.synced()
    job = shop.job(code)
    assert (job["stop"]["reason"], job["cell"], job["findings"]) == ("battery", "hot", [])
    shop.verify()
