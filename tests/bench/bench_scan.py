"""What a camera's frame costs the app's reader, beside the same engine with its defaults, and what both read.

    python tests/bench/bench_scan.py

In headless Chromium: pwa/src/device/reader.ts as it is built, and the WebAssembly engine that it loads. The engine by
itself looks for all it knows, in every way; drawing the frame out of the camera is counted on both sides. What counts
is the time of the page's thread over whole rounds of looks, the two taking turns. Frames: camera_frames.py. Then each
code is held still until it is read, a round of looks at most. Nothing is asserted.
"""

import io
import json
import random
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import CDPSession, Page, Route, sync_playwright

HERE = Path(__file__).resolve()
REPOSITORY = HERE.parents[2]
sys.path[:0] = [str(REPOSITORY / part) for part in (".", "labels", "tests/bench")]

from camera_frames import BARS, Frame, Held, bar_frame, empty_frame, label_frame

from tests.browser.conftest import _ARGUMENTS
from tests.chromium import find_chromium
from tests.node import ensure_packages, npm_command

SEED = 20
LOOKS = 8
"""Of a round."""
ROUNDS = 4
ORIGIN = "http://localhost"

BUILD = """
const { build } = await import("vite");
const [entry, outDir] = process.argv.slice(1);
const output = { entryFileNames: "[name].js" };
const rollupOptions = { input: { reader: entry }, preserveEntrySignatures: "strict", output };
const made = { outDir, emptyOutDir: true, assetsInlineLimit: 0, rollupOptions };
await build({ configFile: false, logLevel: "warn", build: made });
"""

SET_UP = """async (count) => {
    const { loadEngine, loadReader } = await import("/reader.js");
    const engine = await loadEngine();
    const look = await loadReader();
    const frames = [];
    for (let n = 0; n < count; n++) {
        const image = Object.assign(new Image(), { src: `/frame/${n}` });
        await image.decode();
        const canvas = Object.assign(document.createElement("canvas"), { width: 1280, height: 720 });
        canvas.getContext("2d", { willReadFrequently: true }).drawImage(image, 0, 0);
        frames.push(canvas);
    }
    const camera = Object.assign(document.createElement("canvas"), { width: 1280, height: 720 });
    const pen = camera.getContext("2d", { willReadFrequently: true });
    globalThis.byDefault = async (n) => {
        pen.drawImage(frames[n], 0, 0);
        return (await engine(pen.getImageData(0, 0, 1280, 720))).map((code) => code.text);
    };
    globalThis.byApp = (n) => look(frames[n], 1280, 720);
}"""

BY_DEFAULT = "async ([first, last]) => { for (let n = first; n < last; n++) await byDefault(n); }"
BY_APP = "async ([first, last]) => { for (let n = first; n < last; n++) await byApp(n); }"
READ = """async ([n, text, looks]) => {
    for (let look = 1; look <= looks; look++) if ((await byApp(n)).includes(text)) return look;
    return 0;
}"""


def main() -> None:
    draw = random.Random(SEED)
    groups = groups_of(draw)
    empty = [empty_frame(draw) for _ in range(2 * LOOKS)]
    frames = [*empty, *(frame for group in groups.values() for frame in group)]
    with tempfile.TemporaryDirectory() as folder, opened(Path(folder), frames) as page:
        cdp = page.context.new_cdp_session(page)
        cdp.send("Performance.enable")
        ratios = {
            "cost of the engine's defaults over the app's, frames without a code": ratio(cdp, page, 0, len(empty)),
            "the same, frames with a code": ratio(cdp, page, len(empty), len(frames)),
        }
        first, read_by_app, read_by_default = len(empty), 0, 0
        for name, group in groups.items():
            looks = [page.evaluate(READ, [first + n, frame.text, LOOKS]) for n, frame in enumerate(group)]
            wholes = [page.evaluate("(n) => byDefault(n)", first + n) for n in range(len(group))]
            read = [n for n in looks if n]
            default = sum(frame.text in texts for frame, texts in zip(group, wholes, strict=True))
            mean = sum(read) / max(1, len(read))
            print(f"  {name}: {len(read)} of {len(group)} read, after {mean:.1f} looks; by default {default}")
            read_by_app, read_by_default = read_by_app + len(read), read_by_default + default
            first += len(group)
        ratios["codes read within a round of looks, over those the defaults read"] = round(
            read_by_app / read_by_default, 2
        )
    print(json.dumps({"bench": "scan", "ratios": ratios}))


