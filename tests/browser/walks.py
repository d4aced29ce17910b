"""What people do at the counter and at the bench, step by step, as the screens ask for it."""

import re

from tests.browser.person import Person, photo, read_code
from tests.browser.shop import Shop

# 3GPP TS 23.003 Annex B.3 gives this worked example of a check digit; as a number only, it stands for no device.
IMEI = "260531793113837"


LACKING = re.compile("^Enter these [0-9]+: this model has none$")
QUESTIONS = {"wet": "Is it wet?", "bulging": "Does it bulge?", "hot": "Is it hot, or does it smell?"}

# The way of the display procedure, but for its gates.
UP_TO_SCREWS = ("Read the charge", "Switch off", "Take out the card tray", "Tape broken glass")
WARMING = "Soften the edge"
TO_TRIAL = (
    "Take off the cable shield", "Unplug the three upper cables", "Free the lower cable", "Set the old display aside",
    "Plug in the new display, do not fit it",
)  # fmt: skip
OVER_TO_NEW = (
    "Unplug the new display", "Inner film off", "Move the ear piece", "Free the reader plate",
    "Soften the cable's glue", "Move the paired button", "Screw the reader plate on",
)  # fmt: skip

GROUP_WORKS = re.compile("^(All [0-9]+ work|It works|The other [0-9]+ work|The other one works)$")


def book_in(person: Person, *, locked: bool = False) -> tuple[str, bytes, bytes]:
    """Take a device in at the counter. Returns job code, ticket and device label."""
    person.open("book")
    look_it_over(person)
    person.sees("Which device is it?")
    person.fill("Or type the number", IMEI)
    person.press("Take it")
    person.reads("26053179 311383 7")
    person.press("Next")
    person.sees("Which model is it?")
    person.choose("Quillet 5")
    person.press("Next")
    person.sees("Who brings it?")
    person.fill("Name", "Tamsel Orrow")
    person.fill("Telephone", "555-0142")
    person.press("Next")
    person.fill("Complaint", "Glass broken, touch dead at the lower edge")
    person.press("Next")
    person.sees("How does it look?")
    person.press("Choose a zone instead")
    person.page.locator(".book-zones button").first.click()
    person.choose("Crack", within="What is it?")
    person.photograph("Photo of it", photo("crack at the edge"))
    person.press("Mark done")
    person.press("Next")
    person.sees("Can it be unlocked?")
    person.choose("It stays locked" if locked else "The customer unlocks it")
    person.press("Next")
    person.sees("What works now?")
    if locked:
        person.press(re.compile("^Enter these [0-9]+: device stays locked$"))
    person.press(LACKING)
    for button in person.page.get_by_role("button", name=GROUP_WORKS).all():
        button.click()
    display = person.page.get_by_role("region", name="Display")
    display.get_by_role("button", name="One by one").click()
    display.get_by_role("group", name="Touch", exact=True).get_by_label("Fails").check()
    person.press("Next")
    person.sees("What was agreed?")
    for group in person.page.get_by_role("group").all():
        group.get_by_label("Agreed", exact=True).check()
    person.press("Next")
    person.choose("The price is agreed already")
    person.press("Next")
    person.sees("When will it be ready?")
    person.page.get_by_role("group", name="Promised for").get_by_role("radio").first.check()
    person.press("Next")
    person.sees("How will it be repaired?")
    person.page.get_by_label(re.compile("^Display with paired button")).check()
    person.press("Next")
    person.sees("Is this right?")
    person.press("Book in")
    person.sees("Quillet 5 is booked in")
    code = person.page.locator(".book-code .code").inner_text().replace(" ", "")
    ticket = person.label_printed_by("Print ticket")
    device = person.label_printed_by("Print device label")
    assert read_code(ticket).startswith("HTTP://LOCALHOST:")
    assert read_code(device).startswith("D")
    return code, ticket, device


def look_it_over(person: Person, **yes: bool) -> None:
    """The three questions at the counter, all answered no but those named."""
    person.sees("Is it safe to handle?")
    for key, question in QUESTIONS.items():
        person.choose("Yes" if yes.get(key) else "No", within=question)
    person.press("Next")


def do_step(person: Person, heading: str, button: str | re.Pattern[str] = re.compile("^Done")) -> None:
    """A step that is no gate: read its heading, press its one button."""
    person.sees(heading)
    person.press(button, exact=False)


def look_before_work(person: Person) -> None:
    """The three questions that begin every job at the bench, all answered no."""
    person.sees("Before anything else")
    for question in QUESTIONS.values():
        person.choose("No", within=question)
    person.press("Go on")


def open_up(person: Person) -> None:
    """The way in of the display procedure, down to the liquid gate."""
    look_before_work(person)
    rest = ("Take out the latch screws", WARMING, "Open the latch, lift the display", "Let it cool")
    for heading in (*UP_TO_SCREWS, *rest):
        do_step(person, heading)
    person.sees("Look for liquid")


def take_to_bench(person: Person, shop: Shop, device: bytes) -> None:
    """Sign on as a technician, take a free tray for the device and open it, down to the liquid gate."""
    person.sign_on(shop.badge("bench"), "Fennick")
    person.scan(shop.named("tray", "A free tray"))
    person.sees("Scan the device label")
    person.scan(device, at=person.path())
    open_up(person)


def isolate(person: Person, heading: str) -> None:
    person.sees(heading)
    person.choose("Sound: flat, cool, dry, whole")
    person.press("Done: battery is unplugged")


def say_of_points(person: Person, word: str) -> None:
    """Answer every open point of the test on the screen."""
    buttons = person.page.get_by_role("button", name=re.compile(f": {word}$"))
    person.wait(lambda: buttons.count() > 0, f"points to answer with {word}")
    while buttons.count() > 0:
        left = buttons.count()
        buttons.first.click()
        person.wait(lambda left=left: buttons.count() < left, "the answer to be taken")


def prove_part(person: Person, part: bytes) -> None:
    """The pre-fit gate: scan the unit, test its points, say that the complaint is cured."""
    person.sees("Prove the new display")
    person.station.camera.show(part)
    person.press("Scan with the camera")
    person.reads("Display assembly, lot")
    say_of_points(person, "works")
    for row in person.page.get_by_role("button", name=re.compile("cannot be tested$")).all():
        row.click()
    person.press("Close try 1")
    person.reads("Does the new part cure this complaint?")
    person.choose("Yes")
    person.press("Part proven: go on")


def say_cured(person: Person) -> None:
    """The first line of the final test."""
    person.press("The complaint: yes, cured")
    person.page.get_by_role("button", name="Check the complaint again").wait_for()


def nothing_left(person: Person) -> None:
    """Look at tray and bench, and at what the tests left on the device."""
    person.sees("Nothing left over")
    person.choose("The tray is empty, every pocket")
    person.choose("Nothing of this device lies on the bench")
    person.choose("Test traces removed")
    person.press("Ready: nothing left over")
    person.sees("Ready")


def close_up(person: Person) -> None:
    """The way out, backwards."""
    for heading in (
        "Hang the new display in the rail",
        "Fasten the lower cable",
        "Plug in the three upper cables",
        "Back: Take off the cable shield",
        "Plug in the battery",
        "Back: Take off the battery plate",
        "Try the button before closing",
        "New edge seal",
        "Close the display",
        "Back: Take out the latch screws",
        "Put the card tray in",
        "Outer film off",
        "Start it twice",
    ):
        do_step(person, heading)
