"""Busy hands at the bench: pedal and tray, timers that run on, screws at true size, work that changes hands."""

import re
from collections.abc import Sequence

from playwright.sync_api import Page, expect

from tests.browser.conftest import DESK, Launch
from tests.browser.person import Person, read_code
from tests.browser.shop import Shop
from tests.browser.usable import faults
from tests.browser.walks import UP_TO_SCREWS, WARMING, do_step, isolate, look_before_work

LOCKS = """() => {
    globalThis.locks = { asked: 0, held: null };
    const lock = () => Object.assign(new EventTarget(), {
        release() { locks.held = null; this.dispatchEvent(new Event("release")); return Promise.resolve(); },
    });
    Object.defineProperty(navigator, "wakeLock", { value: { request: () => {
        locks.asked += 1; locks.held = lock(); return Promise.resolve(locks.held);
    } } });
}"""
REST_MS = 700
"""Longer than the app takes two presses for one."""
NO_LOCKS = """() => { delete Navigator.prototype.wakeLock; }"""


def begin(person: Person, shop: Shop) -> str:
    """Take a booked display job and an empty tray, by typing. Returns the job."""
    person.open("queue")
    person.sees("Queue")
    row = person.page.locator("a.queue-row").filter(has_text=re.compile("Not started(?!,)")).first
    job = (row.get_attribute("href") or "").rpartition("/")[2]
    person.open(f"bench/{job}")
    person.sees(re.compile("Take an empty tray|Choose the procedure"))
    person.page.get_by_label(re.compile("^Display with paired button")).check()
    person.fill("Or type the code", free_tray(shop))
    person.press("Take it")
    look_before_work(person)
    person.sees("Read the charge")
    return job


def free_tray(shop: Shop) -> str:
    return read_code(shop.named("tray", "A free tray"))


def technician(launch: Launch, shop: Shop, name: str = "bench", **look: object) -> Person:
    person = Person(launch(name, **look), shop.server.url)
    person.join(shop.link if name == "bench" else shop.join_link(name, "bench"), name)
    person.sign_on(shop.badge("bench"), "Fennick")
    # A badge that stays before the camera signs on again wherever a camera starts anew, and that leads to Scan.
    person.station.camera.show_nothing()
    return person


def tread(person: Person, key: str) -> None:
    """A pedal's key; on the page's clock the foot has rested before as long as the app asks for."""
    person.page.clock.fast_forward(REST_MS)
    person.page.keyboard.press(key)


def keys_at_once(page: Page, keys: Sequence[str]) -> None:
    """A bouncing pedal, or a hand scanner, which ends with Enter; Playwright's typing is too slow on a busy machine."""
    page.evaluate(
        """(keys) => {
            for (const key of keys) document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
        }""",
        keys,
    )


