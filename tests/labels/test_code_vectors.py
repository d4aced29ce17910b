"""The Python runner over shared/vectors/code and shared/vectors/label; README.md there is its manual."""

import json
from pathlib import Path
from typing import Any

import pytest

from traymark_labels import (
    Code,
    Rejected,
    Ticket,
    check_character,
    group,
    imei_check_digit,
    mint,
    parse_code,
    parse_imei,
    parse_payload,
)

VECTORS = Path(__file__).resolve().parents[2] / "shared" / "vectors"
FILES = sorted([*(VECTORS / "code").glob("*.json"), *(VECTORS / "label").glob("*.json")])
KEYS = {"name", "spec", "expect", "comment", "cases"}
SLUGS = {"code-unreadable", "code-check-failed", "imei-length", "imei-check-failed"}
INPUTS = {
    "check_character": {"body"},
    "parse_code": {"text"},
    "mint": {"kind", "prefix", "counter"},
    "group": {"code"},
    "imei_check_digit": {"digits"},
    "parse_imei": {"text"},
    "parse_payload": {"text"},
}


def load(path: Path) -> dict[str, Any]:
    return json.loads(path.read_text(encoding="utf-8"))


def cases() -> list[Any]:
    return [
        pytest.param(case, load(path)["expect"], id=f"{path.stem}-{n}")
        for path in FILES
        for n, case in enumerate(load(path)["cases"])
    ]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_file_has_a_form_that_runners_know(path: Path) -> None:
    vector = load(path)
    assert set(vector) == KEYS
    assert vector["name"] == path.stem
    assert vector["cases"] != []
    assert vector["expect"] in {"ok", "throws", *SLUGS}
    manual = (VECTORS / "code" / "README.md").read_text(encoding="utf-8")
    assert [clause for clause in vector["spec"] if f"- {clause} " not in manual] == []


def test_every_slug_is_expected_by_a_file() -> None:
    assert {load(path)["expect"] for path in FILES} >= SLUGS


@pytest.mark.parametrize(("case", "expect"), cases())
def test_case_comes_out_as_expected(case: dict[str, Any], expect: str) -> None:
    inputs = {name: case[name] for name in INPUTS[case["op"]]}
    if expect == "throws":
        with pytest.raises(ValueError, match="counter"):
            outcome(case["op"], inputs)
        return
    found = outcome(case["op"], inputs)
    if expect != "ok":
        assert isinstance(found, Rejected)
        assert found.slug == expect
    else:
        wanted = {name: value for name, value in case.items() if name != "op" and name not in INPUTS[case["op"]]}
        assert wanted != {}
        assert found == wanted


def outcome(op: str, inputs: dict[str, Any]) -> dict[str, Any] | Rejected:
    match op:
        case "check_character":
            return {"check": check_character(**inputs)}
        case "mint":
            minted = mint(**inputs)
            assert minted.next_counter == minted.counter + 1
            return {"code": minted.code, "used": minted.counter}
        case "group":
            return {"text": group(**inputs)}
        case "imei_check_digit":
            return {"check": imei_check_digit(**inputs)}
        case "parse_imei":
            imei = parse_imei(**inputs)
            return imei if isinstance(imei, Rejected) else {"imei": imei}
        case "parse_code":
            code = parse_code(**inputs)
            return code if isinstance(code, Rejected) else as_case(code)
        case "parse_payload":
            ticket = parse_payload(**inputs)
            assert not isinstance(ticket, Code)
            return ticket if isinstance(ticket, Rejected) else as_case(ticket)
        case _:
            raise AssertionError(f"unknown op {op}")


def as_case(read: Code | Ticket) -> dict[str, Any]:
    if isinstance(read, Ticket):
        return {"shop_url": read.shop_url, "token": read.token}
    badge = {"staff_id": read.staff_id} if read.letter == "W" else {}
    return {"code": read.text, "letter": read.letter, **badge}
