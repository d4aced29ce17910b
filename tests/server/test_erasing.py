"""What the shop holds of a customer is handed out and erased, on request and by its age (F7.10)."""

import io
import json
import sqlite3
import zipfile
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.server.conftest import NOW_MS, Desk, Shop, problem_of
from tests.server.shop_events import Writer
from tests.server.story import CARD, CONTACT, DEVICE, JOB, LATER_MS, Story, code
from traymark.backup.make import make_backup
from traymark.backup.restore import restore
from traymark.blobs.keep import all_blobs
from traymark.docs.keep import get_doc, put_doc
from traymark.housekeeping.collect import KEPT_MS, collect
from traymark.housekeeping.put_away import put_away
from traymark.log.database import DATABASE
from traymark.log.erasing import due_photos
from traymark.log.store import Store
from traymark.log.verify import verify
from traymark.personal.erase import finish_erasing
from traymark.personal.retain import MONTH_MS, retain

NAME, PHONE, IMEI = "Ilse Marrow-Erased", "+00 555 0199", "490154203237518"
COMPLAINT, NOTE = "Fell from the tower of Erasing", "Brought by the sister of Erasing"


def picture(shade: int) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (64, 48), (shade, 40, 40)).save(out, "JPEG")
    return out.getvalue()


def name_of(data: bytes) -> str:
    return sha256(data).hexdigest()


PHOTO = picture(200)


@pytest.fixture
def story(desk: Desk, writer: Writer) -> Story:
    return Story(desk, writer)


@pytest.fixture
def lead(shop: Shop) -> Desk:
    return shop.enrol("S7KA", "7KA", role="lead")


def put(desk: Desk, id_: str, kind: str, body: Any) -> None:
    assert desk.ask("PUT", f"/api/docs/{id_}", json={"kind": kind, "body": body}).status_code == 200


def photograph(story: Story, desk: Desk, data: bytes, job: str = JOB) -> None:
    story.say(
        "photo.taken", {"photo": name_of(data), "use": "intake", "bytes": len(data), "width": 64, "height": 48}, job
    )
    assert desk.ask("PUT", f"/api/blobs/{name_of(data)}", content=data).status_code == 200
    assert desk.ask("GET", f"/api/blobs/{name_of(data)}?size=thumb").status_code == 200


@pytest.fixture
def known(story: Story, desk: Desk, shop: Shop) -> Shop:
    """A customer whose job is over, with everything that can be held of somebody."""
    story.book()
    put(desk, CONTACT, "contact", {"name": NAME, "phone": PHONE})
    put(desk, CARD, "device", {"imei": IMEI, "serial": "SERIAL-ERASED"})
    story.say("note.added", {"note": NOTE})
    photograph(story, desk, PHOTO)
    story.hand_over()
    return shop


def traces(folder: Path, *words: str) -> set[str]:
    """The files of a folder that hold any of these words, or the photo."""
    sought = [word.encode() for word in (words or (NAME, PHONE, IMEI, NOTE, "Dark display"))]
    found: set[str] = set()
    for path in folder.rglob("*"):
        if path.is_file():
            data = path.read_bytes()
            if data == PHOTO or any(word in data for word in sought) or name_of(PHOTO) in path.name:
                found.add(path.name)
    return found


def erase(desk: Desk) -> Any:
    return desk.ask("POST", f"/api/customers/{CONTACT}/erase")


def docs(desk: Desk, after: int = 0) -> dict[str, dict[str, Any]]:
    return {doc["id"]: doc for doc in desk.ask("GET", "/api/docs", params={"after": after}).json()["docs"]}


def test_nothing_of_a_customer_is_left_in_any_file_and_the_log_is_sound(known: Shop, lead: Desk) -> None:
    assert traces(known.data_dir) != set()
    before = known.store.state()
    told = erase(lead).json()
    assert (told["jobs"], told["texts"], told["photos"], told["done"]) == ([JOB], 2, 1, True)
    assert traces(known.data_dir) == set()
    assert all_blobs(known.store) == []
    assert known.store.record("job", JOB) is not None
    assert known.store.state() != before  # the event that says so
    known.check_log()


