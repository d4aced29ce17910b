"""Cards and documents: revisions, who may write what, erasing for good (F7)."""

from typing import Any

import httpx
import pytest

from tests.server.conftest import Desk, Shop, problem_of
from tests.server.shop_events import Writer, code
from traymark.docs.card import pointer_of
from traymark.docs.shop import shared_procedures

CARD = "a" * 20
OTHER = "b" * 20
CONTACT = {"name": "Pat Example", "phone": "+00 000 0000", "mail": "pat@example.test"}
DISPLAY = next(body for body in shared_procedures() if body["id"] == "quillet5-display")
DISPLAY_1 = "procedure:quillet5-display.1"
STAFF = {"name": "Kim", "role": "bench", "badge_salt": "salt", "badge_hash": "0" * 64}


def put(desk: Desk, id_: str, kind: str, body: Any, **more: Any) -> httpx.Response:
    return desk.ask("PUT", f"/api/docs/{id_}", json={"kind": kind, "body": body} | more)


def docs(desk: Desk, after: int = 0, limit: int = 1000, run: str = "") -> dict[str, Any]:
    return desk.ask("GET", "/api/docs", params={"after": after, "limit": limit, "run": run}).json()


@pytest.fixture(autouse=True)
def _named(desk: Desk, writer: Writer) -> None:
    """Live jobs that name the cards of these tests: others are not handed on (F8.4)."""
    names = [CARD, OTHER, *(f"{n:020}" for n in range(5))]
    for number, name in enumerate(names):
        body = {
            "device": code("D", "7K2", number), "card": name, "contact": CARD, "model": "Quillet 5",
            "complaint": "Dark", "consents": [], "ticket": f"{number:026}",
        }  # fmt: skip
        writer.write("job.booked", code("J", "7K2", number), body)
    desk.push(writer)


@pytest.fixture
def lead(shop: Shop) -> Desk:
    return shop.enrol("S7KA", "7KA", role="lead")


def test_card_written_by_any_station_is_read_by_every_other(shop: Shop, desk: Desk) -> None:
    assert put(desk, CARD, "contact", CONTACT).json() == {"id": CARD, "rev": 1}
    other = shop.enrol("S7K9")
    assert docs(other) == {
        "run": shop.store.run,
        "reset": False,
        "rev": 1,
        "last": 1,
        "docs": [{"id": CARD, "kind": "contact", "rev": 1, "body": CONTACT}],
        "more": False,
    }
    shop.check_log()


def test_revision_counts_over_all_cards_and_shows_what_is_newer(desk: Desk) -> None:
    put(desk, CARD, "contact", CONTACT)
    put(desk, OTHER, "device", {"imei": "000000000000000", "serial": "", "model": "Quillet 5"})
    put(desk, CARD, "contact", CONTACT | {"phone": "+00 1"})
    assert [(d["id"], d["rev"]) for d in docs(desk)["docs"]] == [(OTHER, 2), (CARD, 3)]
    assert docs(desk, after=2)["docs"][0]["body"]["phone"] == "+00 1"
    told = docs(desk, after=3)
    assert (told["rev"], told["last"], told["docs"], told["more"]) == (3, 3, [], False)


def test_reading_continues_where_the_last_answer_ended(desk: Desk) -> None:
    for n in range(5):
        put(desk, f"{n:020}", "contact", CONTACT)
    first = docs(desk, limit=2)
    assert (first["rev"], first["more"], len(first["docs"])) == (2, True, 2)
    rest = docs(desk, after=2)
    assert (rest["rev"], rest["more"], len(rest["docs"])) == (5, False, 3)


def test_a_revision_that_this_shop_never_gave_out_is_told(shop: Shop, desk: Desk) -> None:
    put(desk, CARD, "contact", CONTACT)
    run = docs(desk)["run"]
    assert not docs(desk, after=1, run=run)["reset"]
    for after, of in ((2, run), (2, ""), (1, "another")):
        told = docs(desk, after, run=of)
        assert (told["reset"], told["docs"]) == (True, [])
    assert run == shop.store.run


