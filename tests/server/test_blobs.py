"""Photos: only complete pictures of a sane size are kept, under their true hash (F8.5)."""

import struct
import zlib
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import httpx
import pytest
from PIL import ExifTags, Image
from sqlmodel import insert

from tests.server.conftest import NOW_MS, Desk, Shop, problem_of
from traymark.blobs.files import BlobFiles
from traymark.config import Settings
from traymark.log.rows import BlobRow


def picture(form: str = "JPEG", size: tuple[int, int] = (640, 480)) -> bytes:
    out = BytesIO()
    Image.effect_noise(size, 40).convert("RGB").save(out, form)
    return out.getvalue()


def name_of(data: bytes) -> str:
    return sha256(data).hexdigest()


def put(desk: Desk, data: bytes, name: str | None = None) -> httpx.Response:
    return desk.ask("PUT", f"/api/blobs/{name or name_of(data)}", content=data)


def bomb(width: int, height: int) -> bytes:
    """A PNG of a few bytes whose header says that it is huge."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")


def files_below(data_dir: Path) -> list[Path]:
    return [p for folder in ("blobs", "coming") for p in (data_dir / folder).rglob("*") if p.is_file()]


@pytest.mark.parametrize(("form", "media_type"), [("JPEG", "image/jpeg"), ("PNG", "image/png"), ("WEBP", "image/webp")])
def test_photo_is_kept_and_given_back_byte_for_byte(shop: Shop, desk: Desk, form: str, media_type: str) -> None:
    data = picture(form)
    name = name_of(data)
    assert desk.ask("HEAD", f"/api/blobs/{name}").status_code == 404
    assert put(desk, data).json() == {"sha256": name, "bytes": len(data), "width": 640, "height": 480}
    assert desk.ask("HEAD", f"/api/blobs/{name}").status_code == 200
    answer = desk.ask("GET", f"/api/blobs/{name}")
    assert answer.content == data
    assert answer.headers["content-type"] == media_type
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["content-disposition"].startswith("attachment")
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert files_below(shop.data_dir) == [shop.data_dir / "blobs" / name[:2] / name]
    shop.check_log()


def test_photo_sent_again_is_confirmed_again(shop: Shop, desk: Desk) -> None:
    data = picture()
    assert put(desk, data).json() == put(desk, data).json()
    shop.check_log()


def test_photo_whose_file_was_lost_can_be_sent_again(shop: Shop, desk: Desk) -> None:
    data = picture()
    put(desk, data)
    files_below(shop.data_dir)[0].unlink()
    assert desk.ask("HEAD", f"/api/blobs/{name_of(data)}").status_code == 404
    assert put(desk, data).status_code == 200
    assert desk.ask("GET", f"/api/blobs/{name_of(data)}").content == data
    shop.check_log()


def test_small_picture_is_a_jpeg_of_256_pixels(desk: Desk) -> None:
    data = picture("PNG", (1200, 600))
    put(desk, data)
    for _ in range(2):
        answer = desk.ask("GET", f"/api/blobs/{name_of(data)}", params={"size": "thumb"})
        assert answer.headers["content-type"] == "image/jpeg"
        assert Image.open(BytesIO(answer.content)).size == (256, 128)


def test_small_picture_stands_upright_and_says_nothing_of_the_place(desk: Desk) -> None:
    """EXIF (CIPA DC-008): orientation 6 is a camera held upright; the GPS tags have a directory of their own."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    exif[ExifTags.Base.Make] = "Somebody"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (52.0, 30.0, 0.0)
    image = Image.new("RGB", (1200, 600), (0, 0, 255))
    image.paste((255, 0, 0), (0, 0, 600, 600))  # the left half, which is on top once turned upright
    out = BytesIO()
    image.save(out, "JPEG", exif=exif, comment="at home")
    data = out.getvalue()
    assert Image.open(BytesIO(data)).getexif().get_ifd(ExifTags.IFD.GPSInfo) != {}
    put(desk, data)
    thumb = desk.ask("GET", f"/api/blobs/{name_of(data)}", params={"size": "thumb"}).content
    shown = Image.open(BytesIO(thumb))
    assert shown.size == (128, 256)
    top, bottom = shown.getpixel((64, 40)), shown.getpixel((64, 210))
    assert isinstance(top, tuple) and isinstance(bottom, tuple)
    assert top[0] > 200 > 60 > top[2] and bottom[2] > 200 > 60 > bottom[0]
    assert dict(shown.getexif()) == {}
    assert b"Exif" not in thumb and b"Somebody" not in thumb and b"at home" not in thumb


