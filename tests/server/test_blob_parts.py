"""A photo in pieces: sending resumes where the server left off, and only the whole photo counts (F8.6)."""

from collections.abc import Iterator
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

import httpx
import pytest
from PIL import Image

from tests.server.conftest import NOW_MS, Desk, Shop, problem_of
from tests.server_process import ServerProcess
from traymark.api.who import COOKIE
from traymark.blobs.parts import KEPT_FOR_MS, PART_BYTES, BlobParts
from traymark.config import Settings


def picture() -> bytes:
    """About 600 kB: three pieces."""
    out = BytesIO()
    Image.effect_noise((1200, 800), 60).save(out, "JPEG", quality=92)
    data = out.getvalue()
    assert 2 * PART_BYTES < len(data) < 4 * PART_BYTES
    return data


def name_of(data: bytes) -> str:
    return sha256(data).hexdigest()


def held(desk: Desk, data: bytes) -> dict[str, Any]:
    return desk.ask("GET", f"/api/blobs/{name_of(data)}/part").json()


def send(
    desk: Desk, data: bytes, offset: int, piece: bytes | None = None, query: dict[str, int] | None = None
) -> httpx.Response:
    params = {"offset": offset, "whole": len(data), **(query or {})}
    content = data[offset : offset + PART_BYTES] if piece is None else piece
    return desk.ask("POST", f"/api/blobs/{name_of(data)}/part", params=params, content=content)


def offsets(data: bytes) -> Iterator[int]:
    return iter(range(0, len(data), PART_BYTES))


def parts_below(shop: Shop) -> list[Path]:
    return [p for p in (shop.data_dir / "parts").glob("*") if p.is_file()]


def test_photo_in_pieces_is_the_photo(shop: Shop, desk: Desk) -> None:
    data = picture()
    assert held(desk, data) == {"sha256": name_of(data), "whole": False, "offset": 0}
    answers = [send(desk, data, offset).json() for offset in offsets(data)]
    assert [a["whole"] for a in answers] == [False] * (len(answers) - 1) + [True]
    assert answers[0]["offset"] == PART_BYTES
    assert desk.ask("GET", f"/api/blobs/{name_of(data)}").content == data
    assert held(desk, data) == {"sha256": name_of(data), "whole": True}
    assert parts_below(shop) == []
    shop.check_log()


def test_the_server_says_how_much_it_holds_and_sending_resumes_there(desk: Desk) -> None:
    data = picture()
    send(desk, data, 0)
    assert held(desk, data)["offset"] == PART_BYTES
    told = problem_of(send(desk, data, 0), "part-offset")
    assert told["offset"] == PART_BYTES
    assert problem_of(send(desk, data, 2 * PART_BYTES), "part-offset")["offset"] == PART_BYTES
    for offset in list(offsets(data))[1:]:
        assert send(desk, data, offset).status_code == 200
    assert held(desk, data)["whole"] is True


def test_pieces_outlive_a_power_cut_of_the_server(process: ServerProcess) -> None:
    data = picture()
    address = f"{process.url}/api/blobs/{name_of(data)}/part"
    headers = {"Cookie": f"{COOKIE}=token-of-S7K2"}

    def post(offset: int) -> dict[str, Any]:
        piece = data[offset : offset + PART_BYTES]
        params = {"offset": offset, "whole": len(data)}
        return httpx.post(address, params=params, content=piece, headers=headers, timeout=20).json()

    post(0)
    process.kill()
    process.start()
    assert httpx.get(address, headers=headers, timeout=20).json()["offset"] == PART_BYTES
    answers = [post(offset) for offset in list(offsets(data))[1:]]
    assert answers[-1]["whole"] is True
    process.stop()
    assert process.run("verify", "--data", str(process.data_dir)).returncode == 0


def test_photo_whose_last_piece_came_just_before_a_crash_is_finished_by_an_empty_one(shop: Shop, desk: Desk) -> None:
    data = picture()
    BlobParts(shop.data_dir).add("S7K2", name_of(data), 0, data, len(data), NOW_MS)
    assert held(desk, data)["offset"] == len(data)
    assert send(desk, data, len(data)).json()["whole"] is True
    assert desk.ask("GET", f"/api/blobs/{name_of(data)}").content == data


def test_pieces_that_do_not_make_the_photo_are_refused_and_forgotten(shop: Shop, desk: Desk) -> None:
    data = picture()
    wrong = bytes([data[0] ^ 1]) + data[1:PART_BYTES]
    send(desk, data, 0, wrong)
    last = [send(desk, data, offset) for offset in list(offsets(data))[1:]][-1]
    problem_of(last, "blob-hash")
    assert held(desk, data)["offset"] == 0
    assert parts_below(shop) == []
    shop.check_log()


def test_pieces_that_make_no_picture_are_refused(shop: Shop, desk: Desk) -> None:
    data = b"<svg onload='alert(1)'/>"
    problem_of(send(desk, data, 0), "blob-not-image")
    assert parts_below(shop) == []


def test_pieces_of_two_stations_do_not_mix(shop: Shop, desk: Desk) -> None:
    other = shop.enrol("SOTH", "9QX")
    data = picture()
    send(desk, data, 0)
    assert held(other, data)["offset"] == 0


@pytest.mark.parametrize("query", [{"whole": 10}, {"whole": 0}, {"offset": -1}])
def test_piece_that_cannot_belong_to_the_photo_is_refused(desk: Desk, shop: Shop, query: dict[str, int]) -> None:
    assert send(desk, picture(), 0, query=query).status_code in (400, 409)
    assert parts_below(shop) == []


def test_photo_too_large_for_the_shop_is_refused_at_its_first_piece(desk: Desk, shop: Shop, settings: Settings) -> None:
    problem_of(send(desk, picture(), 0, query={"whole": settings.max_blob_bytes + 1}), "body-too-large")
    problem_of(send(desk, picture(), 0, bytes(PART_BYTES + 1)), "body-too-large")
    assert parts_below(shop) == []


def test_pieces_need_a_station_and_a_hash(desk: Desk, shop: Shop) -> None:
    problem_of(shop.client.get(f"/api/blobs/{'0' * 64}/part"), "station-unknown")
    problem_of(shop.client.post(f"/api/blobs/{'0' * 64}/part?offset=0&whole=1", content=b"x"), "station-unknown")
    problem_of(desk.ask("GET", "/api/blobs/..%2ftraymark.sqlite/part"), "not-found")
    problem_of(desk.ask("POST", f"/api/blobs/{'A' * 64}/part?offset=0&whole=1", content=b"x"), "not-found")


def test_abandoned_beginning_is_dropped_after_a_day(tmp_path: Path) -> None:
    parts = BlobParts(tmp_path)
    parts.add("S7K2", "0" * 64, 0, b"abc", 10, NOW_MS)
    assert parts.held("S7K2", "0" * 64, NOW_MS + KEPT_FOR_MS) == 3
    assert parts.held("S7K2", "0" * 64, NOW_MS + KEPT_FOR_MS + 1_000) == 0


def test_a_station_has_at_most_four_beginnings_and_the_oldest_goes_first(tmp_path: Path) -> None:
    parts = BlobParts(tmp_path)
    names = [f"{n}" * 64 for n in range(6)]
    for n, name in enumerate(names):
        parts.add("S7K2", name, 0, b"abc", 10, NOW_MS + 1_000 * n)
    assert [parts.held("S7K2", name, NOW_MS) for name in names] == [0, 0, 3, 3, 3, 3]
