"""Every screen of the app in turn, in the states that people meet it in, on the invented shop.

A tour opens a screen and yields its name; whoever takes the tour looks at it, then asks for the next one.
"""

import re
from collections.abc import Callable, Iterator

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo, read_code
from tests.browser.shop import Shop
from tests.browser.test_erasing import over_customer
from tests.browser.tour_tools import evidence, selftest
from tests.browser.walks import (
    IMEI,
    LACKING,
    QUESTIONS,
    close_up,
    do_step,
    isolate,
    look_it_over,
    nothing_left,
    say_cured,
    say_of_points,
)  # fmt: skip

Stop = tuple[str, Person]
"""A screen's name, and the person who has it before them."""

NO_CAMERA = """() => {
    navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException("no", "NotAllowedError"));
}"""


def beginnings(launch: Launch, shop: Shop) -> Iterator[Stop]:
    """Joining, signing on, scanning, and the places of everybody."""
    hand = Person(launch("new"), shop.server.url)
    hand.page.goto(f"{shop.server.url}/#/join")
    hand.sees("Join the shop")
    yield "join", hand
    hand.page.goto(shop.link)
    hand.page.reload()
    hand.sees("Join the shop")
    yield "join-with-code", hand
    hand.join(shop.link, "Bench 2 by the window, left")
    yield "scan-nobody", hand
    hand.open("emergency")
    hand.sees("Emergency")
    yield "emergency", hand
    hand.open("sign-on")
    hand.sees("Sign on")
    yield "sign-on", hand
    hand.sign_on(shop.badge("lead"), "Ombra")
    yield "scan-lead", hand
    hand.fill("Or type the code", "J0000")
    hand.press("Open")
    hand.page.get_by_role("alert").wait_for()
    yield "scan-refused", hand
    hand.page.evaluate(NO_CAMERA)
    hand.open("scan")
    hand.page.get_by_role("alert").wait_for()
    yield "scan-without-camera", hand
    hand.open("sign-on")
    hand.sees("Signed on")
    yield "signed-on", hand
    hand.open("queue")
    hand.sees("Queue")
    yield "queue", hand
    hand.open("more")
    hand.sees("More")
    yield "more", hand
    hand.open("find")
    hand.fill("Name, telephone, number, model or code", "quillet")
    hand.page.locator(".card").first.wait_for()
    yield "find", hand
    hand.fill("Name, telephone, number, model or code", "nobody at all")
    hand.press("Search what was put away")
    hand.reads("Neither here nor put away")
    yield "find-nothing", hand
    hand.open("look-at")
    hand.sees("To look at")
    yield "look-at", hand
    hand.open("print")
    hand.sees("To print")
    yield "print-empty", hand
    hand.open("sync")
    hand.sees("All is on the server")
    yield "sync", hand
    hand.network(there=False)
    hand.open(f"job/{_job(hand, 'Not started')}/note")
    hand.fill("Note", "Customer brings the charger tomorrow")
    hand.press("Save the note")
    hand.sees("Quillet 5")
    hand.press("Print ticket")
    hand.page.get_by_role("alert").wait_for()
    yield "print-offline", hand
    hand.open("print")
    hand.reads("Ticket")
    yield "print", hand
    hand.open("sync")
    hand.sees("Some entries are only here")
    yield "sync-offline", hand
    hand.open("shop/staff")
    hand.reads("No network")
    yield "shop-offline", hand