def test_next_step_by_pedal_or_tray_but_never_through_a_gate(launch: Launch, shop: Shop) -> None:
    hand = technician(launch, shop)
    hand.page.clock.install()
    begin(hand, shop)
    tray = free_tray(shop)

    tread(hand, "PageDown")
    hand.sees("Switch off")
    hand.reads("Done by a key: Read the charge")
    tread(hand, "PageUp")
    looking = hand.page.get_by_role("region", name="Looking back")
    expect(looking.get_by_role("heading", name="Read the charge")).to_be_visible()
    hand.sees("Switch off")
    tread(hand, "ArrowRight")
    expect(looking).to_have_count(0)
    hand.sees("Switch off")
    hand.press("Take back")
    hand.sees("Read the charge")

    # A foot that treads twice at once is one step.
    hand.page.clock.fast_forward(REST_MS)
    keys_at_once(hand.page, ["PageDown", "PageDown"])
    hand.sees("Switch off")
    tread(hand, "Enter")
    do_step(hand, "Take out the card tray")
    do_step(hand, "Tape broken glass")
    hand.sees("Take out the latch screws")
    keys_at_once(hand.page, [*tray, "Enter"])
    hand.sees("Soften the edge")
    hand.reads("Done by its tray: Take out the latch screws")
    # The tray once more, by the camera.
    hand.page.locator("summary").filter(has_text="Hands busy").click()
    hand.station.camera.show(shop.named("tray", "A free tray"))
    hand.press("Let the camera watch for the tray")
    hand.sees("Open the latch, lift the display")
    hand.page.locator("summary").filter(has_text="Hands busy").click()
    hand.press("Camera off")

    # Keys belong to a field that has the focus, and to nobody once they are switched off.
    hand.page.locator("summary").filter(has_text="Measure a loose screw").click()
    hand.page.get_by_label("Length in mm").focus()
    tread(hand, "Enter")
    hand.sees("Open the latch, lift the display")
    group = hand.page.get_by_role("group", name="Pedal or keys of this station")
    group.get_by_label("Off").check()
    hand.page.evaluate("() => document.activeElement.blur()")
    tread(hand, "PageDown")
    hand.page.reload()
    hand.sees("Open the latch, lift the display")
    tread(hand, "PageDown")
    hand.sees("Open the latch, lift the display")
    hand.page.locator("summary").filter(has_text="Hands busy").click()
    group.get_by_label("On").check()
    hand.page.evaluate("() => document.activeElement.blur()")
    tread(hand, "PageDown")
    hand.sees("Let it cool")
    tread(hand, "PageDown")

    hand.sees("Look for liquid")
    hand.choose("Untouched: white all over")
    hand.page.evaluate("() => document.activeElement.blur()")
    for key in ("PageDown", "ArrowRight", "Enter", "Space"):
        tread(hand, key)
    hand.reads("This step decides whether work may go on")
    hand.sees("Look for liquid")
    assert hand.station.errors == []


def test_timer_runs_on_over_screens_and_reloads_and_tells_when_it_is_over(launch: Launch, shop: Shop) -> None:
    hand = technician(launch, shop)
    job = begin(hand, shop)
    for heading in (*UP_TO_SCREWS, "Take out the latch screws"):
        do_step(hand, heading)
    hand.sees("Soften the edge")
    hand.page.clock.install()
    hand.press("Start the timer")
    hand.reads("Running, on other screens too")
    hand.page.clock.fast_forward(45_000)
    hand.open("scan")
    line = hand.page.get_by_role("link", name=re.compile(r"^Timer: 0:[34]\d, job"))
    expect(line).to_be_visible()
    hand.page.reload()
    expect(line).to_be_visible()
    assert hand.page.title() == "Traymark"
    hand.page.clock.fast_forward(60_000)
    over = hand.page.get_by_role("link", name=re.compile("^Time is up, job"))
    expect(over).to_be_visible()
    assert hand.page.title() == "Time is up: Soften the edge"
    over.click()
    hand.sees("Soften the edge")
    hand.reads(re.compile("^Time is up$"))
    assert hand.path() == f"bench/{job}"
    do_step(hand, "Soften the edge")
    hand.sees("Open the latch, lift the display")
    expect(hand.page).to_have_title("Traymark")
    hand.open("scan")
    expect(over).to_have_count(0)


def test_screen_stays_on_at_the_bench_and_only_there(launch: Launch, shop: Shop) -> None:
    station = launch("bench")
    station.context.add_init_script(f"({LOCKS})()")
    hand = Person(station, shop.server.url)
    hand.join(shop.link, "Bench 1")
    hand.sign_on(shop.badge("bench"), "Fennick")
    begin(hand, shop)
    hand.reads("The screen stays on")
    asked = hand.page.evaluate("() => locks.asked")
    do_step(hand, "Read the charge")
    hand.sees("Switch off")
    assert hand.page.evaluate("() => [locks.asked, locks.held !== null]") == [asked, True]
    # The phone was locked: the browser gives the lock up, and it is asked for again when the page is seen.
    hand.page.evaluate("() => locks.held.release()")
    expect(hand.page.get_by_text("The screen stays on")).to_have_count(0)
    hand.page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")
    hand.reads("The screen stays on")
    hand.open("scan")
    hand.sees("Scan")
    assert hand.page.evaluate("() => locks.held") is None

    bare = launch("bare")
    bare.context.add_init_script(f"({NO_LOCKS})()")
    other = Person(bare, shop.server.url)
    other.join(shop.join_link("Old phone", "bench"), "Old phone")
    other.sign_on(shop.badge("bench"), "Fennick")
    other.open("scan")
    other.page.get_by_role("link", name=re.compile("^Go on: ")).first.click()
    other.page.locator(".bench-step").wait_for()
    expect(other.page.get_by_text("The screen stays on")).to_have_count(0)
    assert other.station.errors == []