def test_later_of_two_writes_of_a_card_wins(shop: Shop, desk: Desk) -> None:
    put(desk, CARD, "contact", CONTACT)
    put(shop.enrol("S7K9"), CARD, "contact", CONTACT | {"name": "Sam"})
    assert docs(desk)["docs"][0]["body"]["name"] == "Sam"


def test_writing_what_is_already_there_changes_nothing(desk: Desk) -> None:
    put(desk, CARD, "contact", CONTACT)
    assert put(desk, CARD, "contact", CONTACT).json()["rev"] == 1
    assert docs(desk)["rev"] == 1


def test_erased_card_leaves_its_id_and_can_never_be_written_again(shop: Shop, desk: Desk, lead: Desk) -> None:
    put(desk, CARD, "contact", CONTACT)
    problem_of(put(desk, CARD, "contact", None), "not-allowed")
    assert put(lead, CARD, "contact", None).json()["rev"] == 2
    assert docs(desk)["docs"] == [{"id": CARD, "kind": "contact", "rev": 2, "body": None}]
    problem_of(put(desk, CARD, "contact", CONTACT), "doc-erased")
    assert put(lead, CARD, "contact", None).json()["rev"] == 2
    shop.check_log()


def test_erased_text_is_in_no_file_of_the_data_folder(shop: Shop, desk: Desk, lead: Desk) -> None:
    name = "Zebedee-Erased-Name"
    put(desk, CARD, "contact", CONTACT | {"name": name})
    put(desk, CARD, "contact", CONTACT | {"name": name + " the second"})

    def holders() -> list[str]:
        return [p.name for p in shop.data_dir.rglob("*") if p.is_file() and name.encode() in p.read_bytes()]

    assert holders() != []
    put(lead, CARD, "contact", None)
    assert holders() == []


@pytest.mark.parametrize(
    ("id_", "kind", "body"),
    [
        ("shop", "settings", {"shop_name": "Bench"}),
        ("staff:W001", "staff", STAFF),
        ("catalogue", "catalogue", {"models": []}),
        ("procedure:quillet5-display.1", "procedure", DISPLAY),
    ],
)
def test_document_is_for_a_lead(desk: Desk, lead: Desk, id_: str, kind: str, body: dict[str, Any]) -> None:
    problem_of(put(desk, id_, kind, body), "not-allowed")
    assert put(lead, id_, kind, body).status_code == 200
    problem_of(put(desk, id_, kind, body, base_rev=1), "not-allowed")


def test_unsound_procedure_is_refused_with_its_faults(lead: Desk) -> None:
    [warm] = [step for step in DISPLAY["in"] if step["id"] == "warm"]
    less = {**warm, "cautions": [caution for caution in warm["cautions"] if caution != "heat"]}
    steps = [less if step is warm else step for step in DISPLAY["in"]]
    told = problem_of(put(lead, DISPLAY_1, "procedure", DISPLAY | {"in": steps}), "procedure-unsound")
    assert {(fault["slug"], fault["step"]) for fault in told["faults"]} == {("caution-missing", "warm")}
    told = problem_of(put(lead, DISPLAY_1, "procedure", {"id": "quillet5-display"}), "procedure-unsound")
    assert {fault["slug"] for fault in told["faults"]} == {"not-in-form"}
    assert docs(lead)["docs"] == []


def test_procedure_is_kept_under_its_own_id_and_revision(lead: Desk) -> None:
    told = problem_of(put(lead, "procedure:quillet5-display.2", "procedure", DISPLAY), "bad-field")
    assert [error["pointer"] for error in told["errors"]] == ["/id"]