def leading(launch: Launch, shop: Shop) -> Iterator[Stop]:
    """What a lead decides, and parts as they come in."""
    lead = Person(launch("lead"), shop.server.url)
    lead.join(shop.link, "Office")
    lead.open("shop")
    lead.sees("Shop")
    yield "shop-nobody", lead
    lead.sign_on(shop.badge("lead"), "Ombra")
    lead.open("shop")
    lead.sees("Shop")
    yield "shop", lead
    lead.open("shop/staff")
    lead.sees("Staff")
    lead.press(re.compile("^Change Wembra"))
    yield "shop-staff", lead
    lead.fill("Name, as colleagues know it", "Marrow")
    lead.page.get_by_role("group", name="What they do").get_by_label("Bench").check(force=True)
    lead.press("Add, and make a badge")
    lead.sees("Badge of Marrow")
    yield "shop-badge", lead
    lead.press("I have it")
    lead.open("shop/stations")
    lead.sees("Stations")
    lead.page.get_by_role("button", name=re.compile("^Take out ")).first.click()
    yield "shop-stations", lead
    lead.fill("Name of the station", "Bench 3")
    lead.choose("Bench", within="What for")
    lead.press("Make a join code")
    lead.sees("Scan this with the new station")
    yield "shop-invite", lead
    lead.open("shop/settings")
    lead.sees("Settings")
    yield "shop-settings", lead
    lead.open("shop/catalogue")
    lead.sees("Catalogue")
    yield "shop-catalogue", lead
    over, _, card = over_customer(shop)
    lead.open(f"customer/{over}")
    lead.reads(card["name"])
    yield "customer", lead
    lead.press("Erase it for good")
    lead.sees("Erase for good?")
    yield "customer-erase", lead
    lead.open("trays")
    lead.sees("Trays")
    lead.press("Make labels for new trays")
    lead.reads("6 new trays")
    yield "trays", lead
    lead.open("parts")
    lead.sees("Parts on the shelf")
    lead.page.locator("summary").first.click()
    yield "parts", lead
    lead.open("part/new")
    lead.sees("Receive a part")
    yield "part-receive", lead
    lead.choose("Display assembly")
    lead.fill("Lot, as it stands on the packaging", "L-2611")
    lead.fill("How many units of this lot", "3")
    lead.press("Put on the shelf")
    lead.sees("On the shelf")
    yield "part-received", lead
    stopped = _job(lead, "still open on the bench")
    lead.open(f"bench/{stopped}")
    lead.reads("What remains")
    yield "bench-stop-lead", lead
    lead.open(f"job/{stopped}/lift")
    lead.sees("Lift the stop")
    yield "job-lift", lead
    for name, label in (
        ("part", shop.named("part", "Battery")), ("core", shop.named("core", "in the open credit box")),
        ("tray", shop.named("tray", "in use")), ("box", shop.named("box", "sealed")),
        ("device", shop.named("device", "Half open")),
    ):  # fmt: skip
        lead.open(f"trace/{read_code(label)}")
        lead.reads("What happened")
        yield f"trace-{name}", lead
    lead.open(f"trace/{read_code(shop.named('core', 'in no box yet'))}")
    lead.press("Its battery is something else: set it")
    yield "trace-caution", lead
    lead.choose("Battery damaged: ask a licensed shipper")
    lead.fill("Why, and who says so", "It swells")
    lead.press("Set it")
    lead.reads(re.compile("set by a lead: battery damaged"))
    lead.open("safe")
    lead.reads("These belong here and are somewhere else")
    yield "safe", lead
    lead.press("A collector takes something")
    lead.sees("What does the collector take?")
    for choice in lead.page.get_by_role("group", name="Collected now").get_by_role("checkbox").all():
        choice.check()
    lead.press("Collected")
    lead.reads("Say who collects it.")
    yield "safe-collect", lead
    lead.open("trace/J000000000")
    lead.page.get_by_role("alert").wait_for()
    yield "trace-unknown", lead