def groups_of(draw: random.Random) -> dict[str, list[Frame]]:
    """How people hold things: at an angle, far away, slanted, not quite still."""
    labels = {
        "labels at any angle": [Held(draw.uniform(3, 6), 36 * n) for n in range(10)],
        "small labels": [Held(1.8 + n / 10, draw.uniform(-30, 30)) for n in range(6)],
        "slanted labels": [Held(3.5, draw.uniform(-30, 30), tilt=0.05 * n) for n in range(1, 5)],
        "blurred labels": [Held(4, draw.uniform(-30, 30), blur_px=0.9 + n * 0.3) for n in range(4)],
    }
    bars = [Held(m, t) for m, t in ((2, 0), (2.5, 8), (3, -12), (2, 90), (2.5, 272))]
    dots = [Held(m, t) for m, t in ((3, 0), (4, 20), (5, 45), (6, 80), (4, 200))]
    linear = [name for name in BARS if name != "Data Matrix"]
    return {
        **{name: [label_frame(draw, n, held) for n, held in enumerate(helds)] for name, helds in labels.items()},
        "bar codes": [bar_frame(draw, name, held) for name in linear for held in bars],
        "data matrix": [bar_frame(draw, "Data Matrix", held) for held in dots],
    }


def ratio(cdp: CDPSession, page: Page, first: int, last: int) -> float:
    """How many times as much the engine's defaults cost, over whole rounds of looks."""
    last = first + (last - first) // LOOKS * LOOKS

    def seconds(way: str) -> float:
        before = thread_s(cdp)
        page.evaluate(way, [first, last])
        return thread_s(cdp) - before

    took = [(seconds(BY_DEFAULT), seconds(BY_APP)) for _ in range(ROUNDS + 1)][1:]
    whole, ours = (statistics.median(t[n] for t in took) * 1000 / (last - first) for n in range(2))
    print(f"  {whole:.1f} ms of processor by default, {ours:.1f} by the app, a frame")
    return round(statistics.median(default / app for default, app in took), 1)


def thread_s(cdp: CDPSession) -> float:
    metrics = {m["name"]: m["value"] for m in cdp.send("Performance.getMetrics")["metrics"]}
    return metrics["ThreadTime"]


@contextmanager
def opened(folder: Path, frames: list[Frame]) -> Iterator[Page]:
    """An empty page that has the built reader and the frames."""
    pwa = REPOSITORY / "pwa"
    ensure_packages(pwa)
    npm, environment = npm_command()
    node = [*npm, "exec", "--", "node", "--input-type=module", "--eval", BUILD]
    subprocess.run([*node, str(pwa / "src/device/reader.ts"), str(folder)], cwd=pwa, env=environment, check=True)
    types = {".js": "text/javascript", ".wasm": "application/wasm"}

    def serve(route: Route) -> None:
        path = route.request.url.removeprefix(ORIGIN)
        if path == "/":
            route.fulfill(body="<!doctype html><title>bench</title>", content_type="text/html")
        elif path.startswith("/frame/"):
            route.fulfill(body=png(frames[int(path.rpartition("/")[2])]), content_type="image/png")
        else:
            file = folder / path[1:]
            route.fulfill(path=file, content_type=types[file.suffix])

    chromium = find_chromium()
    assert chromium is not None, "this needs a Chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium.path, args=_ARGUMENTS)
        page = browser.new_page()
        page.route("**/*", serve)
        page.goto(f"{ORIGIN}/")
        page.evaluate(SET_UP, len(frames))
        yield page
        browser.close()


def png(frame: Frame) -> bytes:
    packed = io.BytesIO()
    frame.picture.save(packed, "PNG", compress_level=1)
    return packed.getvalue()


if __name__ == "__main__":
    main()
