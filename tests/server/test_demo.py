"""The invented shop: written as a real one, sound, without broken rules, and with something at every stage."""

import io
import json
import re
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import zxingcpp
from PIL import Image

from traymark.app import DATABASE
from traymark.demo.label_sheet import write_label_sheet
from traymark.demo.seed import Seeded, seed
from traymark.docs.keep import docs_after
from traymark.docs.shop import shared_procedures
from traymark.events.envelope import Event, parse
from traymark.log.store import Store
from traymark.log.verify import verify
from traymark.rules.complaint import complaint_cured
from traymark.rules.outcome import outcome
from traymark.rules.procedure import derive
from traymark.tables import enums, kinds, stages
from traymark_labels import Rejected, Ticket, parse_imei, parse_payload

NOW_MS = 1_800_000_000_000
HOUR_MS = 3_600_000
URL = "http://localhost:8137"

Records = dict[str, dict[str, dict[str, Any]]]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demo")


@pytest.fixture(scope="module")
def store(folder: Path) -> Iterator[Store]:
    opened = Store(folder / DATABASE)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def seeded(store: Store) -> Seeded:
    return seed(store, NOW_MS, URL)


@pytest.fixture(scope="module")
def records(folder: Path, seeded: Seeded) -> Records:
    found: Records = {}
    with closing(sqlite3.connect(folder / DATABASE)) as database:
        for collection, key, text in database.execute("SELECT collection, key, json_text FROM record"):
            found.setdefault(collection, {})[key] = json.loads(text)
    assert seeded.events > 1000
    return found


@pytest.fixture(scope="module")
def events(folder: Path, seeded: Seeded) -> list[Event]:
    with closing(sqlite3.connect(folder / DATABASE)) as database:
        rows = [row[0] for row in database.execute("SELECT raw FROM event ORDER BY position")]
    assert len(rows) == seeded.events
    parsed = [parse(raw) for raw in rows]
    assert all(isinstance(e, Event) and e.known for e in parsed)
    return [e for e in parsed if isinstance(e, Event)]


def test_everything_in_it_is_sound(store: Store, seeded: Seeded) -> None:
    assert seeded.events and verify(store) == []


def test_no_rule_is_broken_and_nothing_is_in_two_places(records: Records) -> None:
    for collection in ("job", "thing", "box"):
        for key, record in records[collection].items():
            assert record["findings"] == [], key
    assert all(len(thing["heads"]) <= 1 for thing in records["thing"].values())


def test_there_are_jobs_at_every_stage_and_more_than_a_dozen_open(records: Records) -> None:
    jobs = records["job"].values()
    assert set(Counter(job["stage"] for job in jobs)) == set(stages())
    assert all(job["booked"] for job in jobs)
    assert sum(job["stage"] != "handed_over" for job in jobs) >= 12
    stops = {job["stop"]["reason"] for job in jobs if job["stop"] is not None}
    assert {"liquid", "board", "battery", "customer"} <= stops


def test_a_bench_job_is_halfway_with_its_tray_bound_and_its_part_at_hand(records: Records) -> None:
    [(code, job)] = [(c, j) for c, j in records["job"].items() if j["stage"] == "bench" and j["parts"]]
    steps = [s["id"] for s in derive(next(p for p in shared_procedures() if p["id"] == job["procedure"]))]
    done = [s for s in steps if s in job["steps"]]
    assert done == steps[: len(done)] and 5 < len(done) < len(steps) - 5
    trays = [t for t, thing in records["thing"].items() if t[0] == "T" and _place(thing) == code]
    assert len(trays) == 1
    assert any(counts.get("out", 0) > counts.get("back", 0) for counts in job["ledger"].values())
    assert all(records["thing"][p]["verdict"] is None for p in job["parts"])


def test_the_liquid_stop_has_its_photo_on_the_server_and_says_that_it_is_a_drawing(
    store: Store, folder: Path, records: Records
) -> None:
    [job] = [j for j in records["job"].values() if j["stop"] and j["stop"]["reason"] == "liquid"]
    [finding] = job["liquid"]
    assert finding["indicator"] == "red" and finding["signs"]
    for photo in finding["photos"]:
        with Image.open(folder / "blobs" / photo[:2] / photo) as picture:
            assert picture.size == (job["photos"][photo]["width"], job["photos"][photo]["height"])
    assert all(p["note"] for p in job["photos"].values())