def test_screws_are_at_true_size_once_the_screen_was_measured(launch: Launch, shop: Shop, axe_source: str) -> None:
    hand = technician(launch, shop, viewport=DESK)
    job = begin(hand, shop)
    for heading in UP_TO_SCREWS:
        do_step(hand, heading)
    hand.sees("Take out the latch screws")
    expect(hand.page.get_by_text("true size on this screen")).to_have_count(0)
    hand.page.locator("summary").filter(has_text="Hands busy").click()
    hand.page.locator("summary").filter(has_text="Measure a loose screw").click()
    assert faults(hand.page, axe_source) == []
    hand.page.set_viewport_size(DESK)
    hand.page.get_by_role("link", name="Show screws at true size").click()
    hand.sees("Lay a bank card on the drawing")
    before = card_width(hand.page)
    hand.press("Much wider")
    hand.press("Wider")
    assert abs(card_width(hand.page) - before - 8.5) < 0.01
    hand.press("Narrower")
    assert faults(hand.page, axe_source) == []
    hand.page.set_viewport_size(DESK)
    # Drag the right edge: the card is now 300 pixels wide.
    box = hand.page.locator(".calibrate-face").bounding_box()
    assert box is not None
    hand.page.mouse.move(box["x"] + box["width"], box["y"] + 60)
    hand.page.mouse.down()
    hand.page.mouse.move(box["x"] + 300, box["y"] + 60, steps=4)
    hand.page.mouse.up()
    assert abs(card_width(hand.page) - 300) < 0.6
    px_per_mm = card_width(hand.page) / 53.98  # ISO/IEC 7810, ID-1
    hand.press("The card fits")
    hand.reads("Kept for this station")
    hand.press("Back to the work")
    hand.sees("Take out the latch screws")
    hand.reads("true size on this screen")
    shank = hand.page.locator("rect[data-mm]").first.bounding_box()
    assert shank is not None
    assert abs(shank["width"] / px_per_mm - 4.4) < 0.02
    hand.page.reload()
    hand.reads("true size on this screen")
    # Another zoom: a millimetre is no longer known, so none is shown.
    hand.station.context.new_cdp_session(hand.page).send(
        "Emulation.setDeviceMetricsOverride",
        {"width": 1000, "height": 700, "deviceScaleFactor": 1.25, "mobile": False},
    )
    expect(hand.page.get_by_text("true size on this screen")).to_have_count(0)

    # A loose screw is measured.
    hand.open(f"bench/{job}")
    hand.page.locator("summary").filter(has_text="Measure a loose screw").click()
    hand.page.get_by_label("Length in mm").fill("4,35")
    hand.reads("Pocket 1")
    hand.page.get_by_label("Length in mm").fill("1.85")
    hand.reads("Too close to call")
    hand.page.get_by_label("Length in mm").fill("9")
    hand.reads("No screw of this procedure is so long")

    # The tray map comes as a file.
    hand.page.locator("summary").filter(has_text="Hands busy").click()
    with hand.page.expect_download() as coming:
        hand.press("Tray map to print")
    assert coming.value.suggested_filename == "tray-map-quillet5-display-1.pdf"
    assert coming.value.path().read_bytes().startswith(b"%PDF-")
    hand.network(there=False)
    hand.press("Tray map to print")
    hand.reads("it cannot be reached")


def card_width(page: Page) -> float:
    return float(page.locator(".calibrate-face").get_attribute("width") or 0)


