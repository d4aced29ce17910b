"""A setting that no browser can use is refused with its field named; what was typed stays to be put right."""

import re

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.shop import Shop


def test_a_setting_that_cannot_be_used_is_refused_by_its_name(launch: Launch, shop: Shop) -> None:
    lead = Person(launch("lead"), shop.server.url)
    lead.join(shop.link, "Office")
    lead.sign_on(shop.badge("lead"), "Ombra")
    lead.open("shop/settings")
    lead.sees("Settings")
    # ISO 4217 gives no currency this code. Only the server knows them all.
    lead.fill("Currency", "EUX")
    lead.press("Save")
    lead.reads(re.compile("Currency must be the code of a currency"))
    expect(lead.page.get_by_label("Currency")).to_have_value("EUX")
    expect(lead.page.get_by_text("Saved on the server")).to_have_count(0)
    # The time zone database has no such name, which the browser knows itself.
    lead.fill("Time zone", "Nowhere/Atlantis")
    lead.press("Save")
    lead.reads(re.compile("This time zone is not known"))

    lead.fill("Currency", "JPY")
    lead.fill("Time zone", "Asia/Tokyo")
    lead.press("Save")
    lead.reads("Saved on the server")
    lead.page.reload()
    lead.sees("Settings")
    expect(lead.page.get_by_label("Currency")).to_have_value("JPY")
    expect(lead.page.get_by_label("Time zone")).to_have_value("Asia/Tokyo")