def counter(launch: Launch, shop: Shop) -> Iterator[Stop]:
    """Booking in step by step, and a job's record in each stage with all that the counter does."""
    desk = Person(launch("counter"), shop.server.url)
    desk.join(shop.link, "Counter")
    desk.sign_on(shop.badge("counter"), "Dapple")
    yield "scan-counter", desk
    yield from _booking(desk)
    booked = desk.path().rpartition("/")[2]
    desk.open(f"job/{booked}")
    desk.sees("Quillet 5")
    yield "job-booked", desk
    for part, heading in (("promise", "New promise"), ("note", re.compile("^Add a note")), ("stop", "Stop the job"),
                          ("tell/news", "Tell how it stands"), ("lift", "Lift the stop"),
                          ("incident", "Something went wrong by us")):  # fmt: skip
        desk.open(f"job/{booked}/{part}")
        desk.sees(heading)
        yield f"job-{part.partition('/')[0]}-booked", desk
    for name, words in (("late", "late"), ("bench", "At: Unplug"), ("liquid", "Liquid inside"),
                        ("battery", "Battery unsafe"), ("ready", "Customer not told")):  # fmt: skip
        code = _job(desk, words)
        desk.open(f"job/{code}")
        desk.reads("What was found")
        yield f"job-{name}", desk
    ready = code
    desk.open(f"job/{ready}/tell/ready")
    desk.sees("Tell that it is ready")
    yield "job-tell", desk
    desk.open(f"job/{ready}/hand-over")
    desk.sees("Is it this device?")
    yield "job-hand-over", desk
    desk.fill("Or the last 4 of its IMEI or serial number", "0000")
    desk.press("Compare the number")
    desk.page.get_by_role("alert").wait_for()
    yield "job-hand-over-other-device", desk
    desk.open(f"job/{_job(desk, 'Battery unsafe')}/hand-over")
    desk.reads("A device with an unsafe battery stays in the safe place")
    yield "job-hand-over-unsafe", desk
    desk.open(f"job/{ready}/record")
    desk.page.locator("main").wait_for()
    yield "job-record", desk
    desk.open(f"job/{ready}/hand-over")
    desk.station.camera.show(shop.named("device", "Ready to be handed over"))
    desk.press("Scan with the camera")
    desk.reads(re.compile("^(Hand the device over|This is not the device of this job)$"))
    yield "job-hand-over-compared", desk
    desk.open("job/J000000000")
    desk.page.get_by_role("alert").wait_for()
    yield "job-unknown", desk


def _booking(desk: Person) -> Iterator[Stop]:
    desk.open("book")
    desk.sees("Is it safe to handle?")
    yield "book-safety", desk
    desk.choose("Yes", within=QUESTIONS["wet"])
    desk.choose("Yes", within=QUESTIONS["bulging"])
    desk.reads("Battery unsafe: hands off the repair")
    yield "book-safety-unsafe", desk
    look_it_over(desk)
    desk.sees("Which device is it?")
    yield "book-device", desk
    desk.fill("Or type the number", IMEI)
    desk.press("Take it")
    desk.reads("26053179 311383 7")
    yield "book-device-known", desk
    desk.press("Next")
    desk.sees("Which model is it?")
    yield "book-model", desk
    desk.choose("Quillet 5")
    desk.press("Next")
    desk.sees("Who brings it?")
    yield "book-who", desk
    desk.fill("Name", "Tamsel Orrow-Featherstonehaugh of the Lower Harbour Workshops")
    desk.fill("Telephone", "555-0142")
    desk.press("Next")
    desk.page.get_by_label("Complaint", exact=True).wait_for()
    yield "book-complaint", desk
    desk.fill("Complaint", "Glass broken, touch dead at the lower edge since it fell on Sunday")
    desk.press("Next")
    desk.sees("How does it look?")
    yield "book-marks", desk
    desk.press("Choose a zone instead")
    yield "book-zones", desk
    desk.page.locator(".book-zones button").first.click()
    desk.reads("What is it?")
    desk.choose("Crack", within="What is it?")
    desk.photograph("Photo of it", photo("crack at the edge"))
    yield "book-mark", desk
    desk.press("Mark done")
    desk.page.locator(".book-line").wait_for()
    yield "book-marked", desk
    desk.press("Next")
    desk.sees("Can it be unlocked?")
    yield "book-lock", desk
    desk.choose("The customer unlocks it")
    desk.press("Next")
    desk.sees("What works now?")
    yield "book-tests", desk
    for button in desk.page.get_by_role("button", name=re.compile("^(All [0-9]+ work|It works)$")).all()[:-1]:
        button.click()
    display = desk.page.get_by_role("region", name="Display")
    display.get_by_role("button", name="One by one").click()
    display.get_by_role("group", name="Touch", exact=True).get_by_label("Fails").check()
    display.get_by_role("radio").nth(2).check(force=True)
    yield "book-tests-one-by-one", desk
    desk.press("Next")
    desk.page.locator(".notice.warn").wait_for()
    yield "book-tests-missing", desk
    desk.press(LACKING)
    for button in desk.page.get_by_role("button", name=re.compile("^(All [0-9]+ work|It works)$")).all():
        button.click()
    desk.press("Next")
    desk.sees("What was agreed?")
    for group in desk.page.get_by_role("group").all():
        group.get_by_label("Agreed", exact=True).check()
    desk.page.get_by_label("Not agreed").first.check()
    yield "book-agreed", desk
    desk.press("Next")
    desk.sees(re.compile("price|cost", re.I))
    desk.choose("Up to a limit")
    yield "book-price", desk
    desk.choose("The price is agreed already")
    desk.press("Next")
    desk.sees("When will it be ready?")
    yield "book-promise", desk
    desk.page.get_by_role("group", name="Promised for").get_by_role("radio").first.check(force=True)
    desk.press("Next")
    desk.sees("How will it be repaired?")
    yield "book-way", desk
    desk.page.get_by_label(re.compile("^Display with paired button")).check(force=True)
    desk.press("Next")
    desk.sees("Is this right?")
    yield "book-summary", desk
    desk.press("Book in")
    desk.sees("Quillet 5 is booked in")
    yield "booked", desk