def test_photo_under_the_wrong_hash_is_refused(shop: Shop, desk: Desk) -> None:
    problem_of(put(desk, picture(), "0" * 64), "blob-hash")
    assert files_below(shop.data_dir) == []


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"<html><script>alert(1)</script></html>",
        picture()[:-400],
        picture("PNG")[:-400],
        b"GIF89a" + bytes(40),
        b"\xff\xd8\xff" + bytes(100),
    ],
    ids=["nothing", "svg", "html", "cut JPEG", "cut PNG", "gif", "not really JPEG"],
)
def test_what_is_not_a_whole_photo_is_refused(shop: Shop, desk: Desk, data: bytes) -> None:
    problem_of(put(desk, data), "blob-not-image")
    assert files_below(shop.data_dir) == []
    shop.check_log()


@pytest.mark.parametrize("size", [(20_000, 20_000), (8_000, 5_001), (65_535, 65_535)])
def test_small_file_with_a_huge_picture_is_refused_before_it_is_decoded(
    shop: Shop, desk: Desk, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object) -> None:
        raise AssertionError("it was decoded")

    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", never)
    problem_of(put(desk, bomb(*size)), "image-too-large")
    assert files_below(shop.data_dir) == []


def test_photo_larger_than_8_megabytes_is_refused(shop: Shop, desk: Desk, settings: Settings) -> None:
    problem_of(put(desk, bytes(settings.max_blob_bytes + 1)), "body-too-large")

    def in_parts() -> object:
        yield from (bytes(1_000_000) for _ in range(9))

    answer = desk.ask("PUT", f"/api/blobs/{'0' * 64}", content=in_parts())
    problem_of(answer, "body-too-large")
    assert files_below(shop.data_dir) == []


@pytest.mark.parametrize(
    "name",
    [
        "..%2f..%2f..%2fetc%2fpasswd", "%2e%2e%2f%2e%2e%2ftraymark.sqlite", "..%5c..%5ctraymark.sqlite",
        "0" * 63 + "%00", "0" * 64 + "%00.jpg", "0" * 63, "0" * 65, "A" * 64, "0" * 64 + "%0a",
    ],
)  # fmt: skip
@pytest.mark.parametrize("method", ["GET", "PUT"])
def test_name_that_is_not_a_hash_does_not_exist(shop: Shop, desk: Desk, name: str, method: str) -> None:
    before = sorted(p for p in shop.data_dir.rglob("*"))
    answer = desk.ask(method, f"/api/blobs/{name}", content=b"x" if method == "PUT" else None)
    assert answer.status_code in (404, 405)
    problem_of(answer, "not-found" if answer.status_code == 404 else "method-not-allowed")
    assert sorted(p for p in shop.data_dir.rglob("*")) == before


def test_photo_is_only_for_stations(shop: Shop, desk: Desk) -> None:
    data = picture()
    put(desk, data)
    for method in ("GET", "PUT"):
        problem_of(shop.client.request(method, f"/api/blobs/{name_of(data)}"), "station-unknown")


def test_half_written_file_of_a_crash_is_cleared_at_the_next_start(tmp_path: Path) -> None:
    files = BlobFiles(tmp_path)
    data = picture()
    files.write(name_of(data), data)
    left = tmp_path / "coming" / "left"
    left.write_bytes(b"half")
    files.clear_coming()
    assert not left.exists()
    assert files.read(name_of(data)) == data


def test_row_without_its_file_is_a_fault(shop: Shop) -> None:
    row = {
        "sha256": "0" * 64,
        "media_type": "image/png",
        "size": 1,
        "width": 1,
        "height": 1,
        "station": "S7K2",
        "received_at_ms": NOW_MS,
    }
    with shop.store.database.write() as connection:
        connection.execute(insert(BlobRow).values(row))
    with pytest.raises(AssertionError):
        shop.check_log()
