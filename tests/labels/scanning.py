"""Reading labels back: pictures with a bar code reader; PDF files by extracting the picture, or with a PDF program."""

import re
import shutil
import subprocess
import zlib
from pathlib import Path

import zxingcpp
from PIL import Image


def scan(image: Image.Image) -> list[str]:
    """The text of every QR code that the reader finds in a picture."""
    found = zxingcpp.read_barcodes(image.convert("L"), formats=zxingcpp.BarcodeFormat.QRCode)
    return [code.text for code in found]


def picture_in_pdf(file: bytes) -> Image.Image:
    """The one-bit picture of a page, by ISO 32000-1's rules for Flate with PNG predictors; filter type 0 only."""
    header = re.search(rb"/Subtype /Image /Width (\d+) /Height (\d+).*?/Length (\d+) >>\nstream\n", file, re.DOTALL)
    assert header is not None
    width, height, length = (int(group) for group in header.groups())
    lines = zlib.decompress(file[header.end() : header.end() + length])
    step = 1 + (width + 7) // 8
    assert len(lines) == step * height
    assert set(lines[::step]) == {0}
    rows = b"".join(lines[n + 1 : n + step] for n in range(0, len(lines), step))
    return Image.frombytes("1", (width, height), rows)


def pdf_on_paper(file: bytes, dpi: int, folder: Path) -> Image.Image | None:
    """A page as a PDF program renders it at a resolution; None where no such program is installed."""
    program = shutil.which("pdftoppm")
    if program is None:
        return None
    (folder / "label.pdf").write_bytes(file)
    subprocess.run([program, "-r", str(dpi), "-gray", "label.pdf", "page"], cwd=folder, check=True)
    (page,) = folder.glob("page*.pgm")
    with Image.open(page) as image:
        return image.copy()
