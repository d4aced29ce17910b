"""The whole job through the screens, by the real camera path, on stations that were offline for part of it."""

import re
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Launch
from tests.browser.person import Person, labels_of, photo, read_code
from tests.server_process import ServerProcess
from traymark.log.store import Store

# 3GPP TS 23.003 Annex B.3 gives this worked example of a check digit; as a number only, it stands for no device.
IMEI = "260531793113837"


@dataclass(frozen=True)
class Shop:
    """The invented shop, served, with its label files."""

    server: ServerProcess
    labels: dict[str, bytes]
    captions: dict[str, str]
    link: str

    def badge(self, role: str) -> bytes:
        """The badge of the first person with this role."""
        file = next(f for f, caption in self.captions.items() if f.startswith("badge") and caption.find(f", {role}.") > 0)
        return self.file(file)

    def file(self, name: str) -> bytes:
        return (self.server.data_dir / "labels" / name).read_bytes()

    def named(self, kind: str, caption: str) -> bytes:
        """The label whose caption on the sheet has these words."""
        found = [f for f, text in self.captions.items() if f.startswith(kind) and caption in text]
        assert found, (kind, caption, self.captions)
        return self.file(found[0])

    def join_link(self, name: str, role: str) -> str:
        said = self.server.run("enrol", "--data", str(self.server.data_dir), "--name", name, "--role", role).stdout
        return re.search(r"http://\S+/#/join/\S+", said)[0]  # type: ignore[index]


@pytest.fixture
def shop(built_app: Path, tmp_path: Path) -> Iterator[Shop]:
    server = ServerProcess(tmp_path / "data", command=("demo", "--data", "{data}", "--port", "{port}"))
    server.start()
    sheet = (server.data_dir / "labels" / "sheet.html").read_text(encoding="utf-8")
    captions = dict(re.findall(r'src="([^"]+)".*?<figcaption>(.*?)</figcaption>', sheet, re.S))
    link = re.search(r"http://\S+/#/join/\S+", server.log())[0]  # type: ignore[index]
    yield Shop(server, labels_of(server.data_dir / "labels"), captions, link)
    server.stop()


def book_in(person: Person, *, works: bool = True) -> tuple[str, bytes, bytes]:
    """Take a device in at the counter. Returns job code, ticket and device label."""
    person.open("book")
    person.sees("Which device is it?")
    person.fill("Or type the code", IMEI)
    person.press("Open")
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
    person.page.locator(".counter-zones button").first.click()
    person.choose("Crack", within="What is it?")
    person.photograph("Photo of it", photo("crack at the edge"))
    person.press("Mark done")
    person.press("Next")
    person.sees("Can it be unlocked?")
    person.choose("The customer unlocks it")
    person.press("Next")
    person.sees("What works now?")
    for button in person.page.get_by_role("button", name=re.compile("^(All [0-9]+ work|It works)$")).all():
        button.click()
    display = person.page.get_by_role("region", name="Display")
    display.get_by_role("button", name="One by one").click()
    display.get_by_role("group", name="Touch", exact=True).get_by_label("Fails").check(force=True)
    person.press("Next")
    person.sees("What was agreed?")
    for group in person.page.get_by_role("group").all():
        group.get_by_label("Agreed", exact=True).check(force=True)
    person.press("Next")
    person.choose("The price is agreed already")
    person.press("Next")
    person.sees("When will it be ready?")
    person.page.get_by_role("group", name="Promised for").get_by_role("radio").first.check(force=True)
    person.press("Next")
    person.sees("How will it be repaired?")
    person.page.get_by_label(re.compile("^Display with paired button")).check(force=True)
    person.press("Next")
    person.sees("Is this right?")
    person.press("Book in")
    person.sees("Quillet 5 is booked in")
    code = person.page.locator(".counter-code .code").inner_text().replace(" ", "")
    ticket = person.label_printed_by("Print ticket")
    device = person.label_printed_by("Print device label")
    assert read_code(ticket).startswith("HTTP://LOCALHOST:")
    assert read_code(device).startswith("D")
    return code, ticket, device


