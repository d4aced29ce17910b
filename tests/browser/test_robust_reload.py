"""The page is loaded anew after every step: what was acknowledged is there once, and work goes on at its step."""

import re
from collections import Counter

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.robust import a_job, log_of, same_everywhere
from tests.browser.shop import Shop
from tests.browser.walks import OVER_TO_NEW, TO_TRIAL, book_in, do_step, isolate, open_up, prove_part


class Restless(Person):
    """Loads the page anew whenever a screen has shown itself."""

    reloads = 0

    def sees(self, heading: str | re.Pattern[str]) -> None:
        super().sees(heading)
        if heading in ("Scan", "More", "Which device is it?"):
            return
        self.reload()
        super().sees(heading)

    def press(self, name: str | re.Pattern[str], *, exact: bool = True) -> None:
        super().press(name, exact=exact)
        if name == "Next":
            # The walk's next screen: no heading of it was named, so it must be the same one after the reload.
            self.reload_in_place()

    def reload_in_place(self) -> None:
        place = self.page.locator(".page, main").first
        shown = place.locator("h1").inner_text()
        self.reload()
        expect(self.page.get_by_role("heading", level=1)).to_have_text(shown)

    def reload(self) -> None:
        self.page.reload()
        self.reloads += 1


def test_nothing_is_lost_or_done_twice_by_reloads_at_every_step_of_booking_and_bench(
    launch: Launch, shop: Shop
) -> None:
    person = Restless(launch("desk"), shop.server.url)
    person.join(shop.link, "Desk")
    person.sign_on(shop.badge("counter"), "Dapple")
    job, _, device = book_in(person)
    assert person.reloads > 12
    person.synced()
    booked = shop.job(job)
    assert shop.said(booked["complaint"]) == "Glass broken, touch dead at the lower edge"
    assert [m["what"] for m in booked["marks"].values()] == ["crack"]

    # The bench has no network: every reload must find all of it on the station itself.
    person.sign_on(shop.badge("bench"), "Fennick")
    person.scan(shop.named("tray", "A free tray"))
    person.sees("Scan the device label")
    person.network(there=False)
    person.scan(device, at=person.path())
    open_up(person)
    person.choose("Untouched: white all over")
    # A half-filled gate is there again too.
    person.reload()
    expect(person.page.get_by_label("Untouched: white all over")).to_be_checked()
    person.press("Dry: go on")
    do_step(person, "Take off the battery plate")
    isolate(person, "Isolate power")
    for heading in TO_TRIAL:
        do_step(person, heading)
    prove_part(person, shop.named("part", "Display assembly"))
    isolate(person, "Isolate power again")
    for heading in OVER_TO_NEW[:-1]:
        do_step(person, heading)
    person.sees("Screw the reader plate on")
    person.network(there=True)
    person.synced()
    same_everywhere(shop, person)

    record = shop.job(job)
    assert record["findings"] == []
    ours = [e for e in log_of(shop) if e.event and e.event["job"] == job]
    once = Counter(
        (e.kind, e.event["body"].get("step"))
        for e in ours
        if e.event and e.kind in ("job.booked", "job.started", "step.done")
    )
    assert set(once.values()) == {1}, once
    # Each point was answered once in each of its tests.
    read = [(e.event["body"]["stage"], e.event["body"]["point"]) for e in ours if e.event and e.kind == "test.read"]
    assert len(read) == len(set(read)) > 20
    for counts in record["ledger"].values():
        assert all(0 <= n < 20 for n in counts.values())
    assert a_job(shop) != job
    shop.verify()
