"""A lead revises a procedure at a desk; running jobs keep theirs, new ones get it; a file takes it to another shop."""

import json
import re
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person
from tests.browser.shop import Shop
from tests.browser.test_hands import technician
from tests.browser.usable import faults
from tests.browser.walks import book_in, do_step, look_before_work

DESK = {"width": 1440, "height": 900}
FRONT = "Closed, lying across: tray side towards you, lower end on the right"
NEW_STEP = "Note scratches on the frame"


def lead_at_desk(launch: Launch, shop: Shop) -> Person:
    desk = Person(launch("desk", viewport=DESK), shop.server.url)
    desk.join(shop.join_link("Office", "lead"), "Office")
    desk.sign_on(shop.badge("lead"), "Ombra")
    return desk


def part(desk: Person, name: str) -> None:
    """Open a part of the procedure in the editor."""
    desk.page.get_by_role("navigation", name="Parts of the procedure").get_by_role(
        "button", name=re.compile(f"^{re.escape(name)}")
    ).click()


def sound(desk: Person) -> None:
    expect(desk.page.get_by_role("status").filter(has_text=re.compile("^Sound$"))).to_be_visible()


def test_lead_revises_a_procedure_that_jobs_run_by(launch: Launch, shop: Shop, axe_source: str, tmp_path: Path) -> None:
    bench = technician(launch, shop)
    in_use = shop.named("tray", "A tray in use")
    bench.scan(in_use)
    bench.sees("Unplug the three upper cables")
    walk = bench.page.locator(".bench-progress").inner_text()
    running = bench.path().removeprefix("bench/")
    desk = lead_at_desk(launch, shop)
    desk.open("procedures")
    desk.page.get_by_role("link", name=re.compile("^Display with paired button")).click()
    desk.sees("Display with paired button, Quillet 5")
    sound(desk)

    # Two groups in one pocket: told at once, with the place, and never published.
    part(desk, "Fasteners")
    long = desk.page.get_by_role("region", name="Cable shield, long")
    long.get_by_label("Pocket").fill("2")
    desk.reads("Two fastener groups lie in one pocket")
    desk.reads("Cable shield, short, Cable shield, long: 2")
    desk.press("Publish revision 2")
    desk.reads("This procedure has faults")
    expect(desk.page.get_by_role("button", name=re.compile("^1 fault"))).to_be_visible()
    desk.press("Undo")
    expect(long.get_by_label("Pocket")).to_have_value("3")
    sound(desk)

    # A new step, a danger without its caution, the caution.
    desk.page.get_by_label("New step, way in").fill(NEW_STEP)
    desk.page.keyboard.press("Enter")
    desk.reads("Sentences: at least one is needed")
    expect(desk.page.get_by_role("list", name="Faults")).not_to_contain_text("schema")
    desk.fill("Sentences, one a line", "Look along the frame.\nDo not warm it yet.")
    desk.reads("A step names a danger without its caution")
    desk.choose("Heat", within="Cautions")
    # Warming without a number, the number, and solvent where it must not be.
    desk.reads("A step speaks of warming without saying how warm")
    desk.press("It warms something")
    desk.reads("Where it is warmed is not filled in")
    desk.fill("Where it is warmed", "Rim of the glass")
    sound(desk)
    desk.press("It uses solvent")
    desk.fill("Which solvent", "Remover")
    desk.fill("Where it goes", "Rim of the glass")
    desk.reads("A step warms and uses solvent")
    desk.press("It uses no solvent")
    sound(desk)
    for _ in range(14):
        desk.press("Step earlier")
    expect(desk.page.get_by_role("heading", level=2, name=f"Way in, step 2: {NEW_STEP}")).to_be_visible()

    # Its drawing by hand, its photo by the camera.
    desk.page.get_by_label("Drawn upon").select_option(label=FRONT)
    desk.press("Circle")
    paper = desk.page.get_by_role("img", name="The drawing")
    paper.scroll_into_view_if_needed()
    box = paper.bounding_box()
    assert box is not None
    desk.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 3)
    shape = desk.page.get_by_role("region", name="Shape 1")
    shape.get_by_label("Words on it").fill("here")
    shape.get_by_label("Radius").fill("18")
    handle = desk.page.locator(".proc-handle").first
    grip = handle.bounding_box()
    assert grip is not None
    across = int(shape.get_by_label("Across").input_value())
    desk.page.mouse.move(grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2)
    desk.page.mouse.down()
    desk.page.mouse.move(grip["x"] + grip["width"] / 2 + 40, grip["y"] + grip["height"] / 2, steps=4)
    desk.page.mouse.up()
    assert int(shape.get_by_label("Across").input_value()) > across
    desk.station.camera.show(shop.named("tray", "A free tray"))
    desk.press("Photo for this step")
    desk.page.get_by_role("button", name="Take the photo").click()
    desk.press("Keep")
    desk.fill("What photo 1 shows", "The frame, lower edge")
    sound(desk)

    # As the technician will see it, and what it changes.
    desk.press("At the bench")
    phone = desk.page.get_by_role("region", name="As the technician sees it")
    expect(phone.get_by_role("heading", name=NEW_STEP)).to_be_visible()
    expect(phone.get_by_text("Do not warm it yet.")).to_be_visible()
    expect(phone.get_by_role("img", name="The frame, lower edge")).to_be_visible()
    desk.press("Differences")
    differences = desk.page.get_by_role("list", name="Differences")
    expect(differences.get_by_role("listitem")).to_have_count(1)
    expect(differences).to_contain_text(f"New: Way in: {NEW_STEP}")
    desk.page.screenshot(path=tmp_path / "editor.png")
    assert faults(desk.page, axe_source) == []

    # A half-written revision survives a reload.
    desk.page.reload()
    desk.reads("Draft on this station, the shop works by revision 1")
    desk.synced()
    desk.press("Publish revision 2")
    desk.reads("Revision 2 is published. Jobs that are under way keep theirs.")
    with desk.page.expect_download() as downloading:
        desk.press("Save as a file")
    file = tmp_path / downloading.value.suggested_filename
    downloading.value.save_as(file)
    checked = shop.server.run("procedure", "check", str(file))
    assert checked.returncode == 0, checked.stdout
    assert checked.stdout.strip().endswith("sound")

    # The job under way keeps revision 1 for all its steps.
    bench.synced()
    bench.scan(in_use)
    do_step(bench, "Unplug the three upper cables")
    bench.sees("Free the lower cable")
    assert bench.page.locator(".bench-progress").inner_text().partition(" of ")[2] == walk.partition(" of ")[2]
    assert shop.job(running)["revision"] == 1

    # The next job, taken by the camera, gets revision 2 with its step, drawing and photo.
    counter = Person(launch("counter"), shop.server.url)
    counter.join(shop.join_link("Counter 2", "counter"), "Counter 2")
    counter.sign_on(shop.badge("counter"), "Dapple")
    job, _, device = book_in(counter)
    counter.synced()
    bench.synced()
    bench.scan(shop.named("tray", "A free tray"))
    bench.sees("Scan the device label")
    bench.scan(device, at=bench.path())
    look_before_work(bench)
    do_step(bench, "Read the charge")
    bench.sees(NEW_STEP)
    bench.reads("65 °C, 1:00 min")
    bench.synced()
    bench.network(there=False)
    expect(bench.page.get_by_role("img", name="The frame, lower edge")).to_be_visible()
    expect(bench.page.get_by_role("img", name=re.compile(f"^{FRONT}"))).to_be_visible()
    bench.network(there=True)
    bench.synced()
    assert shop.job(job)["revision"] == 2
    shop.verify()


