"""Labels over HTTP: drawn for joined stations, refused with a pointer, bounded."""

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import zxingcpp
from litestar.testing import TestClient
from PIL import Image

from traymark.app import create_app
from traymark.config import Settings
from traymark.stations.invites import make_invite
from traymark_labels.codes import mint

START_MS = 1_800_000_000_000
TRAY = mint("T", "7K2", 1).code


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient[Any]]:
    app = create_app(Settings(data_dir=tmp_path), lambda: START_MS)
    with TestClient(app, base_url="https://testserver.local") as opened:
        code = make_invite(opened.app.state.store, "", "counter", START_MS).code
        assert opened.post("/api/join", json={"code": code}).status_code == 200
        yield opened


def ask(client: TestClient[Any], **changed: object) -> Any:
    return client.post("/api/labels", json={"kind": "tray", "fields": {"code": TRAY}, "dpi": 203} | changed)


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_a_label_comes_as_a_picture_that_reads_back(client: TestClient[Any], dpi: int) -> None:
    answer = ask(client, dpi=dpi, format="png")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/png")
    read = zxingcpp.read_barcodes(Image.open(io.BytesIO(answer.content)).convert("L"))
    assert [r.text for r in read] == [TRAY]


def test_a_label_comes_as_a_page(client: TestClient[Any]) -> None:
    answer = ask(client, format="pdf")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/pdf")
    assert answer.content.startswith(b"%PDF-")


BOX = {"code": mint("B", "7K2", 1).code, "supplier": "Halfmoon Cells", "purpose": "battery", "count": 3}


def test_a_label_says_what_its_battery_is(client: TestClient[Any]) -> None:
    part = {"code": mint("P", "7K2", 1).code, "part": "Battery"}
    without = ask(client, kind="part", fields=part).content
    for caution in ("battery_inside", "battery_loose", "battery_failed", "battery_damaged"):
        answer = ask(client, kind="part", fields={**part, "battery_caution": caution})
        assert (answer.status_code, answer.content != without) == (200, True)
    assert ask(client, kind="box", fields={**BOX, "battery_caution": "battery_loose"}).status_code == 200


@pytest.mark.parametrize(
    ("changed", "pointer"),
    [
        ({"kind": "box", "fields": {**BOX, "battery_caution": "battery_failed"}}, "/fields/battery_caution"),
        ({"kind": "box", "fields": {**BOX, "battery_caution": "battery_damaged"}}, "/fields/battery_caution"),
        ({"fields": {"code": TRAY[:-1] + ("0" if TRAY[-1] != "0" else "1")}}, "/fields/code"),
        ({"fields": {}}, "/fields/code"),
        ({"fields": {"code": TRAY, "colour": "red"}}, "/fields/colour"),
        ({"kind": "poster"}, "/kind"),
    ],
)
def test_fields_that_make_no_label_are_refused_with_a_pointer(
    client: TestClient[Any], changed: dict[str, object], pointer: str
) -> None:
    answer = ask(client, **changed)
    assert answer.status_code == 422, answer.text
    assert answer.headers["content-type"].startswith("application/problem+json")
    assert answer.json()["type"] == "/problems/label-field"
    assert answer.json()["errors"][0]["pointer"] == pointer


@pytest.mark.parametrize(
    "changed",
    [
        {"fields": {"code": TRAY, "name": "x" * 401}},
        {"fields": {f"f{n}": "x" for n in range(41)}},
        {"dpi": 72},
        {"dpi": 1_000_000},
        {"format": "svg"},
        {"fields": {"code": [TRAY]}},
        {"fields": {"code": 10**12}},
    ],
)
def test_an_oversize_request_is_refused_before_anything_is_drawn(
    client: TestClient[Any], changed: dict[str, object]
) -> None:
    assert ask(client, **changed).status_code == 400


def test_labels_are_for_joined_stations_only(client: TestClient[Any]) -> None:
    client.cookies.clear()
    assert ask(client).status_code == 401
