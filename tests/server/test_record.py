"""The repair record on paper: one page that the customer may read, and everything for the shop."""

import json
from hashlib import sha256
from io import BytesIO
from typing import Any

import httpx
import pytest
from PIL import Image
from pypdf import PdfReader

from tests.server.conftest import NOW_MS, Desk, Shop, problem_of
from tests.server.shop_events import AT_MS, Writer, code, job_events
from tests.vectors.vector_files import Vector, vectors
from traymark.docs.keep import put_doc
from traymark.docs.shop import shared_procedures
from traymark.rules.locked import barred_points
from traymark.rules.outcome import DONE
from traymark.tables import blank_records, table
from traymark.views.record import customer_sheet
from traymark.views.record_sheet import Known
from traymark.views.record_words import told_words

JOB, PART, CORE = code("J", "7K2", 1), code("P", "7K2", 1), code("C", "7K2", 1)
WET, BOARD = code("J", "7K2", 2), code("J", "7K2", 3)
REFUSED_PART = code("P", "7K2", 9)
ADDRESS = f"/api/jobs/{JOB}/record.pdf"

# Each is said once in the log, and only the shop's form may repeat it.
SHOPS = (
    "Nervous customer", "Slipped under the mat", "Wembra", "Try 1", "It was dew", "Refused display", "Wrist strap",
    "Every entry", "For the shop only", f"{PART[:5]} {PART[5:]}", f"{CORE[:5]} {CORE[5:]}", "Cable torn",
)  # fmt: skip


def photo_bytes(colour: tuple[int, int, int]) -> bytes:
    out = BytesIO()
    Image.new("RGB", (1600, 1200), colour).save(out, "JPEG")
    return out.getvalue()


RED, WHITE = photo_bytes((200, 30, 40)), photo_bytes((250, 250, 250))


@pytest.fixture
def desk(shop: Shop, desk: Desk, writer: Writer) -> Desk:
    """A repaired job and a wet one, with their photos, and the shop's settings."""
    settings = {
        "shop_name": "Lantern Lane Repairs", "phone": "555-0100", "mail": "", "time_zone": "Etc/UTC",
        "warranty_days": 90, "customer_page": "off",
    }  # fmt: skip
    put_doc(shop.store, "shop", "settings", settings)
    put_doc(
        shop.store,
        "staff:W001",
        "staff",
        {"name": "Wembra", "role": "bench", "badge_salt": "0" * 32, "badge_hash": "0" * 64},
    )
    procedure = next(body for body in shared_procedures() if body["id"] == "quillet5-display")
    groups = [procedure["fasteners"][0] | {"id": "screw_a", "name": "Screws, short"}, *procedure["fasteners"][1:]]
    renamed = json.loads(json.dumps(procedure).replace('"group": "latch"', '"group": "screw_a"'))
    put_doc(
        shop.store, "procedure:quillet5-display.1", "procedure", renamed | {"title": "New display", "fasteners": groups}
    )
    told = job_events(1)
    booked = next(i for i, (kind, _, _) in enumerate(told) if kind == "liquid.inspected")
    told[booked:booked] = [
        ("note.added", JOB, {"note": "Nervous customer"}),
        ("test.read", JOB, {"stage": "intake", "point": "headset", "result": "cannot", "why": "No socket"}),
        ("test.read", JOB, {"stage": "intake", "point": "touch", "result": "fail"}),
        ("strap.checked", None, {"item": "wrist_strap", "ohms": 1_200_000, "limit_ohms": 35_000_000}),
        ("step.done", JOB, {"step": "power"}),
        ("fastener.lost", JOB, {"group": "screw_a", "count": 1, "what": "lost", "why": "Slipped under the mat",
                                "replaced": 1, "replaced_by": "a new one"}),
        ("part.received", None, {"part": REFUSED_PART, "name": "Refused display", "part_kind": "display",
                                 "supplier": "north", "lot": "L0", "shipping_caution": "none"}),
        ("part.assigned", JOB, {"part": REFUSED_PART}),
        ("part.judged", None, {"part": REFUSED_PART, "verdict": "doa", "why": "Dark"}),
    ]  # fmt: skip
    end = next(i for i, (kind, _, _) in enumerate(told) if kind == "job.handed_over")
    told[end:end] = [
        ("test.read", JOB, {"stage": "final", "point": "charging", "result": "fail"}),
        ("part.judged", None, {"part": PART, "verdict": "good", "why": "Looked at again"}),
        ("step.undone", JOB, {"step": "power", "why": "Cable torn"}),
    ]
    for kind, job, body in told:
        writer.write(kind, job, body)
    for job in (WET, BOARD):
        _, _, body = job_events(2 if job == WET else 3)[0]
        writer.write("job.booked", job, {**body, "complaint": "Έπεσε στο νερό"})
    name, other = sha256(RED).hexdigest(), sha256(WHITE).hexdigest()
    for sha, use in ((name, "liquid"), (other, "leftover"), ("0" * 64, "mark")):
        writer.write("photo.taken", WET, {"photo": sha, "use": use, "bytes": 1, "width": 1600, "height": 1200})
    drawn = {"photo": name, "mark": "m1", "shape": "circle", "x_pm": 500, "y_pm": 500, "r_pm": 200, "note": "Deposit"}
    writer.write("photo.marked", WET, drawn)
    writer.write(
        "liquid.inspected", WET, {"indicator": "red", "signs": ["rust"], "photos": [name], "note": "It was dew"}
    )
    desk.put_texts(writer)
    assert desk.push(writer).status_code == 200
    for data in (RED, WHITE):
        desk.ask("PUT", f"/api/blobs/{sha256(data).hexdigest()}", content=data)
    return desk