def test_every_part_of_the_editor_can_be_used(launch: Launch, shop: Shop, axe_source: str) -> None:
    desk = lead_at_desk(launch, shop)
    desk.open("procedures/quillet5-display")
    desk.sees("Display with paired button, Quillet 5")
    wrong: list[str] = []
    for name in (
        "About",
        "Fasteners",
        "Connectors",
        "Paired parts",
        "7. Open the latch",
        "2. Prove",
        "2. New edge",
        "The tray side",
    ):
        part(desk, name)
        for view in ("Check", "At the bench", "Differences") if name == "7. Open the latch" else ("Check",):
            desk.press(view)
            wrong += [f"{name}, {view}: {fault}" for fault in faults(desk.page, axe_source)]
    part(desk, "7. Open the latch")
    desk.fill("Title", "")
    desk.page.get_by_role("list", name=re.compile("^Shapes")).get_by_role("button").first.click()
    desk.press("Check")
    desk.reads("Title is not filled in")
    wrong += [f"with a fault: {fault}" for fault in faults(desk.page, axe_source)]
    assert wrong == []


def test_battery_is_written_from_nothing(launch: Launch, shop: Shop) -> None:
    """A gap is told by whose field it is, a part is proven by its own points, a press lands where it is."""
    desk = lead_at_desk(launch, shop)
    desk.open("procedures")
    desk.fill("What it does", "Battery")
    desk.page.get_by_label("For which model").select_option(label="Quillet 6")
    desk.press("Begin it")
    faults_shown = desk.page.get_by_role("list", name="Faults")
    for missing in ("Kind of the new part is not filled in", "Name of the old part is not filled in"):
        expect(faults_shown).to_contain_text(missing)
    desk.choose("Battery", within="What it serves")
    desk.page.get_by_label("New step, turn").fill("Prove it")
    desk.page.keyboard.press("Enter")
    desk.page.get_by_label("Gate", exact=True).select_option(label="Pre-fit: is the new part proven?")
    own = desk.page.get_by_role("group", name="Test points that prove the new part")
    assert own.get_by_role("checkbox").count() == 2
    desk.choose("Charging", within="Test points that prove the new part")

    # A drawing that is narrower than its paper stands in the middle of it.
    desk.page.get_by_label("New view").fill("Open, from the front")
    desk.page.keyboard.press("Enter")
    desk.fill("Width in units", "200")
    desk.fill("Height in units", "400")
    desk.press("Connector")
    paper = desk.page.get_by_role("img", name="The drawing")
    paper.scroll_into_view_if_needed()
    box = paper.bounding_box()
    assert box is not None
    assert box["width"] > 1.5 * box["height"] / 2
    unit = box["height"] / 400
    desk.page.mouse.click(box["x"] + box["width"] / 2 + 50 * unit, box["y"] + 100 * unit)
    shape = desk.page.get_by_role("region", name="Shape 1")
    assert abs(int(shape.get_by_label("Across").input_value()) - 150) <= 2
    assert abs(int(shape.get_by_label("Down").input_value()) - 100) <= 2

    # On a phone a part that is chosen comes into sight, and so do the faults.
    desk.page.set_viewport_size({"width": 390, "height": 844})
    part(desk, "Fasteners")
    expect(desk.page.get_by_role("heading", name="Fasteners", exact=True)).to_be_in_viewport()
    desk.press(re.compile("^[0-9]+ faults?$"))
    expect(faults_shown).to_be_in_viewport()
    desk.press("Contents")
    expect(desk.page.get_by_role("button", name="All procedures")).to_be_in_viewport()


