"""How often the colour reading of an indicator (shared/colour.json) is right on made-up photos, light by light.

A photo is a small picture: a board, an indicator, white paper beside it, under one lamp. The indicator's dye goes from
nothing to full as layers of ink do (each layer takes the same share of the light). What counts as right: no dye at
all is untouched, 8 to 30 per cent is tinged, from 60 per cent is tripped; between those no person would swear either.
Lamp, shadow, sensor noise, blur, the camera's tone curve and JPEG are made up too: the figures show how the rule holds
against those and say nothing of real devices, for which there are no photos here.

    python tests/bench/bench_colour.py [photos for each condition and class] [seed]

Prints for each condition how many verdicts were right, wrong or withheld, the same by true class, and how often each
word for "how sure" was right. The reading is that of tests/colour_oracle.py, which the vectors hold to the app's.
Nothing is asserted.
"""

import io
import json
import random
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from math import sqrt
from pathlib import Path

from PIL import Image, ImageFilter

sys.path[:0] = [str(Path(__file__).resolve().parents[2] / part) for part in (".", "server")]

from tests.colour_oracle import Disc, Reading, disc_pixels, read_indicator, sure_word

Colour = tuple[float, float, float]

PHOTOS = 40
FAINT = (0.0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08)
SEED = 7
SIZE = (72, 48)
INDICATOR = Disc(280, 500, 150)
REFERENCE = Disc(720, 500, 150)
BOARD: Colour = (0.05, 0.12, 0.07)
DRY: Colour = (0.86, 0.85, 0.82)
WET: Colour = (0.55, 0.06, 0.07)
PAPER: Colour = (0.86, 0.87, 0.88)
CLASSES = {"untouched": (0.0, 0.0), "tinged": (0.08, 0.30), "tripped": (0.60, 1.0)}


@dataclass(frozen=True)
class Light:
    """One condition: the lamp's colour as the camera left it, how bright, and what else goes wrong."""

    lamp: Colour = (1.0, 1.0, 1.0)
    exposure: float = 0.6
    noise: float = 0.006
    shadow: float = 1.0
    gamma: float = 1.0
    glare: float = 0.0
    paper: Colour = PAPER
    slip: float = 0.0


CONDITIONS = {
    "even": Light(),
    "warm": Light(lamp=(1.25, 0.95, 0.60)),
    "very warm": Light(lamp=(1.40, 0.90, 0.42)),
    "cold": Light(lamp=(0.80, 1.00, 1.25)),
    "dim": Light(exposure=0.09, noise=0.012),
    "dim and warm": Light(lamp=(1.25, 0.95, 0.60), exposure=0.09, noise=0.012),
    "in shadow": Light(shadow=0.4),
    "steep tone curve": Light(gamma=1.25),
    "creamy paper": Light(paper=(0.86, 0.82, 0.72)),
    "pink paper": Light(paper=(0.86, 0.62, 0.66)),
    "glare": Light(glare=0.5),
    "disc half beside": Light(slip=0.5),
}


def main(arguments: list[str]) -> None:
    photos = int(arguments[0]) if arguments else PHOTOS
    seed = int(arguments[1]) if len(arguments) > 1 else SEED
    rates: dict[str, dict[str, object]] = {}
    confusion: Counter[tuple[str, str]] = Counter()
    words: Counter[tuple[str, bool]] = Counter()
    reasons: Counter[str] = Counter()
    for name, light in CONDITIONS.items():
        draw = random.Random(f"{seed} {name}")
        answers = [
            (truth, reading_of(draw, light, draw.uniform(*CLASSES[truth]))) for truth in CLASSES for _ in range(photos)
        ]
        rates[name] = rate_of(answers)
        for truth, reading in answers:
            confusion[truth, reading.verdict] += 1
            if reading.reason is not None:
                reasons[reading.reason] += 1
            else:
                words[sure_word(reading.sure_pm), reading.verdict == truth] += 1
    print(f"{3 * photos} photos for each condition, seed {seed}; wrong and withheld count against right")
    for name, rate in rates.items():
        print(f"  {name:18}", json.dumps(rate))
    print("called untouched, by share of dye")
    for name in ("even", "warm", "dim"):
        draw = random.Random(f"{seed} faint {name}")
        dry = {
            f"{dye:.0%}": sum(reading_of(draw, CONDITIONS[name], dye).verdict == "untouched" for _ in range(photos))
            for dye in FAINT
        }
        print(f"  {name:18}", json.dumps(dry), f"of {photos}")
    print("true class -> verdict, all conditions")
    for truth in CLASSES:
        print(f"  {truth:10}", json.dumps({verdict: n for (t, verdict), n in sorted(confusion.items()) if t == truth}))
    print("withheld because", json.dumps(dict(reasons.most_common())))
    print("right when it says")
    for word in dict.fromkeys(word for word, _ in words):
        right, wrong = words[word, True], words[word, False]
        print(f"  {word:12} {right} of {right + wrong} ({100 * right / (right + wrong):.1f} %)")
    print(json.dumps({"bench": "colour", "ratios": shares_of(confusion)}))