def do_step(person: Person, heading: str, button: str | re.Pattern[str] = re.compile("^Done")) -> None:
    """A step that is no gate: read its heading, press its one button."""
    person.sees(heading)
    person.press(button, exact=False)


def open_up(person: Person) -> None:
    """The way in of the display procedure, down to the liquid gate."""
    for heading in ("Switch off", "Tape broken glass", "Take out the bottom screws", "Soften the edge", "Lift the display"):
        do_step(person, heading)
    person.sees("Look for liquid")


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


def close_up(person: Person) -> None:
    """The way out, backwards."""
    for heading in (
        "Hold the display to the frame",
        "Plug in the four display cables",
        "Back: Take off the cable shield",
        "Plug in the battery",
        "Back: Take off the battery plate",
        "Films off",
        "New edge seal",
        "Seat the display",
        "Back: Take out the bottom screws",
    ):
        do_step(person, heading)


def test_the_whole_job_on_two_stations_that_were_offline_for_part_of_it(launch: Launch, shop: Shop) -> None:
    counter = Person(launch("counter"), shop.server.url)
    counter.join(shop.link, "Counter")
    counter.sign_on(shop.badge("counter"), "Dapple")
    job, ticket, device = book_in(counter)
    counter.synced()

    bench = Person(launch("bench"), shop.server.url)
    bench.join(shop.join_link("Bench 2", "bench"), "Bench 2")
    bench.synced()
    bench.sign_on(shop.badge("bench"), "Fennick")
    bench.scan(shop.named("tray", "A free tray"))
    bench.sees("Scan the device label")

    # From here on the bench has no network.
    bench.network(there=False)
    bench.scan(device, at=bench.page.url.partition("#/")[2])
    bench.sees("Switch off")
    open_up(bench)
    bench.press("Dry: go on")
    bench.reads("The indicator.")  # refused: nothing was looked at
    bench.choose("Untouched, white all over")
    bench.press("Dry: go on")
    do_step(bench, "Take off the battery plate")
    isolate(bench, "Isolate power")
    do_step(bench, "Take off the cable shield")

    # A reload in the middle of the work, still without a network, leads back to the same step.
    bench.sees("Unplug the four display cables")
    bench.page.reload()
    bench.sees("Unplug the four display cables")
    do_step(bench, "Unplug the four display cables")
    do_step(bench, "Set the old display aside")
    do_step(bench, "Plug in the new display, do not fit it")

    prove_part(bench, shop.named("part", "Display assembly"))
    isolate(bench, "Isolate power again")
    for heading in ("Unplug the new display", "Move the ear piece bracket", "Free the button plate"):
        do_step(bench, heading)
    do_step(bench, "Move the paired button")
    do_step(bench, "Screw the button plate on")

    # Back on the network: everything drains by itself.
    bench.network(there=True)
    bench.synced()
    close_up(bench)
    bench.sees("Test the whole device")
    bench.synced()

    # A colleague at the second station takes the job over, without a network: a photo and a test result.
    colleague = counter
    colleague.sign_on(shop.named("badge", "Wispa"), "Wispa")
    colleague.open(f"bench/{job}")
    colleague.sees("Fennick has this job")
    colleague.network(there=False)
    colleague.press(re.compile("^Take"))
    colleague.sees("Test the whole device")
    colleague.press("Loudspeaker: works")
    colleague.open(f"job/{job}/note")
    colleague.photograph("Take a photo", photo("seen by a colleague"))
    colleague.fill("Note", "Loudspeaker tested with the long tone")
    colleague.press("Save the note")
    expect(colleague.page.locator(".sync-mark")).to_contain_text("Saved here")

    # The bench, knowing nothing of it, goes on.
    say_of_points(bench, "works")
    bench.press("Close the test")
    bench.sees("Tag the old part")
    bench.choose("Cracked")
    bench.photograph("Photo of the old part", photo("old display"))
    bench.press("Give it a code")
    core = bench.label_printed_by("Print its label")
    bench.press("Done: labelled and packed")
    bench.sees("Nothing left over")
    bench.choose("The tray is empty, every pocket")
    bench.choose("Nothing of this device lies on the bench")
    bench.press("Ready: nothing left over")
    bench.sees("Ready")
    bench.synced()

    # Both meet: the colleague's entries are there, nothing is lost, nothing counts twice, both show the same.
    colleague.network(there=True)
    colleague.synced()
    bench.wait(lambda: len({bench.check_number(), colleague.check_number(), server_hash(shop)}) == 1, "one state", 30)
    record = job_on_server(shop, job)
    assert record["tests"]["final/loudspeaker"]["result"] == "pass"
    assert [n["note"] for n in record["notes"]][-1] == "Loudspeaker tested with the long tone"
    assert "other" in [p["use"] for p in record["photos"].values()]
    assert record["stage"] == "ready" and record["findings"] == []

    # The shipping clerk scans the core into the box, is stopped at one that does not belong there, counts, weighs, seals.
    clerk = bench
    clerk.sign_on(shop.badge("shipping"), "Quarto")
    box = read_code(shop.named("box", "2 in it, open"))
    clerk.scan(core, at=f"box/{box}")
    clerk.reads(re.compile("^In$"))
    clerk.scan(shop.named("core", "in no box yet"), at=f"box/{box}")
    clerk.reads(re.compile("^(In|Not in this box)$"))
    pieces = clerk.page.locator(".ship-count b").inner_text()
    clerk.press("Count and seal")
    clerk.fill("Pieces you counted", "77")
    clerk.fill("Weight in grams", "640")
    clerk.press("Seal this box")
    clerk.reads(re.compile("77"))  # refused: the count differs
    clerk.fill("Pieces you counted", pieces)
    clerk.press("Seal this box")
    clerk.sees("Sealed")
    clerk.press("Handed to the shipper")
    clerk.sees("Handed to the shipper")
    clerk.synced()

    # The counter scans the ticket: what is owed next, tell, hand over by the device's label.
    counter.sign_on(shop.badge("counter"), "Dapple")
    counter.scan(ticket)
    counter.sees("Quillet 5")
    counter.press("Tell: it is ready")
    counter.choose("By message")
    counter.press("The customer was told")
    counter.press("Hand over")
    counter.sees("Is it this device?")
    counter.station.camera.show(shop.named("device", "Ready to be handed over"))
    counter.press("Scan with the camera")
    counter.reads("This is not the device of this job")
    counter.scan(device, at=f"job/{job}/hand-over")
    counter.press("Scan with the camera")
    counter.sees("Hand the device over")
    counter.press("Hand over")
    counter.reads("Handed over")
    counter.synced()

    # The customer's own telephone sees a plain page; trace and log are sound to the end.
    shown = customer_page(shop, read_code(ticket))
    assert "handed over" in shown.lower() and "Tamsel" not in shown and "555-0142" not in shown
    counter.open(f"trace/{read_code(core)}")
    counter.reads(re.compile("supplier|shipper|shipping", re.I))
    assert job_on_server(shop, job)["findings"] == []
    assert counter.station.errors == [] or all("ERR_INTERNET_DISCONNECTED" in e for e in counter.station.errors)
    shop.server.stop()
    checked = shop.server.run("verify", "--data", str(shop.server.data_dir))
    assert checked.returncode == 0, checked.stdout + checked.stderr


def server_hash(shop: Shop) -> str:
    """The first half of the server's state hash, from the same fold in Python over the whole log."""
    store = Store(shop.server.data_dir / "traymark.sqlite", sole_writer=False)
    try:
        return store.state()[1][:32]
    finally:
        store.close()


def job_on_server(shop: Shop, job: str) -> dict[str, Any]:
    store = Store(shop.server.data_dir / "traymark.sqlite", sole_writer=False)
    try:
        return store.record("job", job) or {}
    finally:
        store.close()


def customer_page(shop: Shop, ticket: str) -> str:
    path = ticket.partition("/T/")[2]
    with urllib.request.urlopen(f"{shop.server.url}/T/{path}", timeout=10) as answer:
        return answer.read().decode()