def test_procedure_travels_as_a_file(launch: Launch, shop: Shop, tmp_path: Path, axe_source: str) -> None:
    desk = lead_at_desk(launch, shop)
    desk.open("procedures/quillet5-battery")
    desk.sees("Battery, Quillet 5")
    with desk.page.expect_download() as downloading:
        desk.press("Save as a file")
    whole = json.loads(Path(downloading.value.path()).read_text("utf-8"))

    def take_in(document: object) -> None:
        file = tmp_path / "sent.json"
        file.write_text(json.dumps(document), encoding="utf-8")
        desk.open("procedures")
        desk.sees("Procedures")
        desk.page.get_by_label("Procedure file").set_input_files(file)

    take_in(whole | {"format": 2})
    desk.reads("This is no procedure file")
    take_in(whole | {"photos": [{"sha256": "0" * 64, "type": "image/jpeg", "base64": "AAAA"}]})
    desk.reads("/photos/0/base64 has another SHA-256")
    for nothing in ({"traymark": "procedure"}, {}, [], 5):
        take_in(nothing)
        desk.reads("This is no procedure file")

    whole["procedure"] |= {"id": "other-battery", "title": "Battery, other way", "rev": 7}
    take_in(whole)
    desk.sees("Battery, other way, Quillet 5")
    desk.reads("Draft on this station, not published yet")
    desk.fill("Title", "Battery, my way")
    take_in(whole)
    desk.reads("A draft of this procedure is on this station")
    desk.open("procedures/other-battery")
    desk.sees("Battery, my way, Quillet 5")
    desk.fill("Title", "Battery, other way")
    desk.press("Differences")
    desk.reads("The shop has no revision of this procedure yet")
    desk.press("Publish revision 1")
    desk.reads("Revision 1 is published")
    desk.open("procedures")
    desk.reads("Battery, other way, Quillet 5")
    assert faults(desk.page, axe_source) == []

    # Nobody but a lead comes here.
    desk.open("more")
    desk.station.camera.show_nothing()  # else the badge that it still sees signs on again
    desk.press("Sign Ombra off")
    desk.sees("Sign on")
    desk.sign_on(shop.badge("bench"), "Fennick")
    desk.sees("Scan")
    desk.open("procedures/other-battery")
    desk.reads("Only a lead can do this")


def test_draft_in_two_tabs_is_never_written_over_without_a_word(
    launch: Launch, shop: Shop, axe_source: str, tmp_path: Path
) -> None:
    desk = lead_at_desk(launch, shop)
    desk.open("procedures/quillet5-battery")
    desk.sees("Battery, Quillet 5")
    expect(desk.page.get_by_role("button", name="Publish revision 2")).to_be_disabled()
    other = desk.page.context.new_page()
    other.goto(desk.page.url)
    other.get_by_label("Title", exact=True).fill("Battery, there")
    expect(other.get_by_text("Draft on this station")).to_be_visible()
    desk.fill("Title", "Battery, here")
    desk.reads("This draft was changed in another tab")
    desk.page.screenshot(path=tmp_path / "two-tabs.png")
    assert faults(desk.page, axe_source) == []
    desk.press("Go on with the other tab's")
    desk.sees("Battery, there, Quillet 5")
    desk.fill("Title", "Battery, here again")
    other.get_by_label("Title", exact=True).fill("Battery, there again")
    expect(other.get_by_text("This draft was changed in another tab")).to_be_visible()
    other.get_by_role("button", name="Keep this one over it").click()
    expect(other.get_by_text("This draft was changed in another tab")).to_have_count(0)
    desk.page.reload()
    desk.sees("Battery, there again, Quillet 5")
    desk.press("Throw the draft away")
    desk.press("Yes, throw it away")
    desk.sees("Battery, Quillet 5")