def shares_of(confusion: Counter[tuple[str, str]]) -> dict[str, float]:
    """Over all conditions."""
    whole = confusion.total()
    right = sum(confusion[truth, truth] for truth in CLASSES)
    withheld = sum(confusion[truth, "cannot_tell"] for truth in CLASSES)
    shares = {"right": right, "withheld": withheld, "wrong": whole - right - withheld}
    return {name: round(count / whole, 3) for name, count in shares.items()}


def rate_of(answers: list[tuple[str, Reading]]) -> dict[str, object]:
    """Shares in per cent; `dry called wet` and `wet called dry` are what a person would be misled by."""
    right = sum(r.verdict == truth for truth, r in answers)
    withheld = sum(r.verdict == "cannot_tell" for _, r in answers)
    dry_called_wet = sum(truth == "untouched" and r.verdict in ("tinged", "tripped") for truth, r in answers)
    wet_called_dry = sum(truth != "untouched" and r.verdict == "untouched" for truth, r in answers)
    whole = len(answers)
    return {
        "right %": round(100 * right / whole, 1),
        "withheld %": round(100 * withheld / whole, 1),
        "wrong %": round(100 * (whole - right - withheld) / whole, 1),
        "dry called wet": dry_called_wet,
        "wet called dry": wet_called_dry,
    }


def reading_of(draw: random.Random, light: Light, dye: float) -> Reading:
    picture = photo_of(draw, light, dye)
    width, height = picture.size
    pixels = picture.load()
    assert pixels is not None
    place = INDICATOR._replace(x_pm=INDICATOR.x_pm + round(light.slip * 2 * INDICATOR.r_pm))
    seen, white = (
        [tuple(pixels[at])[:3] for at in disc_pixels(width, height, disc)]  # type: ignore[arg-type]
        for disc in (place, REFERENCE)
    )
    return read_indicator(seen, white)  # type: ignore[arg-type]


def photo_of(draw: random.Random, light: Light, dye: float) -> Image.Image:
    """The picture as the app would keep it: eight bits a channel, after JPEG."""
    # No two lamps, papers, indicators or exposures are quite alike.
    lamp = each(lambda c: c * draw.uniform(0.96, 1.04), light.lamp)
    paper = each(lambda c: c * draw.uniform(0.985, 1.015), light.paper)
    dry = each(lambda c: c * draw.uniform(0.985, 1.015), DRY)
    exposure = light.exposure * draw.uniform(0.85, 1.15)
    shadow = light.shadow * draw.uniform(0.9, 1.1)
    ink: Colour = (mixed(dry[0], WET[0], dye), mixed(dry[1], WET[1], dye), mixed(dry[2], WET[2], dye))
    inks = surfaces(ink, paper)
    shine = {at for at in inside(INDICATOR) if at[1] < SIZE[1] / 2 and draw.random() < 2 * light.glare}
    picture = Image.new("RGB", SIZE)
    for at in product(range(SIZE[0]), range(SIZE[1])):
        surface = inks.get(at, BOARD)
        here = exposure * (shadow if at[0] < SIZE[0] / 2 else 1.0)
        seen = [here * lamp[c] * surface[c] + (0.9 if at in shine else 0.0) for c in range(3)]
        noisy = [v + draw.gauss(0, light.noise * sqrt(0.2 + v / 0.2)) for v in seen]
        picture.putpixel(at, tuple(level(v, light.gamma) for v in noisy))  # type: ignore[arg-type]
    picture = picture.filter(ImageFilter.GaussianBlur(0.6))
    packed = io.BytesIO()
    picture.save(packed, "JPEG", quality=86)
    return Image.open(io.BytesIO(packed.getvalue())).convert("RGB")


def surfaces(ink: Colour, paper: Colour) -> dict[tuple[int, int], Colour]:
    """What is where, apart from the board: patches a little larger than the discs that mark them."""
    return {at: ink for at in inside(INDICATOR, 20)} | {at: paper for at in inside(REFERENCE, 20)}


def inside(disc: Disc, more: int = 0) -> list[tuple[int, int]]:
    return disc_pixels(*SIZE, disc._replace(r_pm=disc.r_pm + more))


def each(change: Callable[[float], float], colour: Colour) -> Colour:
    return (change(colour[0]), change(colour[1]), change(colour[2]))


def mixed(dry: float, wet: float, dye: float) -> float:
    return dry ** (1 - dye) * wet**dye


def level(linear: float, gamma: float) -> int:
    """Linear light as the camera writes it: sRGB, or steeper."""
    v = min(1.0, max(0.0, linear)) ** gamma
    return round(255 * (12.92 * v if v <= 0.0031308 else 1.055 * v ** (1 / 2.4) - 0.055))


if __name__ == "__main__":
    main(sys.argv[1:])