def test_revision_of_a_procedure_never_changes(lead: Desk) -> None:
    assert put(lead, DISPLAY_1, "procedure", DISPLAY).status_code == 200
    assert put(lead, DISPLAY_1, "procedure", DISPLAY).json()["rev"] == 1
    changed = DISPLAY | {"minutes": DISPLAY["minutes"] + 1}
    problem_of(put(lead, DISPLAY_1, "procedure", changed), "revision-stands")
    problem_of(put(lead, DISPLAY_1, "procedure", changed, base_rev=1), "revision-stands")
    problem_of(put(lead, DISPLAY_1, "procedure", None, base_rev=1), "revision-stands")
    assert put(lead, "procedure:quillet5-display.2", "procedure", changed | {"rev": 2}).json()["rev"] == 2
    assert [doc["body"]["minutes"] for doc in docs(lead)["docs"]] == [DISPLAY["minutes"], DISPLAY["minutes"] + 1]


def test_document_is_written_against_the_revision_it_was_read_at(lead: Desk) -> None:
    put(lead, "shop", "settings", {"shop_name": "One"})
    told = problem_of(put(lead, "shop", "settings", {"shop_name": "Two"}), "doc-changed")
    assert told["rev"] == 1
    assert put(lead, "shop", "settings", {"shop_name": "Two"}, base_rev=1).json()["rev"] == 2
    problem_of(put(lead, "shop", "settings", {"shop_name": "Three"}, base_rev=1), "doc-changed")
    problem_of(put(lead, "catalogue", "catalogue", {}, base_rev=1), "doc-changed")
    assert docs(lead)["docs"][0]["body"] == {"shop_name": "Two"}


@pytest.mark.parametrize(
    ("id_", "kind", "body", "pointer"),
    [
        (CARD, "contact", {"phone": "1"}, "/body/name"),
        (CARD, "contact", CONTACT | {"name": 5}, "/body/name"),
        (CARD, "contact", CONTACT | {"note": "x"}, "/body/note"),
        (CARD, "contact", CONTACT | {"name": "x" * 201}, "/body/name"),
        (CARD, "device", {"imei": "<script>"}, "/body/imei"),
        (CARD, "nothing", {}, "/kind"),
        ("short", "contact", CONTACT, "/id"),
        ("shop", "contact", CONTACT, "/id"),
        (CARD.upper(), "contact", CONTACT, "/id"),
    ],
)
def test_card_that_does_not_fit_is_refused_with_a_pointer(
    desk: Desk, id_: str, kind: str, body: dict[str, Any], pointer: str
) -> None:
    answer = put(desk, id_, kind, body)
    if kind == "nothing":
        problem_of(answer, "not-allowed")
        return
    assert problem_of(answer, "bad-field")["errors"][0]["pointer"] == pointer


def test_kind_that_does_not_exist_is_refused(lead: Desk) -> None:
    assert problem_of(put(lead, CARD, "nothing", {}), "bad-field")["errors"][0]["pointer"] == "/kind"


def test_id_keeps_its_kind(desk: Desk) -> None:
    put(desk, CARD, "contact", CONTACT)
    problem_of(put(desk, CARD, "device", {"imei": "", "serial": "", "model": ""}), "bad-field")


def test_script_in_a_card_comes_back_as_the_text_that_it_is(desk: Desk) -> None:
    evil = '<script>alert(1)</script>"\u2028'
    put(desk, CARD, "contact", {"name": evil, "phone": evil, "mail": evil})
    answer = desk.ask("GET", "/api/docs")
    assert answer.headers["content-type"] == "application/json"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.json()["docs"][0]["body"]["name"] == evil


@pytest.mark.parametrize(
    ("message", "pointer"),
    [
        ("Expected `str`, got `int` - at `$.name`", "/name"),
        ("Object missing required field `name`", "/name"),
        ("Object contains unknown field `x/y` - at `$.a[2]`", "/a/2/x~1y"),
        ("Expected `object`, got `array`", ""),
    ],
)
def test_fault_is_named_by_a_json_pointer(message: str, pointer: str) -> None:
    assert pointer_of(message) == pointer