def bench(launch: Launch, shop: Shop) -> Iterator[Stop]:
    """A display job from its tray to ready, each gate on the way, and what stops at the bench."""
    hand = Person(launch("bench"), shop.server.url)
    hand.join(shop.link, "Bench 1")
    hand.open(f"tray/{read_code(shop.named('tray', 'A free tray'))}")
    hand.sees("Nobody is signed on")
    yield "tray-nobody", hand
    hand.sign_on(shop.badge("bench"), "Fennick")
    yield "scan-bench", hand
    hand.open(f"tray/{read_code(shop.named('tray', 'A free tray'))}")
    hand.sees("Scan the device label")
    yield "tray", hand
    hand.open(f"bench/{_job(hand, 'Not started, no procedure chosen')}")
    hand.sees("Choose the procedure")
    yield "bench-start-no-procedure", hand
    hand.open(f"bench/{_job(hand, 'Not started(?!,)')}")
    hand.sees("Take an empty tray")
    yield "bench-start", hand
    wet = _job(hand, "Liquid inside")
    hand.open(f"bench/{wet}")
    hand.sees("Stopped: Liquid inside")
    yield "bench-stop-liquid", hand
    hand.press("Close up")
    hand.sees("Take off the battery plate")
    yield "bench-closing-stopped", hand
    hand.open(f"bench/{_job(hand, 'still open on the bench')}")
    hand.reads("What remains")
    yield "bench-stop-board", hand
    others = _job(hand, "At: Look for liquid")
    hand.open(f"bench/{others}")
    hand.sees("Wembra has this job")
    yield "bench-others", hand
    hand.press(re.compile("^Take"))
    hand.sees("Look for liquid")
    yield "bench-liquid", hand
    hand.press("Enter the mat's reading")
    hand.fill("Mat to ground, measured", "1000")
    yield "bench-mat", hand
    hand.press("Enter the mat's reading")
    hand.reads("Bench mat failed its static check: 1 G ohm")
    yield "bench-mat-failed", hand
    hand.press("Measure again")
    hand.fill("Mat to ground, measured", "24")
    hand.press("Enter the mat's reading")
    expect(hand.page.get_by_text("Bench mat failed its static check")).to_have_count(0)
    hand.choose("Slightly pink: counts as tripped")
    hand.press("Signs of liquid: stop the job")
    hand.reads("A sign of liquid needs its photo")
    yield "bench-liquid-refused", hand

    hand.open(f"bench/{_job(hand, 'At: Unplug the three upper cables')}")
    hand.sees("Unplug the three upper cables")
    yield "bench-step", hand
    hand.page.locator(".bench-ledger-line").click()
    hand.press("Lost, stripped or broken")
    yield "bench-ledger", hand
    hand.press("Leave it")
    hand.press("Stop this job")
    yield "bench-stop-form", hand
    hand.press("Go on working")
    hand.press(re.compile("^Take back: "))
    hand.sees("Take off the cable shield")
    yield "bench-screws", hand
    do_step(hand, "Take off the cable shield")
    do_step(hand, "Unplug the three upper cables")
    do_step(hand, "Free the lower cable")
    do_step(hand, "Set the old display aside")
    do_step(hand, "Plug in the new display, do not fit it")
    yield from _prefit(hand, shop)
    hand.choose("Swollen")
    hand.reads("Photo, if it is safe to take")
    yield "bench-power-unsafe", hand
    isolate(hand, "Isolate power again")
    do_step(hand, "Unplug the new display")
    do_step(hand, "Inner film off")
    hand.sees("Move the ear piece")
    yield "bench-twins", hand
    do_step(hand, "Move the ear piece")
    do_step(hand, "Free the reader plate")
    hand.sees("Soften the cable's glue")
    yield "bench-heat", hand
    do_step(hand, "Soften the cable's glue")
    hand.sees("Move the paired button")
    yield "bench-pair", hand
    do_step(hand, "Move the paired button")
    do_step(hand, "Screw the reader plate on")
    close_up(hand)
    yield from _ending(hand)


