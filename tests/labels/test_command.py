"""python -m traymark_labels."""

import io
from pathlib import Path

import pytest
from PIL import Image

from tests.labels.samples import SAMPLES
from tests.labels.scanning import picture_in_pdf, scan
from traymark_labels.__main__ import main

CODE = str(SAMPLES["tray"]["code"])


def test_a_png_is_written(tmp_path: Path) -> None:
    out = tmp_path / "tray.png"
    assert main(["tray", "--field", f"code={CODE}", "--field", "name=a=b", "--dpi", "203", "--out", str(out)]) == 0
    with Image.open(io.BytesIO(out.read_bytes())) as image:
        assert image.size == (496, 232)
        assert scan(image) == [CODE]


def test_a_pdf_is_written(tmp_path: Path) -> None:
    out = tmp_path / "tray.PDF"
    assert main(["tray", "--field", f"code={CODE}", "--out", str(out)]) == 0
    assert scan(picture_in_pdf(out.read_bytes())) == [CODE]


def test_a_bad_field_is_reported_and_nothing_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "tray.png"
    assert main(["tray", "--field", "code=T7K200002M", "--out", str(out)]) == 1
    assert capsys.readouterr().err.startswith("label-field: code: ")
    assert not out.exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ["poster", "--out", "x.png"],
        ["tray", "--field", "code", "--out", "x.png"],
        ["tray", "--dpi", "72", "--out", "x.png"],
        ["tray", "--out", "x.gif"],
        ["tray"],
    ],
)
def test_wrong_usage_exits_with_2(arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
