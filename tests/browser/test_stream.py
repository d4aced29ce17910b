"""The camera made of a file shows a page what a test lays before it; every scanning test leans on this."""

import base64
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
import qrcode
import zxingcpp
from PIL import Image

from tests.browser.app_copy import AppCopy
from tests.browser.conftest import Launch, Station
from tests.browser.stream import bench_with

LOOK = """async () => {
    const stream = await navigator.mediaDevices.getUserMedia({ video: { width: 1280, height: 720 } });
    const video = document.createElement("video");
    video.muted = true;
    video.srcObject = stream;
    await video.play();
    const canvas = document.createElement("canvas");
    canvas.width = video.videoWidth;
    canvas.height = video.videoHeight;
    canvas.getContext("2d").drawImage(video, 0, 0);
    for (const track of stream.getTracks()) track.stop();
    return canvas.toDataURL("image/png");
}"""


@pytest.fixture
def station(launch: Launch, built_app: Path, tmp_path: Path) -> Iterator[Station]:
    served = AppCopy(built_app, tmp_path / "app")
    station = launch()
    station.page.goto(served.url)
    yield station
    served.close()


def label(text: str) -> Image.Image:
    return qrcode.make(text).get_image().convert("RGB")


def seen_by(station: Station) -> list[str]:
    picture = base64.b64decode(station.page.evaluate(LOOK).partition(",")[2])
    frame = Image.open(BytesIO(picture)).convert("L")
    assert frame.size == (1280, 720)
    return [code.text for code in zxingcpp.read_barcodes(frame)]


def test_page_sees_the_label_that_was_shown_last(station: Station) -> None:
    assert seen_by(station) == []
    station.camera.show(label("FIRST"))
    assert seen_by(station) == ["FIRST"]
    station.camera.show(label("SECOND"), turn_deg=30)
    assert seen_by(station) == ["SECOND"]
    station.camera.show_nothing()
    assert seen_by(station) == []


def test_stations_see_their_own_labels(launch: Launch, built_app: Path, tmp_path: Path) -> None:
    served = AppCopy(built_app, tmp_path / "app")
    for text in ("COUNTER", "BENCH"):
        one = launch(text)
        one.camera.show(label(text))
        one.page.goto(served.url)
        assert seen_by(one) == [text]
    served.close()


def test_label_larger_than_the_picture_is_a_mistake_of_the_test() -> None:
    with pytest.raises(ValueError, match="larger than the picture"):
        bench_with(label("TOO LARGE"), height_px=800)