def _prefit(hand: Person, shop: Shop) -> Iterator[Stop]:
    hand.sees("Prove the new display")
    yield "bench-prefit", hand
    buttons = hand.page.get_by_role("button", name=re.compile(": fails$"))
    buttons.first.click()
    hand.page.get_by_role("button", name=re.compile("cannot be tested$")).first.click()
    hand.reads("Why it cannot be tested")
    yield "bench-prefit-points", hand
    hand.page.get_by_role("button", name=re.compile("cannot be tested$")).first.click()
    say_of_points(hand, "works")
    hand.press("Close try 1")
    hand.reads("Power down before you touch a connector")
    yield "bench-prefit-reseat", hand
    say_of_points(hand, "works")
    hand.press("Close try 2")
    hand.reads("Does the new part cure this complaint?")
    hand.choose("No")
    yield "bench-prefit-proven", hand
    hand.choose("Yes")
    hand.press("Part proven: go on")
    hand.sees("Isolate power again")
    yield "bench-power", hand


def _ending(hand: Person) -> Iterator[Stop]:
    hand.sees("Test the whole device")
    yield "bench-final", hand
    hand.press("The complaint: no")
    hand.press("Enter it: not cured")
    hand.reads("A few words are missing beside this answer")
    yield "bench-final-complaint", hand
    say_cured(hand)
    hand.press("The device is locked now")
    yield "bench-final-lock", hand
    hand.press("It was restarted and asks for the code")
    hand.reads("Tested locked: as far as it goes")
    hand.press("The device is unlocked now")
    hand.press("The customer unlocked it")
    hand.press(LACKING)
    hand.press("Touch: fails")
    hand.reads("Against closing")
    yield "bench-final-against", hand
    hand.press("Test touch again")
    say_of_points(hand, "works")
    yield "bench-final-tested", hand
    hand.press("Close the test")
    hand.sees("Tag the old part")
    hand.photograph("Photo of the old part", photo("old display"))
    yield "bench-core", hand
    hand.choose("Cracked")
    hand.press("Give it a code")
    hand.reads("Code of the old part")
    yield "bench-core-tagged", hand
    hand.press("Done: labelled and packed")
    hand.sees("Nothing left over")
    yield "bench-leftover", hand
    nothing_left(hand)
    yield "bench-ready", hand


