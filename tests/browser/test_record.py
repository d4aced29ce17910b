"""The repair record from the screen: readable, on one page of paper, and as the server's PDF."""

import re
from io import BytesIO
from pathlib import Path

from playwright.sync_api import expect
from pypdf import PdfReader

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.shop import Shop


def test_record_is_read_printed_on_one_page_and_had_as_pdf(
    launch: Launch, shop: Shop, axe_source: str, tmp_path: Path
) -> None:
    hand = Person(launch("desk"), shop.server.url)
    hand.join(shop.link, "Counter")
    hand.sign_on(shop.badge("counter"), "Dapple")
    hand.open("queue")
    ready = hand.page.locator("a[href^='#/job/']").filter(has_text="Ready").first
    ready.wait_for()
    code = str(ready.get_attribute("href")).split("/")[2]
    hand.open(f"job/{code}/record")
    hand.sees(re.compile("^Repair record: "))
    hand.reads("Worked when it came in, works now.")
    hand.reads("Do not rely on it to keep water out")

    hand.page.evaluate(axe_source + ";0")
    for look in ("light", "dark"):
        hand.page.emulate_media(color_scheme=look, reduced_motion="reduce")
        assert hand.page.evaluate("async () => (await axe.run()).violations.map((v) => [v.id, v.nodes[0].html])") == []
        hand.page.screenshot(path=tmp_path / f"record-{look}.png", full_page=True)

    hand.page.emulate_media(media="print", color_scheme="light")
    paper = hand.page.pdf(prefer_css_page_size=True, path=tmp_path / "printed.pdf")
    pages = PdfReader(BytesIO(paper)).pages
    assert len(pages) == 1
    words = " ".join(pages[0].extract_text().split())
    assert "Worked when it came in, works now." in words
    for screen_only in ("Print the record", "PDF for the customer", "Queue", "On the server"):
        assert screen_only not in words
    hand.page.emulate_media(media="screen")

    link = hand.page.get_by_role("link", name="PDF for the customer")
    expect(link).to_be_visible()
    answer = hand.station.context.request.get(f"{shop.server.url}{link.get_attribute('href')}")
    assert answer.headers["content-type"] == "application/pdf"
    assert len(PdfReader(BytesIO(answer.body())).pages) == 1

    hand.network(there=False)
    hand.page.evaluate("() => dispatchEvent(new Event('online'))")
    hand.reads("The PDF forms need the server. Printing from here does not.")
