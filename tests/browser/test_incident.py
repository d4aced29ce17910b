"""Something went wrong by us: noted by whoever sees it, settled by a lead, told in true words."""

import re

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, photo
from tests.browser.shop import Shop
from tests.browser.usable import faults


def test_a_torn_cable_is_noted_settled_and_told(launch: Launch, shop: Shop, axe_source: str) -> None:
    hand = Person(launch("counter"), shop.server.url)
    hand.join(shop.link, "Counter")
    hand.sign_on(shop.badge("counter"), "Dapple")
    job = ready_job(hand)
    hand.open(f"job/{job}/incident")
    hand.sees("Something went wrong by us")
    hand.press("Write it on the record")
    hand.reads("What went wrong.")
    hand.choose("A cable was torn")
    hand.fill("Where?", "Cable of the button")
    hand.choose("Yes, looked at")
    hand.page.get_by_label("What does not work since?").select_option(label="Touch")
    hand.fill("Note for the shop", "Pulled while cold")
    hand.photograph("Photo of it", photo("torn cable"))
    hand.page.reload()
    expect(hand.page.get_by_label("Where?")).to_have_value("Cable of the button")
    assert faults(hand.page, axe_source) == []
    hand.press("Write it on the record")
    hand.reads("A lead says what is owed for what went wrong, then the customer is told.")
    hand.reads("A lead decides what is owed.")
    expect(hand.page.get_by_role("button", name="Settle it, as lead")).to_have_count(0)
    expect(hand.page.get_by_role("button", name="Tell: it is ready")).to_have_count(0)

    hand.sign_on(shop.badge("lead"), "Ombra")
    hand.open(f"job/{job}")
    hand.reads("What do we owe the customer?")
    hand.press("Settle it, as lead")
    hand.reads("What is owed.")
    hand.choose("We replace what was damaged")
    hand.fill("What the customer is told", "A new button comes on Friday")
    assert faults(hand.page, axe_source) == []
    hand.press("Settle it, as lead")
    hand.reads("Owed: replace what was damaged.")
    hand.press("Tell: it is ready")
    hand.sees("Tell that it is ready")
    text = hand.page.get_by_label("Text", exact=True).input_value()
    assert "It is repaired, but something went wrong in our work." in text
    assert "we replace what was damaged. “A new button comes on Friday”" in text
    assert "Pulled while cold" not in text
    hand.open(f"job/{job}/record")
    hand.reads("Repaired, but something went wrong in our work")
    hand.reads(re.compile("beside your rights by law"))
    hand.synced()
    record = shop.job(job)
    [incident] = record["incidents"].values()
    assert (incident["what"], incident["looked"], incident["points"]) == ("torn_cable", "yes", ["touch"])
    assert len(incident["photos"]) == 1 and record["findings"] == []
    shop.verify()


def ready_job(hand: Person) -> str:
    """A job of the demo that is ready and whose customer was not told yet."""
    hand.open("queue")
    hand.sees("Queue")
    row = hand.page.locator("a.queue-row").filter(has_text=re.compile("Customer not told")).first
    return (row.get_attribute("href") or "").rpartition("/")[2]