def read(answer: httpx.Response) -> tuple[str, PdfReader]:
    """The text of a PDF with single spaces, and the PDF."""
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["cache-control"] == "no-store"
    pdf = PdfReader(BytesIO(answer.content))
    return " ".join(" ".join(page.extract_text() for page in pdf.pages).split()), pdf


def test_customer_reads_what_was_done_and_for_how_long_it_is_warranted(desk: Desk) -> None:
    text, _ = read(desk.ask("GET", ADDRESS))
    for words in (
        "Lantern Lane Repairs", "555-0100", "Repair record: Quillet 5", "New display", "Display, lot L17",
        f"{JOB[:5]} {JOB[5:]}", "“The display stays dark after a fall, sound still works”", "90 days from hand-over",
        "beside your rights by law", "Repaired",
        "Crack, front", "No sign of liquid", "Screws, short lost, 1 replaced by a new one",
        "Failed when it came in, works now.", "No socket", "Do not rely on it to keep water out", "Page 1 of 1",
    ):  # fmt: skip
        assert words in text, words


def test_customer_form_is_one_a4_page(desk: Desk) -> None:
    for job in (JOB, WET):
        _, pdf = read(desk.ask("GET", f"/api/jobs/{job}/record.pdf"))
        assert len(pdf.pages) == 1
        box = pdf.pages[0].mediabox
        # ISO 216: A4 is 210 mm x 297 mm.
        assert (round(float(box.width) / 72 * 25.4), round(float(box.height) / 72 * 25.4)) == (210, 297)


@pytest.mark.parametrize("words", SHOPS)
def test_what_concerns_the_shop_is_in_the_shops_form_alone(desk: Desk, words: str) -> None:
    texts = {
        form: " ".join(
            read(desk.ask("GET", f"/api/jobs/{job}/record.pdf", params={"form": form}))[0] for job in (JOB, WET)
        )
        for form in ("customer", "shop")
    }
    assert words not in texts["customer"]
    assert words in texts["shop"]


def test_customer_is_not_told_how_the_bench_looks_for_a_fault(desk: Desk) -> None:
    """A point that no longer works is shown as such, without the bench's next steps."""
    text, _ = read(desk.ask("GET", ADDRESS))
    assert "Worked when it came in, fails now." in text
    assert "Does not work Charging" in text
    for verdict in table("attribution")["verdicts"].values():
        for sentence in verdict["say"].split(". ")[1:]:
            assert sentence.rstrip(".") not in text


