"""`traymark procedure check` names the step and what to do, and its exit code is reliable."""

import json
from pathlib import Path
from typing import Any

import pytest

from traymark.__main__ import main
from traymark.tables import shared_dir

DISPLAY = shared_dir() / "procedures" / "quillet5-display.json"


@pytest.fixture
def display() -> dict[str, Any]:
    return json.loads(DISPLAY.read_text(encoding="utf-8"))


def test_a_sound_procedure_is_called_sound(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["procedure", "check", str(DISPLAY)]) == 0
    assert capsys.readouterr().out == f"{DISPLAY}: sound\n"


def test_a_fault_is_named_with_its_step_and_what_to_do(
    tmp_path: Path, display: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    next(step for step in display["in"] if step["id"] == "warm")["cautions"].remove("heat")
    file = tmp_path / "display.json"
    file.write_text(json.dumps(display), encoding="utf-8")
    assert main(["procedure", "check", str(DISPLAY), str(file)]) == 1
    assert capsys.readouterr().out.splitlines() == [
        f"{DISPLAY}: sound",
        f"{file}: 1 fault",
        "  step warm: A step names a danger without its caution (heat: heat) [caution-missing]",
        "    Add the caution to the step.",
    ]


def test_the_body_of_a_document_can_be_checked_as_the_server_keeps_it(tmp_path: Path, display: dict[str, Any]) -> None:
    del display["$schema"]
    file = tmp_path / "display.json"
    file.write_text(json.dumps(display), encoding="utf-8")
    assert main(["procedure", "check", str(file)]) == 0


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "is not JSON"),
        ('{"id": "a", "id": "b"}', "id appears twice in one object"),
        ("\udcff", "is not JSON"),
        ('{"rev": NaN}', "NaN is no number"),
        ("[" * 200_000, "nested too deep"),
    ],
)
def test_unreadable_file_is_not_called_a_faulty_procedure(
    tmp_path: Path, text: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "broken.json"
    file.write_bytes(text.encode("utf-8", "surrogateescape"))
    assert main(["procedure", "check", str(file)]) == 2
    assert said in capsys.readouterr().err


def test_a_missing_file_is_reported_as_missing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["procedure", "check", str(tmp_path / "none.json")]) == 2
    assert "none.json cannot be read" in capsys.readouterr().err


def test_names_from_the_file_cannot_control_the_terminal(
    tmp_path: Path, display: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "display.json"
    file.write_text(json.dumps(display | {"\x1b[2J\ud800": 1}), encoding="utf-8")
    assert main(["procedure", "check", str(file)]) == 1
    assert "has ?[2J?, which is not known" in capsys.readouterr().out