def test_every_station_is_told_what_was_erased(known: Shop, lead: Desk, desk: Desk) -> None:
    at = desk.ask("GET", "/api/docs").json()["rev"]
    erase(lead)
    told = {id_: doc for id_, doc in docs(desk, at).items() if doc["kind"] != "station"}
    assert {CARD, CONTACT, name_of(PHOTO)} <= set(told) and len(told) == 5
    assert {doc["body"] for doc in told.values()} == {None}
    _, lines = desk.pull()
    assert json.loads(lines[-1][2])["kind"] == "data.erased"
    assert NAME.encode() not in lines[-1][2]


def test_only_a_lead_may_and_only_once_every_job_is_over(story: Story, known: Shop, desk: Desk, lead: Desk) -> None:
    problem_of(erase(desk), "not-allowed")
    problem_of(desk.ask("GET", f"/api/customers/{CONTACT}"), "not-allowed")
    problem_of(desk.ask("GET", f"/api/customers/{CONTACT}/export"), "not-allowed")
    story.book(code("J", 7), code("D", 8), "B" * 26)
    told = problem_of(erase(lead), "customer-job-open")
    assert told["jobs"] == [code("J", 7)]
    assert traces(known.data_dir) != set()
    problem_of(lead.ask("POST", f"/api/customers/{'z' * 20}/erase"), "not-found")


def test_what_comes_late_about_it_is_refused(known: Shop, lead: Desk, desk: Desk, story: Story, writer: Writer) -> None:
    erase(lead)
    writer.write("note.added", JOB, {"note": NOTE + " again"})
    late = writer.texts[-1]
    problem_of(desk.ask("PUT", f"/api/docs/{late.id}", json={"kind": "text", "body": late._asdict()}), "doc-erased")
    body = {"photo": name_of(picture(1)), "use": "other", "bytes": 10, "width": 64, "height": 48}
    writer.write("photo.taken", JOB, body)
    assert desk.push(writer, len(writer.lines) - 1).status_code == 200
    problem_of(desk.ask("PUT", f"/api/blobs/{name_of(picture(1))}", content=picture(1)), "photo-erased")
    problem_of(desk.ask("PUT", f"/api/blobs/{name_of(PHOTO)}", content=PHOTO), "photo-erased")
    assert traces(known.data_dir) == set()
    known.check_log()


def test_what_another_customer_needs_stays(known: Shop, lead: Desk, desk: Desk, story: Story) -> None:
    """The device was sold on: its card is named by a job of somebody else."""
    other = "c" * 20
    put(desk, other, "contact", {"name": "Pat Example"})
    body = {
        "device": code("D", 9), "card": CARD, "contact": other, "model": "Quillet 5", "complaint": "Cracked",
        "lock": "unlocked", "consents": [], "promised_at_ms": NOW_MS, "ticket": "C" * 26,
    }  # fmt: skip
    story.say("job.booked", body, code("J", 8))
    erase(lead)
    held = docs(desk)
    assert held[CARD]["body"]["imei"] == IMEI and held[other]["body"] == {"name": "Pat Example"}
    assert held[CONTACT]["body"] is None
    assert traces(known.data_dir, NAME, PHONE, NOTE) == set()
    assert "Cracked" in [doc["body"]["text"] for doc in held.values() if doc["kind"] == "text" and doc["body"]]