def test_customer_is_told_of_liquid_and_sees_it(desk: Desk) -> None:
    text, pdf = read(desk.ask("GET", f"/api/jobs/{WET}/record.pdf"))
    assert table("stages")["stop_reasons"]["liquid"]["customer"] in text
    for words in ("Not repaired", "Signs of liquid: indicator red, rust", "save your data first", "1: Deposit"):
        assert words in text, words
    assert "Warranty" not in text
    # A photo of liquid is here; one of a mark is on its way and is named; that of the empty tray is the shop's own.
    assert len(pdf.pages[0].images) == 1
    assert "Not on the server yet" in text
    picture = pdf.pages[0].images[0].image
    assert picture is not None and max(picture.size) <= 1000
    _, shop_form = read(desk.ask("GET", f"/api/jobs/{WET}/record.pdf", params={"form": "shop"}))
    assert sum(len(page.images) for page in shop_form.pages) == 2


def test_letters_are_inside_the_file_and_other_scripts_are_read(desk: Desk) -> None:
    text, pdf = read(desk.ask("GET", f"/api/jobs/{WET}/record.pdf"))
    assert "Έπεσε στο νερό" in text
    fonts = [font.get_object() for font in pdf.pages[0]["/Resources"]["/Font"].values()]  # type: ignore[index]
    names = " ".join(str(font["/BaseFont"]) for font in fonts)
    assert "Atkinson" in names and "Noto" in names
    for font in fonts:
        descriptor = font["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
        assert "/FontFile2" in descriptor


def test_shop_form_has_every_entry_with_who_and_when(desk: Desk, shop: Shop) -> None:
    text, _ = read(desk.ask("GET", ADDRESS, params={"form": "shop"}))
    for words in (
        "Booked in: Quillet 5",
        "Note: Nervous customer",
        "Handed over",
        "1.2 M ohm, below the limit of 35 M ohm",
    ):
        assert words in text, words
    assert text.count("Wembra") > 50


def test_job_that_was_never_booked_has_no_record(desk: Desk) -> None:
    problem_of(desk.ask("GET", f"/api/jobs/{code('J', '7K2', 77)}/record.pdf"), "not-found")
    problem_of(desk.ask("GET", "/api/jobs/..%2f..%2fx/record.pdf"), "not-found")


def test_record_is_only_for_stations(shop: Shop, desk: Desk) -> None:
    problem_of(shop.client.get(ADDRESS), "station-unknown")


def test_each_verdict_of_the_bench_has_its_words_for_the_customer() -> None:
    bench = set(table("attribution")["verdicts"])
    assert bench | {"open_worked", "open_failed"} == set(table("record")["verdicts"])


def test_printed_time_is_the_shops(desk: Desk) -> None:
    text, _ = read(desk.ask("GET", ADDRESS))
    assert NOW_MS == 1_800_000_000_000
    assert "Printed 15 January 2027, 08:00" in text


def test_job_under_way_is_not_told_as_ended(desk: Desk, writer: Writer) -> None:
    before = len(writer.lines)
    writer.write("job.started", BOARD, {"procedure": "quillet5-display", "revision": 1})
    assert desk.push(writer, before + 1).status_code == 200
    text, _ = read(desk.ask("GET", f"/api/jobs/{BOARD}/record.pdf"))
    assert "Not finished yet" in text
    assert "Not repaired" not in text and "Warranty" not in text


def test_static_checks_are_those_that_counted_at_the_work(desk: Desk, writer: Writer) -> None:
    """Not the one measured since; the limit itself fails; a mat that nobody measured is named plainly."""
    before, day_ms = len(writer.lines), 86_400_000
    writer.write("strap.checked", None, {"item": "wrist_strap", "ohms": 777, "limit_ohms": 35_000_000}, AT_MS + day_ms)
    for days, ohms in ((2, 35_000_000), (3, 888)):
        at_ms = AT_MS + days * day_ms
        writer.write("strap.checked", None, {"item": "wrist_strap", "ohms": ohms, "limit_ohms": 35_000_000}, at_ms)
        writer.write("mat.checked", None, {"ohms": 9_999, "limit_ohms": 1_000_000_000}, at_ms)
        if days == 2:
            writer.write("step.done", JOB, {"step": "power"}, at_ms)
    assert desk.push(writer, before + 1).status_code == 200
    text, _ = read(desk.ask("GET", ADDRESS, params={"form": "shop"}))
    part = text[text.index("Static checks") : text.index("Every entry")]
    assert "1.2 M ohm, below the limit of 35 M ohm. Measured 18 November 2026" in part
    assert "35 M ohm, not below the limit of 35 M ohm. Measured 20 November 2026" in part
    assert "No check counted for the work of 18 November 2026" in part
    assert f"Bench mat, station {writer.station}" in part
    assert "9.999 k ohm, below the limit of 1 G ohm, under the advised least. Measured 20 November" in part
    assert "0.777 k ohm" not in part and "0.888 k ohm" not in part
    customer, _ = read(desk.ask("GET", ADDRESS))
    assert "Static" not in customer and "ohm" not in customer


def test_device_opened_again_shows_its_last_test_and_names_the_earlier_one(desk: Desk, writer: Writer) -> None:
    before = len(writer.lines)
    for point, result in (("touch", "fail"), ("wifi", "pass"), ("sim", "cannot")):
        why = {"because": "no_sim"} if result == "cannot" else {}
        writer.write("test.read", BOARD, {"stage": "final", "point": point, "result": result, **why})
    writer.write("final.begun", BOARD, {"round": 2, "why": "Opened again on the bench"})
    writer.write("final.read", BOARD, {"round": 2, "point": "touch", "result": "pass"})
    assert desk.push(writer, before + 1).status_code == 200
    text, _ = read(desk.ask("GET", f"/api/jobs/{BOARD}/record.pdf"))
    assert "Earlier tests at the end" in text and "What stands at the end is test 2." in text
    assert "Test 1: 1 worked; did not work: Touch; no test: SIM tray." in text
    assert "Does not work" not in text
    shop_form, _ = read(desk.ask("GET", f"/api/jobs/{BOARD}/record.pdf", params={"form": "shop"}))
    assert "Final test begun anew, round 2 “Opened again on the bench”" in shop_form
    assert "Test Touch at the final test, round 2: works" in shop_form


def test_job_tested_once_says_nothing_of_rounds(desk: Desk) -> None:
    text, _ = read(desk.ask("GET", ADDRESS))
    assert "Earlier tests at the end" not in text


def test_device_that_stayed_locked_says_so_and_what_could_not_be_shown(desk: Desk, writer: Writer) -> None:
    before, kept = len(writer.lines), code("J", "7K2", 4)
    _, _, body = job_events(4)[0]
    writer.write("job.booked", kept, {**body, "lock": "locked"})
    barred = barred_points()
    for stage in ("intake", "final"):
        for point in barred:
            writer.write("test.read", kept, {"stage": stage, "point": point, "result": "cannot", "because": "locked"})
        writer.write("test.read", kept, {"stage": stage, "point": "touch", "result": "pass"})
    assert desk.push(writer, before + 1).status_code == 200
    names = [table("test_points")["points"][point]["name"] for point in barred]
    text, pdf = read(desk.ask("GET", f"/api/jobs/{kept}/record.pdf"))
    assert len(pdf.pages) == 1
    for words in ("Tested locked", table("record")["locked"]["kept"], f"Could not be shown: {', '.join(names)}."):
        assert words in text, words
    assert barred["wifi"] not in text  # said once for all, not in a line each
    shop_form, _ = read(desk.ask("GET", f"/api/jobs/{kept}/record.pdf", params={"form": "shop"}))
    assert "Tested locked" in shop_form
    assert barred["wifi"] in shop_form
    assert "Tested locked" not in read(desk.ask("GET", ADDRESS))[0]


@pytest.mark.parametrize("vector", vectors("outcome"), ids=lambda vector: vector["name"])
def test_each_outcome_is_said_as_it_is(vector: Vector) -> None:
    outcome, words = vector["expect"], table("record")["outcomes"][vector["expect"]]
    sheet = customer_sheet(known(vector["job"]))
    assert sheet.outcome == words["name"]
    assert words.get("says_more", False) == (words["say"] in sheet.reason)
    reasons = table("record")["reasons"] | {k: row["customer"] for k, row in table("stages")["stop_reasons"].items()}
    told = [reason for reason, said in reasons.items() if said in sheet.reason]
    assert told == ([] if vector["reason"] is None else [vector["reason"]])
    facts = dict(sheet.facts)
    assert ("Warranty" in facts) == ("Work" in facts) == (outcome in DONE)
    if outcome in DONE:
        assert "beside your rights by law" in facts["Warranty"]
    # Whoever reads the one word "repaired" can rely on it.
    assert (sheet.outcome == "Repaired") == (outcome == "repaired") == (sheet.sign == "done")
    ours = [part for part in sheet.parts if part.title == table("record")["incidents"]["title"]]
    assert len(ours) == bool(vector["job"].get("incidents"))


def test_incident_is_told_with_what_is_owed_and_the_shop_reads_who_looked(desk: Desk, writer: Writer) -> None:
    before = len(writer.lines)
    incident = {"incident": "i-1", "what": "torn_cable", "where": "cable of the button", "looked": "yes",
                "points": ["touch"], "note": "Pulled while cold", "photos": []}  # fmt: skip
    writer.write("incident.noted", BOARD, incident)
    desk.put_texts(writer)
    assert desk.push(writer, before + 1).status_code == 200
    address = f"/api/jobs/{BOARD}/record.pdf"
    assert "What we owe you for it is not decided yet." in read(desk.ask("GET", address))[0]
    settled = {"incident": "i-1", "owed": "replace", "say": "A new button, free of charge"}
    writer.write("incident.settled", BOARD, settled)
    desk.put_texts(writer)
    assert desk.push(writer, before + 2).status_code == 200
    text, _ = read(desk.ask("GET", address))
    assert "A cable was torn: cable of the button. It concerns: Touch." in text
    assert "What we owe you: we replace what was damaged. “A new button, free of charge”" in text
    assert "Pulled while cold" not in text
    shop_form, _ = read(desk.ask("GET", address, params={"form": "shop"}))
    for words in ("hole and board looked at", "Pulled while cold", "Owed: replace what was damaged.",
                  "Our own incident: torn cable, cable of the button"):  # fmt: skip
        assert words in shop_form, words


def test_cautions_follow_the_battery_and_the_liquid() -> None:
    texts = table("record")["cautions"]
    stamp = {"event": "7K2.1", "staff": "W001", "at_ms": 1}
    battery, liquid = ({"reason": reason, **stamp} for reason in ("battery", "liquid"))
    wet = [{**stamp, "at": "counter", "wet": "yes", "bulging": "no", "hot": "no", "photos": [], "note": None}]
    plugged_in = {"battery": {"out": 1, "back": 1}}
    cases: list[tuple[dict[str, Any], list[str]]] = [
        ({"stage": "stopped", "stop": battery, "cell": "swollen"}, ["battery"]),
        ({"stage": "stopped", "stop": battery}, ["battery"]),
        ({"stage": "handed_over", "stop": battery, "cell": "swollen", "owner_told": "No charging"}, ["battery"]),
        ({"stage": "ready", "stop": battery, "cell": "out", "leftover": [{}]}, ["battery_out"]),
        ({"stage": "ready", "cell": "out", "leftover": [{}], "connectors": plugged_in}, ["opened"]),
        ({"stage": "stopped", "stop": liquid, "safety": wet}, ["liquid"]),
        ({"stage": "ready", "safety": wet, "wet_lifted": True, "leftover": [{}]}, ["liquid_lifted"]),
    ]  # fmt: skip
    for changed, expected in cases:
        assert list(customer_sheet(known(changed)).cautions) == [texts[id_] for id_ in expected], changed


def test_what_was_agreed_stands_on_the_record_with_the_terms_that_were_shown() -> None:
    titles = {slug: row["title"] for slug, row in table("agreement")["consents"].items()}
    agreed = dict(customer_sheet(known({"consents": list(titles), "terms": 4})).facts)["Agreed"]
    assert all(title in agreed for title in titles.values())
    assert "revision 4" in agreed
    assert "Agreed" not in dict(customer_sheet(known({"consents": []})).facts)


def known(job: dict[str, Any]) -> Known:
    """A job with some of its record filled, in a shop that gives 90 days and holds nothing else."""
    filled: Any = blank_records()["job"] | {"booked": True, "model": "Quillet 5"} | job
    docs: dict[str, dict[str, Any]] = {"shop": {"warranty_days": 90, "time_zone": "Etc/UTC"}}

    def none(_: str) -> None:
        return None

    return Known(code=JOB, job=filled, doc=docs.get, job_of=none, thing=none)


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("ready", "ready to be picked up"), ("promise-2", "the new time"),
        ("stop-liquid", "stopped, liquid inside"), ("something_else", "something else"),
    ],
)  # fmt: skip
def test_what_a_customer_was_told_is_said_in_words(what: str, said: str) -> None:
    assert told_words(what) == said