def test_units_of_two_lots_with_the_same_fault_precede_the_board_stop(records: Records) -> None:
    [job] = [j for j in records["job"].values() if j["stop"] and j["stop"]["reason"] == "board"]
    assert [t["outcome"] for t in job["tries"]] == ["fail"] * 3
    assert len({t["part"] for t in job["tries"]}) == 2 and len({tuple(t["failed"]) for t in job["tries"]}) == 1
    units = [records["thing"][t["part"]] for t in job["tries"]]
    assert len({unit["lot"] for unit in units}) == 2 and {unit["verdict"] for unit in units} == {"doubtful"}
    assert {_place(unit) for unit in units} == {"bench"}


def test_every_job_that_is_ready_says_that_its_complaint_is_cured_and_its_traces_are_off(records: Records) -> None:
    ready = [j for j in records["job"].values() if j["leftover"] and j["stop"] is None]
    assert ready
    assert {complaint_cured(job) for job in ready} == {"yes"}
    assert {check["traces"] for job in ready for check in job["leftover"]} == {"removed"}


def test_the_dead_unit_is_in_the_box_for_dead_units_and_another_one_was_fitted(records: Records) -> None:
    [(part, thing)] = [(p, t) for p, t in records["thing"].items() if t["verdict"] == "doa" and t["name"] != "Battery"]
    box = records["box"][_place(thing)]
    assert (box["purpose"], box["supplier"]) == ("doa", thing["supplier"])
    job = records["job"][thing["job"]]
    assert job["tries"][-1]["outcome"] == "pass" and job["tries"][-1]["part"] != part


def test_there_is_an_open_box_for_every_purpose_with_something_in_it_and_a_sealed_one(records: Records) -> None:
    inside = Counter(_place(thing) for thing in records["thing"].values())
    is_open = {b["purpose"]: code for code, b in records["box"].items() if b["opened"] and not b["sealed"]}
    assert set(is_open) == set(enums()["purpose"])
    assert all(inside[code] >= 1 for code in is_open.values())
    [(code, sealed)] = [(c, b) for c, b in records["box"].items() if b["sealed"]]
    assert sealed["sealed"]["count"] == len(sealed["sealed"]["cores"]) == inside[code]


def test_one_device_is_back_within_the_warranty(records: Records) -> None:
    cards = Counter(job["card"] for job in records["job"].values())
    [card] = [c for c, count in cards.items() if count == 2]
    first, second = sorted((j for j in records["job"].values() if j["card"] == card), key=lambda j: j["booked_at_ms"])
    assert first["stage"] == "handed_over" and second["stage"] == "booked"
    assert second["booked_at_ms"] - first["handed_over"] < 90 * 24 * HOUR_MS
    assert first["device"] == second["device"], "its label is still on it"


def test_every_job_was_looked_at_before_any_test(records: Records) -> None:
    for job in records["job"].values():
        at_counter = [check for check in job["safety"] if check["at"] == "counter"]
        assert len(at_counter) == 1


def test_the_bulging_device_is_in_the_safe_place_untested(records: Records) -> None:
    [job] = [j for j in records["job"].values() if j["stop"] and j["stop"]["reason"] == "battery"]
    assert job["cell"] == "swollen" and job["safety"][0]["bulging"] == "yes"
    assert _place(records["thing"][job["device"]]) == "safe"
    assert job["tests"] == {} and job["lock"] is None and job["promised_at_ms"] is None


def test_one_past_job_was_scratched_by_the_shop_and_a_lead_settled_it(records: Records) -> None:
    [job] = [j for j in records["job"].values() if j["incidents"]]
    assert job["incidents"].keys() == job["settlements"].keys()
    assert outcome(job) == "repaired_but"


def test_one_promise_is_late_and_the_others_are_still_ahead(records: Records) -> None:
    waiting = [j for j in records["job"].values() if j["stage"] in ("booked", "bench")]
    late = [j for j in waiting if j["promised_at_ms"] < NOW_MS]
    assert len(late) == 1 and len(waiting) > 3


def test_everybody_measured_today_but_one(records: Records) -> None:
    people = records["staff"].values()
    assert sum(p["signed_on"] is not None and NOW_MS - p["signed_on"] < 8 * HOUR_MS for p in people) == 5
    assert [set(p["strap"]) for p in people if p["strap"]] == [{"wrist_strap"}]
    assert [len(s["mats"]) for s in records["station"].values()] == [1]


def test_the_clock_never_runs_ahead_and_each_chain_is_in_its_own_order(events: list[Event]) -> None:
    assert max(e.at_ms for e in events) <= NOW_MS
    for incarnation in {e.incarnation for e in events}:
        chain = [e for e in events if e.incarnation == incarnation]
        assert [e.seq for e in chain] == list(range(1, len(chain) + 1))
        assert chain[0].kind == "station.began"
        assert all(a.at_ms <= b.at_ms for a, b in pairwise(chain))


