"""The emergency page, one press away without network or sign-on; the safe place; what a collector takes for good."""

import re

from playwright.sync_api import Locator, expect

from tests.browser.conftest import DESK, Launch
from tests.browser.person import Person, photo, read_code
from tests.browser.shop import Shop


def mark(person: Person) -> Locator:
    """The way to the emergency page in the head."""
    return person.page.get_by_role("banner").get_by_role("link", name="Emergency")


def call(person: Person) -> Locator:
    return person.page.get_by_role("link", name=re.compile("^Call"))


def test_the_emergency_page_is_one_press_away_without_network_or_sign_on(launch: Launch, shop: Shop) -> None:
    hand = Person(launch("bench"), shop.server.url)
    hand.join(shop.link, "Bench 1")
    tray = read_code(shop.named("tray", "A free tray"))
    hand.network(there=False)
    hand.page.reload()
    for screen, heading in (
        (f"tray/{tray}", "Nobody is signed on"),
        ("boxes", "Boxes"),
        ("part/new", "Receive a part"),
        ("safe", "Safe place"),
    ):
        hand.open(screen)
        hand.sees(heading)
        box = mark(hand).bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 48
        mark(hand).click()
        hand.sees("Emergency")
        expect(call(hand)).to_have_attribute("href", "tel:5550199")
        for words in ("We meet at the lantern across the street", "Steel box with a lid", "Ombra; when she"):
            hand.reads(re.compile(words))
        hand.reads("Everybody out of the room. Door shut.")
        hand.reads(re.compile("Call the fire service"))
    # A copy for the wall needs no server either.
    hand.page.evaluate("() => { window.print = () => { document.title = 'printed' } }")
    hand.press("Print this page")
    expect(hand.page).to_have_title("printed")
    # The start page and the counter's own screens are no bench.
    hand.open("queue")
    hand.sees("Queue")
    expect(mark(hand)).to_have_count(0)


def test_a_browser_that_never_joined_says_what_everybody_does(launch: Launch, shop: Shop) -> None:
    stranger = Person(launch("stranger"), shop.server.url)
    stranger.page.goto(f"{shop.server.url}/#/emergency")
    stranger.sees("Emergency")
    stranger.reads(re.compile("No number is written yet"))
    stranger.reads("Everybody out of the room. Door shut.")
    expect(call(stranger)).to_have_count(0)


def test_what_a_lead_writes_on_the_emergency_page_is_read_at_another_station(launch: Launch, shop: Shop) -> None:
    lead = Person(launch("lead", viewport=DESK), shop.server.url)
    lead.join(shop.link, "Office")
    lead.sign_on(shop.badge("lead"), "Ombra")
    other = Person(launch("other"), shop.server.url)
    other.join(shop.join_link("Bench 2", "bench"), "Bench 2")

    lead.open("shop/settings")
    lead.sees("Settings")
    lead.fill("Emergency number", "ask Ombra")
    lead.press("Save")
    lead.reads("Write the emergency number as it is dialled, in digits only.")
    lead.fill("Emergency number", "+1 555-0177")
    lead.fill("Container", "")
    lead.fill("Safe place and meeting place", "Behind the coal shed")
    lead.press("Save")
    lead.reads("Saved on the server")

    other.open("emergency")
    other.reads("Behind the coal shed")
    expect(call(other)).to_have_attribute("href", "tel:+15550177")
    expect(other.page.locator("dt:has-text('Container') + dd")).to_contain_text("Not written yet")
    other.open("safe")
    other.reads("Behind the coal shed")