def test_a_lock_that_changed_and_what_a_model_has_none_of_are_told_as_they_are(desk: Desk, writer: Writer) -> None:
    before, changed = len(writer.lines), code("J", "7K2", 5)
    _, _, body = job_events(5)[0]
    writer.write("job.booked", changed, {**body, "lock": "unlocked"})
    for stage in ("intake", "final"):
        writer.write("test.read", changed, {"stage": stage, "point": "touch", "result": "pass"})
        writer.write("test.read", changed, {"stage": stage, "point": "pen", "result": "cannot", "because": "lacking"})
    writer.write("lock.changed", changed, {"lock": "locked", "why": "It was restarted and asks for the code"})
    desk.put_texts(writer)
    assert desk.push(writer, before + 1).status_code == 200
    text, _ = read(desk.ask("GET", f"/api/jobs/{changed}/record.pdf"))
    assert table("record")["locked"]["changed"] in text
    assert table("record")["locked"]["kept"] not in text
    lacking = table("words")["values"]["because"]["lacking"]
    assert lacking not in text
    shop_form, _ = read(desk.ask("GET", f"/api/jobs/{changed}/record.pdf", params={"form": "shop"}))
    assert "Lock locked: It was restarted and asks for the code" in shop_form
    assert "The device is now locked “It was restarted and asks for the code”" in shop_form
    assert lacking in shop_form


def test_a_doubtful_unit_is_no_new_part_and_tries_crosswise_have_their_words(desk: Desk, writer: Writer) -> None:
    before, unit = len(writer.lines), code("P", "7K2", 11)
    writer.write("part.received", None, {"part": unit, "name": "Doubted display", "part_kind": "display",
                                         "supplier": "north", "lot": "L9", "shipping_caution": "none"})  # fmt: skip
    writer.write("part.assigned", JOB, {"part": unit})
    writer.write("part.judged", None, {"part": unit, "verdict": "doubtful"})
    tried = {"try": 8, "action": "known_good", "outcome": "pass", "failed": []}
    writer.write("prefit.tried", JOB, tried)
    writer.write("final.rechecked", JOB, {"round": 1, "points": ["touch"]})
    assert desk.push(writer, before + 1).status_code == 200
    assert "Doubted display" not in read(desk.ask("GET", ADDRESS))[0]
    shop_form, _ = read(desk.ask("GET", ADDRESS, params={"form": "shop"}))
    assert "Doubted display, lot L9, north, doubtful" in shop_form
    assert "Try 8, a unit known to be good: passed (" in shop_form
    assert "Works still: Touch" in shop_form