@pytest.mark.parametrize("is_over", [True, False], ids=["put away", "open"])
@pytest.mark.parametrize(
    ("card", "is_named"),
    [
        ({"name": f"  {NAME.lower()}"}, True),
        ({"name": "I. Marrow", "phone": "(00) 555/01-99"}, True),
        ({"name": "Ilse Marrow", "phone": "00 555 0198"}, False),
        ({"name": "Pat Example"}, False),
    ],
)
def test_jobs_of_another_card_of_perhaps_the_same_person_are_named(
    story: Story, known: Shop, lead: Desk, desk: Desk, card: dict[str, str], *, is_named: bool, is_over: bool
) -> None:
    job, device = code("J", 7), code("D", 8)
    other = "c" * 20
    put(desk, other, "contact", card)
    body = {
        "device": device, "card": "h" * 20, "contact": other, "model": "Quillet 5", "complaint": "Cracked",
        "lock": "unlocked", "consents": [], "promised_at_ms": NOW_MS, "ticket": "C" * 26,
    }  # fmt: skip
    story.say("job.booked", body, job)
    if is_over:
        story.hand_over(job, device)
        assert put_away(known.store, LATER_MS) == 2
    held = lead.ask("GET", f"/api/customers/{CONTACT}").json()
    assert held["jobs"] == [JOB]
    assert held["others"] == ([job] if is_named else [])


def test_erasing_is_tried_again_while_somebody_reads(known: Shop, lead: Desk) -> None:
    reader = sqlite3.connect(known.data_dir / DATABASE, isolation_level=None)
    reader.execute("BEGIN")
    reader.execute("SELECT count(*) FROM event").fetchone()
    assert erase(lead).json()["done"] is False
    assert f"{DATABASE}-wal" in traces(known.data_dir)
    assert finish_erasing(known.store) is False
    reader.close()
    assert finish_erasing(known.store) is True
    assert traces(known.data_dir) == set()
    assert due_photos(known.store) is None