def test_the_safe_place_refuses_shelf_and_bin_and_a_collector_takes_things_for_good(launch: Launch, shop: Shop) -> None:
    desk = Person(launch("desk"), shop.server.url)
    desk.join(shop.link, "Shipping desk")
    desk.sign_on(shop.badge("lead"), "Ombra")
    core = _core_that_swells(desk, shop)

    # The swollen core belongs there; a press says that it lies there now.
    desk.open("queue")
    desk.reads(re.compile("1 unsafe and not in the safe place; 2 in the safe place, oldest 4 days"))
    desk.page.get_by_role("link", name=re.compile("in the safe place, oldest")).click()
    desk.sees("Safe place")
    desk.press(re.compile("^It lies here now"))
    expect(desk.page.get_by_text("These belong here and are somewhere else")).to_have_count(0)
    rows = desk.page.get_by_role("region", name="Here, the longest first").get_by_role("listitem")
    expect(rows).to_have_count(3)
    expect(rows.nth(0)).to_contain_text("Battery damaged: ask a licensed shipper")
    expect(rows.nth(0)).to_contain_text("Here for 4 days")
    expect(rows.nth(1)).to_contain_text("Battery swollen")
    expect(rows.nth(1)).to_contain_text(re.compile("Job J.*Quillet 5"))

    # Neither shelf nor bin is offered for it, and no box takes it.
    desk.open(f"clash/{core}")
    desk.sees("Correct where it is")
    for place in ("On the shelf", "Thrown away"):
        expect(desk.page.get_by_label(place)).to_have_count(0)
    expect(desk.page.get_by_label("On the bench")).to_have_count(1)
    desk.scan(shop.named("core", "in no box yet"), at=f"box/{read_code(shop.named('box', '2 in it, open'))}")
    desk.reads("Not in any box")
    desk.reads(re.compile("Terminals taped, into the container with its own label"))
    desk.page.get_by_role("alert").get_by_role("link", name="Safe place").click()

    # The pick-up: nothing without a paper, no device without its owner's word.
    desk.press("A collector takes something")
    desk.sees("What does the collector take?")
    desk.press("Collected")
    desk.reads("Choose what is collected.")
    for choice in desk.page.get_by_role("group", name="Collected now").get_by_role("checkbox").all():
        choice.check()
    desk.fill("Who collects it", "Greenfold Recycling, Mr Ash")
    desk.press("Collected")
    desk.reads("Nothing leaves the safe place without a paper")
    desk.fill("Number of the collector's paper", "GF-2299")
    desk.press("Collected")
    desk.reads("The owner of this device was not asked")
    desk.page.get_by_label(re.compile("^What the owner agreed to")).fill("Called today: dispose of it with all data")
    desk.page.get_by_label("Photo of the paper: from a file or the camera app").set_input_files(
        {"name": "paper.jpg", "mimeType": "image/jpeg", "buffer": photo("paper GF-2299")}
    )
    expect(desk.page.locator(".photos img")).to_have_count(1)
    desk.press("Collected")
    desk.sees("Safe place")
    desk.reads("Nothing lies here.")
    desk.synced()

    # For good: another station sees it too, and each trace says who took it with which paper.
    other = Person(launch("other", viewport=DESK), shop.server.url)
    other.join(shop.join_link("Bench 2", "bench"), "Bench 2")
    other.open("safe")
    other.reads("Nothing lies here.")
    other.open(f"trace/{core}")
    other.reads("With the recycler")
    other.reads("Collected from the safe place by Greenfold Recycling, Mr Ash")
    other.reads(re.compile("GF-2299"))
    expect(other.page.get_by_role("img", name="Collector's paper, photo 1 of 1")).to_be_visible()
    desk.open("queue")
    desk.sees("Queue")
    expect(desk.page.get_by_text("Battery unsafe")).to_have_count(0)
    shop.verify()


def _core_that_swells(lead: Person, shop: Shop) -> str:
    """An old part of the demo of which a lead says that it holds a damaged battery. It lies at the shipping desk."""
    core = read_code(shop.named("core", "in no box yet"))
    lead.open(f"trace/{core}")
    lead.press("Its battery is something else: set it")
    lead.choose("Battery damaged: ask a licensed shipper")
    lead.press("Set it")
    lead.reads("Say why")
    lead.fill("Why, and who says so", "The cell left in it swells; seen on the shelf")
    lead.press("Set it")
    lead.reads(re.compile("Battery caution of Old part set by a lead: battery damaged"))
    return core