def test_it_shows_most_of_what_can_happen(events: list[Event]) -> None:
    left_out = {"fastener.lost", "step.undone", "job.taken_over", "job.promised", "stop.lifted", "box.shipped"}
    left_out |= {"final.rechecked"}  # no device of the story is glued
    left_out |= {"photo.marked", "photo.unmarked", "indicator.read", "final.begun", "final.read"}
    left_out |= {"lock.changed"}
    left_out |= {"cell.taken_out", "caution.set", "safe.collected"}
    left_out |= {
        "job.put_away",
        "box.put_away",
        "part.put_away",
        "late.seen",
        "findings.seen",
        "data.erased",
    }  # the story is of one day
    missing = set(kinds()) - {e.kind for e in events}
    assert missing <= left_out


def test_names_numbers_and_serials_are_in_cards_only_and_reserved_for_fiction(
    store: Store, events: list[Event]
) -> None:
    docs = docs_after(store, 0, 1000, 10_000_000).docs
    contacts = [json.loads(d.body or "{}") for d in docs if d.kind == "contact"]
    devices = [json.loads(d.body or "{}") for d in docs if d.kind == "device"]
    assert len(contacts) > 10 and len(devices) > 10
    assert all(re.fullmatch(r"555-01\d\d", c["phone"]) for c in contacts)
    assert all(c["mail"] == "" or c["mail"].endswith("@example.com") for c in contacts)
    assert all(d["imei"].startswith("00") and parse_imei(d["imei"]) == d["imei"] for d in devices)
    told = json.dumps([e.body for e in events])
    private = [c["name"] for c in contacts] + [c["phone"] for c in contacts] + [d["imei"] for d in devices]
    assert not [word for word in private if word in told]


def test_the_safe_place_holds_a_swollen_device_and_a_damaged_cell_and_one_was_collected(records: Records) -> None:
    at = {code: _place(t) for code, t in records["thing"].items()}
    kept = [code for code, place in at.items() if place == "safe"]
    assert sorted(code[0] for code in kept) == ["D", "P"]
    device, cell = (records["thing"][code] for code in sorted(kept))
    assert records["job"][device["job"]]["cell"] == "swollen"
    assert cell["shipping_caution"] == "battery_damaged"
    assert [code[0] for code, place in at.items() if place == "recycler" and code[0] == "P"] == ["P"]
    assert not [f for t in records["thing"].values() for f in t["findings"]]


def test_a_whole_job_can_be_done_with_what_is_free(records: Records, seeded: Seeded) -> None:
    things = [t for t in records["thing"].values() if t["part_kind"] and t["lot"]]
    free = [t for t in things if t["job"] is None and t["verdict"] is None]
    assert Counter(t["part_kind"] for t in free) == {"quillet5-display": 2, "quillet5-battery": 2}
    trays = {s.fields["code"] for s in seeded.shown if s.kind == "tray" and s.caption == "A free tray"}
    assert [_place(records["thing"][t]) for t in trays] == ["shelf"]


def test_every_label_of_the_sheet_reads_back_as_something_of_this_shop(
    tmp_path: Path, seeded: Seeded, records: Records
) -> None:
    sheet = write_label_sheet(tmp_path / "labels", seeded).read_text(encoding="utf-8")
    files = sorted((tmp_path / "labels").glob("*.png"))
    assert {f.name.split("-")[0] for f in files} == {"badge", "ticket", "device", "tray", "part", "core", "box"}
    tickets = {job["ticket"] for job in records["job"].values()}
    staff = {badge.badge for _, badge in seeded.badges}
    for file in files:
        assert f'src="{file.name}"' in sheet
        read = zxingcpp.read_barcodes(Image.open(io.BytesIO(file.read_bytes())).convert("L"))
        meaning = parse_payload(read[0].text)
        assert not isinstance(meaning, Rejected), file.name
        if isinstance(meaning, Ticket):
            assert meaning.token in tickets
        elif meaning.letter == "W":
            assert meaning.text in staff
        else:
            assert any(meaning.text in records[c] for c in ("thing", "box")), file.name


def test_the_badge_of_every_role_is_on_the_sheet(seeded: Seeded) -> None:
    assert {person.role for person, _ in seeded.badges} == {"lead", "bench", "counter", "shipping"}


def _place(thing: dict[str, Any]) -> str | None:
    heads = list(thing["heads"].values())
    return heads[0]["to"] if heads else None