def test_half_done_job_goes_to_a_colleague_by_two_scans(launch: Launch, shop: Shop) -> None:
    one = technician(launch, shop)
    job = begin(one, shop)
    for heading in UP_TO_SCREWS:
        do_step(one, heading)
    do_step(one, "Take out the latch screws")
    one.sees("Soften the edge")

    # The colleague scans the own badge at this bench, then the tray.
    one.scan(shop.named("badge", "Wembra"))
    expect(one.page.locator(".head-name")).to_have_text("Wembra")
    one.scan(shop.named("tray", "A free tray"))
    one.sees("Fennick has this job")
    one.reads("Soften the edge")
    one.press(re.compile("^Take"))
    one.sees("Soften the edge")
    one.synced()

    # And back, at another station, which knows it from the server.
    two = technician(launch, shop, "bench-2")
    two.scan(shop.named("tray", "A free tray"))
    two.sees("Wembra has this job")
    two.press(re.compile("^Take"))
    two.sees("Soften the edge")
    two.reads("In the tray: 2")
    do_step(two, "Soften the edge")
    two.sees("Open the latch, lift the display")
    two.synced()
    record = shop.job(job)
    assert record["steps"]["warm"]["staff"] == record["bench_staff"]
    assert record["ledger"]["latch"]["out"] == 2 and record["findings"] == []


def test_interrupted_work_goes_on_at_the_exact_place(launch: Launch, shop: Shop) -> None:
    hand = technician(launch, shop)
    job = begin(hand, shop)
    for heading in (*UP_TO_SCREWS, "Take out the latch screws", WARMING):
        do_step(hand, heading)
    do_step(hand, "Open the latch, lift the display")
    do_step(hand, "Let it cool")
    hand.sees("Look for liquid")
    hand.choose("Slightly pink: counts as tripped")

    # Somebody calls: another job is opened and worked on, the page is loaded anew, then the tray is scanned again.
    hand.open("queue")
    row = hand.page.locator("a.queue-row").filter(has_text="At: Unplug the three upper cables").first
    other = (row.get_attribute("href") or "").rpartition("/")[2]
    hand.open(f"bench/{other}")
    hand.sees("Unplug the three upper cables")
    do_step(hand, "Unplug the three upper cables")
    hand.sees("Free the lower cable")
    hand.page.reload()
    hand.sees("Free the lower cable")
    hand.scan(shop.named("tray", "A free tray"))
    hand.sees("Look for liquid")
    assert hand.path() == f"bench/{job}"
    # The half-given answer is there too.
    expect(hand.page.get_by_label("Slightly pink: counts as tripped")).to_be_checked()
    hand.choose("Untouched: white all over")
    hand.page.reload()
    expect(hand.page.get_by_label("Untouched: white all over")).to_be_checked()
    hand.press("Dry: go on")
    do_step(hand, "Take off the battery plate")
    isolate(hand, "Isolate power")
    hand.sees("Take off the cable shield")


def test_lost_stripped_and_broken_screws_are_entered_and_replaced(launch: Launch, shop: Shop) -> None:
    hand = technician(launch, shop)
    job = begin(hand, shop)
    for heading in UP_TO_SCREWS:
        do_step(hand, heading)
    do_step(hand, "Take out the latch screws")
    hand.sees("Soften the edge")
    entries = (
        ("Lost", "1", "Rolled off the mat"),
        ("Stripped", "1", "Cross worn out"),
        ("Broken", "0", "Head came off"),
    )
    for what, replaced, why in entries:
        hand.page.locator(".bench-ledger-line").click()
        hand.press("Lost, stripped or broken")
        hand.choose(what)
        hand.fill("Why", why)
        if replaced == "1":
            hand.press("Replaced, how many: one more")
            hand.fill("Replaced by", "Same screw from stock")
        hand.press("Enter it")
        hand.reads(why)
    hand.reads("In the tray: 1")
    # More than the tray holds cannot be lost.
    hand.press("Lost, stripped or broken")
    hand.choose("Lost")
    hand.fill("Why", "And again")
    hand.press("How many: one more")
    hand.press("Enter it")
    hand.page.get_by_role("alert").wait_for()
    hand.synced()
    record = shop.job(job)
    assert [(entry["what"], entry["replaced"]) for entry in record["losses"]] == [
        ("lost", 1), ("stripped", 1), ("broken", 0),
    ]  # fmt: skip
    assert record["ledger"]["latch"] == {"out": 2, "lost": 3, "replaced": 2}