def shipping(launch: Launch, shop: Shop) -> Iterator[Stop]:
    """Boxes from open to shipped, and one core in two of them."""
    clerk = Person(launch("shipping"), shop.server.url)
    clerk.join(shop.link, "Shipping desk")
    clerk.sign_on(shop.badge("shipping"), "Quarto")
    clerk.station.camera.show_nothing()
    yield "scan-shipping", clerk
    clerk.open("boxes")
    clerk.sees("Boxes")
    yield "boxes", clerk
    clerk.open("box/new")
    clerk.sees("Open a box")
    clerk.choose("Hazardous battery")
    yield "box-new", clerk
    clerk.open(f"box/{read_code(shop.named('box', '3 in it, open'))}")
    clerk.reads("3 pieces, 34.65 Wh")
    yield "box-batteries", clerk
    credit = read_code(shop.named("box", "2 in it, open"))
    core = read_code(shop.named("core", "in no box yet"))
    _type_into(clerk, credit, read_code(shop.named("part", "Battery")))
    clerk.reads("Not in this box")
    yield "box-refused", clerk
    clerk.press("Put it aside, scan on")
    _type_into(clerk, credit, read_code(shop.badge("bench")))
    clerk.reads("This is a badge")
    yield "box-refused-badge", clerk
    clerk.press("Put it aside, scan on")
    second = Person(launch("back-room"), shop.server.url)
    second.join(shop.join_link("Back room", "shipping"), "Back room")
    second.sign_on(shop.badge("shipping"), "Quarto")
    clerk.network(there=False)
    _type_into(clerk, credit, core)
    clerk.reads(re.compile("^In$"))
    yield "box-in", clerk
    second.open(f"clash/{core}")
    second.sees("Correct where it is")
    yield "clash-correct", second
    second.choose("On the shelf")
    second.fill("How I know", "Saw it there")
    second.press("This is where it is")
    second.synced()
    clerk.network(there=True)
    clerk.synced()
    clerk.open(f"clash/{core}")
    clerk.sees("Where is it really?")
    yield "clash", clerk
    clerk.open(f"trace/{core}")
    clerk.reads("Two records disagree about where this is")
    yield "trace-clash", clerk
    clerk.open("boxes")
    clerk.reads("One place is not certain")
    yield "boxes-clash", clerk
    clerk.open(f"box/{credit}/seal")
    clerk.sees("Count and seal")
    yield "box-seal", clerk
    clerk.fill("Pieces you counted", "77")
    clerk.fill("Weight in grams", "640")
    clerk.press("Seal this box")
    clerk.page.get_by_role("alert").wait_for()
    yield "box-seal-refused", clerk
    sealed = read_code(shop.named("box", "sealed"))
    clerk.open(f"box/{sealed}")
    clerk.sees("Sealed")
    yield "box-sealed", clerk
    clerk.open(f"box/{sealed}/manifest")
    clerk.sees(re.compile("^Manifest"))
    yield "box-manifest", clerk
    clerk.open(f"box/{sealed}")
    clerk.press("Handed to the shipper")
    clerk.sees("Handed to the shipper")
    yield "box-shipped", clerk
    clerk.open("box/B000000000")
    clerk.page.locator("main").wait_for()
    yield "box-unknown", clerk


def _type_into(clerk: Person, box: str, code: str) -> None:
    clerk.open(f"box/{box}")
    clerk.fill("Or type the code", code)
    clerk.page.keyboard.press("Enter")


def _job(person: Person, words: str) -> str:
    """The code of the first job in the queue whose line has these words."""
    person.open("queue")
    person.sees("Queue")
    row = person.page.locator("a.queue-row").filter(has_text=re.compile(words)).first
    return (row.get_attribute("href") or "").rpartition("/")[2]


TOURS: dict[str, Callable[[Launch, Shop], Iterator[Stop]]] = {
    "beginnings": beginnings,
    "leading": leading,
    "counter": counter,
    "bench": bench,
    "shipping": shipping,
    "selftest": selftest,
    "evidence": evidence,
}
