"""Two clerks offline scan one core into two boxes: both see the same clash, and a person settles it."""

import re

from tests.browser.conftest import DESK, Launch
from tests.browser.person import Person, read_code
from tests.browser.shop import Shop


def test_a_core_in_two_boxes_is_a_clash_until_a_person_settles_it(launch: Launch, shop: Shop) -> None:
    one = Person(launch("one"), shop.server.url)
    one.join(shop.link, "Shipping desk")
    one.sign_on(shop.badge("shipping"), "Quarto")
    two = Person(launch("two", viewport=DESK), shop.server.url)
    two.join(shop.join_link("Back room", "shipping"), "Back room")
    two.sign_on(shop.badge("shipping"), "Quarto")

    # A second box for the same supplier and purpose as the demo's open credit box.
    first_box = read_code(shop.named("box", "2 in it, open"))
    supplier = one_supplier(one, first_box)
    one.open("box/new")
    one.choose(supplier)
    one.choose("Core credit")
    one.press("Open this box")
    one.reads("Scan the label of each part")
    second_box = one.path().partition("/")[2]
    one.synced()
    two.open(f"box/{second_box}")
    two.wait(lambda: two.page.locator(".ship-count").count() == 1, "the new box on the other station")

    core = shop.named("core", "in no box yet")
    code = read_code(core)
    one.network(there=False)
    two.network(there=False)
    one.scan(core, at=f"box/{first_box}")
    one.reads(re.compile("^In$"))
    two.scan(core, at=f"box/{second_box}")
    two.reads(re.compile("^In$"))
    # A core that is in a box is refused by another one on the spot.
    one.open(f"box/{second_box}")
    one.fill("Or type the code", code.lower())
    one.page.keyboard.press("Enter")
    one.reads("Not in this box")

    one.network(there=True)
    two.network(there=True)
    one.synced()
    two.synced()
    for person in (one, two):
        person.open(f"trace/{code}")
        person.reads("Two records disagree about where this is")
    one.wait(lambda: len({one.check_number(), two.check_number(), shop.state_hash()}) == 1, "one state")

    # Each knows the other by name, without the network too; the two joined after each other.
    for person, own, others in ((one, "Shipping desk", "Back room"), (two, "Back room", "Shipping desk")):
        person.network(there=False)
        for place in ("trace", "clash"):
            person.open(f"{place}/{code}")
            person.reads(re.compile(rf"^this station, {own} \(S[0-9A-Z]{{3}}\)$"))
            person.reads(re.compile(rf"^{others} \(S[0-9A-Z]{{3}}\)$"))
        person.network(there=True)
        person.synced()

    # Neither box can be sealed meanwhile.
    two.open(f"box/{second_box}/seal")
    two.fill("Pieces you counted", "1")
    two.fill("Weight in grams", "210")
    two.press("Seal this box")
    two.reads("Two records disagree about where this is")

    two.open(f"clash/{code}")
    two.sees("Where is it really?")
    two.page.get_by_label(re.compile(f"{second_box[:5]}.{second_box[5:]}")).first.check()
    two.fill("How I know", "Opened the box and counted")
    two.press("This is where it is")
    two.synced()
    one.open(f"trace/{code}")
    one.wait(lambda: one.page.get_by_text("Two records disagree").count() == 0, "the clash to be gone")
    one.wait(lambda: len({one.check_number(), two.check_number(), shop.state_hash()}) == 1, "one state")
    two.open(f"box/{second_box}/seal")
    two.fill("Pieces you counted", "1")
    two.fill("Weight in grams", "210")
    two.press("Seal this box")
    two.sees("Sealed")
    two.synced()
    shop.verify()


def one_supplier(person: Person, box: str) -> str:
    """The supplier that a box is for, as its page says."""
    person.open(f"box/{box}")
    person.wait(lambda: person.page.locator(".ship-count").count() == 1, "the box")
    return person.page.get_by_role("heading", level=1).inner_text().partition(":")[0]