def test_files_that_a_crash_left_go_at_the_next_start(known: Shop, lead: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def crash(_store: Store) -> bool:
        raise RuntimeError("the power failed")

    monkeypatch.setattr("traymark.personal.erase.finish_erasing", crash)
    assert erase(lead).status_code == 500
    monkeypatch.undo()
    assert traces(known.data_dir) != set()
    assert finish_erasing(known.store) is True
    assert traces(known.data_dir) == set()
    known.check_log()


def test_an_older_backup_is_erased_again(known: Shop, lead: Desk, tmp_path: Path) -> None:
    make_backup(known.store, tmp_path / "a.backup", NOW_MS)
    erase(lead)
    known.store.close()
    restore(tmp_path / "a.backup", known.data_dir, NOW_MS, replace=True)
    assert traces(known.data_dir) == set()
    again = Store(known.data_dir / DATABASE, sole_writer=False)
    assert verify(again) == []
    again.close()


def test_everything_is_handed_out_in_a_file_that_a_person_can_read(known: Shop, lead: Desk) -> None:
    held = lead.ask("GET", f"/api/customers/{CONTACT}").json()
    assert held == {"jobs": [JOB], "open": [], "others": [], "texts": 2, "photos": 1, "backups_until_ms": None}
    answer = lead.ask("GET", f"/api/customers/{CONTACT}/export")
    assert answer.headers["content-type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        assert archive.testzip() is None
        names = set(archive.namelist())
        page = archive.read("index.html").decode()
        entries = archive.read(f"entries/{JOB}.txt").decode()
        assert archive.read(f"photos/{name_of(PHOTO)}.jpg") == PHOTO
        assert archive.read(f"records/{JOB}.pdf").startswith(b"%PDF")
        cards = json.loads(archive.read("cards.json"))
    assert NAME in page and PHONE in page and IMEI in page
    assert NOTE in entries and "Dark display" in entries
    assert {"name": NAME, "phone": PHONE} in cards
    assert {f"records/{JOB}.pdf", "index.html"} <= names


def test_what_people_wrote_is_no_markup_in_that_file(known: Shop, lead: Desk, desk: Desk) -> None:
    put(desk, CONTACT, "contact", {"name": "<script>alert(1)</script>"})
    answer = lead.ask("GET", f"/api/customers/{CONTACT}/export")
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        page = archive.read("index.html").decode()
    assert "<script>" not in page and "&lt;script&gt;" in page


def test_the_server_erases_by_itself_what_is_older_than_the_shop_wants(known: Shop) -> None:
    put_away(known.store, LATER_MS)
    gone_ms = LATER_MS + 6 * MONTH_MS + 1
    assert retain(known.store, gone_ms) == 0  # no setting: kept for ever
    put_doc(known.store, "shop", "settings", {"shop_name": "Bench", "erase_after_months": 6})
    assert retain(known.store, LATER_MS + 6 * MONTH_MS) == 0
    assert traces(known.data_dir) != set()
    assert retain(known.store, gone_ms) == 1
    assert traces(known.data_dir) == set()
    assert retain(known.store, gone_ms) == 0
    assert known.store.record("job", JOB) is not None
    known.check_log()


def test_a_customer_with_a_younger_job_keeps_the_cards(known: Shop, story: Story) -> None:
    put_away(known.store, LATER_MS)
    put_doc(known.store, "shop", "settings", {"shop_name": "Bench", "erase_after_months": 1})
    story.book(code("J", 7), DEVICE, "B" * 26)
    assert retain(known.store, LATER_MS + 2 * MONTH_MS) == 1
    contact = get_doc(known.store, CONTACT)
    assert contact is not None and contact.body is not None
    assert traces(known.data_dir, NOTE) == set()


def test_what_nothing_names_is_dropped_after_a_while(known: Shop, desk: Desk) -> None:
    orphan = picture(90)
    assert desk.ask("PUT", f"/api/blobs/{name_of(orphan)}", content=orphan).status_code == 200
    put(desk, "d" * 20, "contact", {"name": "Nobody booked this"})
    assert collect(known.store, NOW_MS + KEPT_MS) == 0
    put(desk, "e" * 20, "contact", {"name": "Came after that look"})
    assert collect(known.store, NOW_MS + 2 * KEPT_MS - 1) == 1
    assert get_doc(known.store, "d" * 20) is not None
    assert collect(known.store, NOW_MS + 2 * KEPT_MS) == 1
    assert get_doc(known.store, "d" * 20) is None
    assert get_doc(known.store, "e" * 20) is not None
    assert all_blobs(known.store) == [name_of(PHOTO)]
    assert traces(known.data_dir, "Nobody booked this") == {name_of(PHOTO)}  # which the job names
    known.check_log()


def test_a_lead_station_has_erased_again_what_a_restored_server_does_not_know_was_erased(
    known: Shop, lead: Desk, desk: Desk
) -> None:
    """The disk is gone, and with it the list of what was erased: as on a server that never heard of it."""
    belongings = {CONTACT: "contact", CARD: "device", name_of(PHOTO): "photo"}
    belongings |= {id_: doc["kind"] for id_, doc in docs(desk).items() if doc["kind"] == "text"}
    told = {"ids": list(belongings.items())}
    problem_of(desk.ask("POST", "/api/erased", json=told), "not-allowed")
    assert traces(known.data_dir) != set()
    assert lead.ask("POST", "/api/erased", json=told).json() == {"erased": 5}
    assert traces(known.data_dir) == set()
    assert all_blobs(known.store) == []
    _, lines = desk.pull()
    assert json.loads(lines[-1][2])["kind"] == "data.erased"
    at = known.store.position()
    assert lead.ask("POST", "/api/erased", json=told).status_code == 200
    assert known.store.position() == at
    known.check_log()


@pytest.mark.parametrize("one", [["short", "contact"], ["c" * 20, "settings"], ["c" * 20], ["f" * 63, "photo"], 7])
def test_nothing_else_can_be_erased_that_way(known: Shop, lead: Desk, one: Any) -> None:
    assert lead.ask("POST", "/api/erased", json={"ids": [one]}).status_code in (400, 422)
    assert traces(known.data_dir) != set()
