"""The repair record from the screen: readable, on one page of paper, and as the server's PDF."""

import re
from io import BytesIO
from pathlib import Path

from playwright.sync_api import expect
from pypdf import PdfReader

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.shop import Shop


def record_of(launch: Launch, shop: Shop, words: str) -> tuple[Person, str]:
    """The counter at the record of the first job whose row in the queue has these words; and its code."""
    hand = Person(launch("desk"), shop.server.url)
    hand.join(shop.link, "Counter")
    hand.sign_on(shop.badge("counter"), "Dapple")
    hand.open("queue")
    row = hand.page.locator("a[href^='#/job/']").filter(has_text=words).first
    code = str(row.get_attribute("href")).split("/")[2]
    hand.open(f"job/{code}/record")
    hand.sees(re.compile("^Repair record: "))
    return hand, code


def test_record_is_read_printed_on_one_page_and_had_as_pdf(
    launch: Launch, shop: Shop, axe_source: str, tmp_path: Path
) -> None:
    hand, _ = record_of(launch, shop, "Ready")
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


def test_shop_reads_and_prints_all_it_knows_without_the_server(
    launch: Launch, shop: Shop, axe_source: str, tmp_path: Path
) -> None:
    hand, code = record_of(launch, shop, "Fault on the board")
    job = shop.job(code)
    for shops_own in ("Tries before fitting", "Fasteners", "Every entry", "Static checks"):
        expect(hand.page.get_by_role("heading", name=shops_own, exact=True)).to_have_count(0)

    hand.network(there=False)
    hand.choose("For the shop")
    hand.sees(re.compile("^Shop's record: "))
    hand.reads("For the shop only")
    tries = hand.page.get_by_role("region", name="Tries before fitting")
    expect(tries.locator("p")).to_have_count(len(job["tries"]))
    expect(tries).to_contain_text("reseated")
    assert hand.page.locator(".record-tests tbody").count() == len({key.split("/")[1] for key in job["tests"]})
    counted = hand.page.get_by_role("region", name="Fasteners").locator(".record-facts > div")
    expect(counted).to_have_count(len(job["ledger"]))
    expect(hand.page.get_by_role("region", name="Static checks")).to_contain_text("Wrist strap")
    entries = hand.page.get_by_role("region", name="Every entry").get_by_role("listitem")
    expect(entries.first).to_contain_text("Dapple")
    expect(entries.last).to_contain_text("Customer told (by call): stopped, fault on the board")
    written = entries.count()
    assert written > len(job["steps"]) > 5

    hand.page.evaluate(axe_source + ";0")
    for look in ("light", "dark"):
        hand.page.emulate_media(color_scheme=look, reduced_motion="reduce")
        assert hand.page.evaluate("async () => (await axe.run()).violations.map((v) => [v.id, v.nodes[0].html])") == []
        hand.page.screenshot(path=tmp_path / f"shop-{look}.png", full_page=True)
    hand.page.emulate_media(media="print", color_scheme="light")
    paper = hand.page.pdf(prefer_css_page_size=True, path=tmp_path / "shop.pdf")
    words = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(paper)).pages)
    assert "Shop's record" in words and "For the shop only" in words
    for told in ("Tries before", "Fasteners", "Every entry"):
        assert told in words
    assert words.count("Wembra") > 5 and "Which form" not in words
