"""What a colour reading should say, by another way than the app's (pwa/src/rules/colour.ts, shared/colour.json).

The colour science (light to CIELAB, CIEDE2000, hue) is the library coloraide's, by other people, with more digits in
its matrices and its own white; so numbers agree to a few hundredths, and verdicts everywhere but on a limit. What the
table itself counts (clipped and dark pixels, the middle eight tenths, spans to the limits) is written out here again.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import floor
from typing import NamedTuple

from coloraide import Color

from traymark.tables import table

Rgb = tuple[int, int, int]
Linear = tuple[float, float, float]


class Lab(NamedTuple):
    """CIELAB by the white D65."""

    lightness: float
    a: float
    b: float


class Disc(NamedTuple):
    """A place on a photo, in thousandths: across of its width, down of its height, radius of its longer side."""

    x_pm: int
    y_pm: int
    r_pm: int


@dataclass(frozen=True)
class Patch:
    """What the pixels of a disc have in common."""

    pixels: int
    clipped_pm: int
    dark_pm: int
    uneven_pm: int
    mean: Linear


@dataclass(frozen=True)
class Reading:
    """The advice. Difference and hue are there when there was something to measure."""

    verdict: str
    sure_pm: int
    reason: str | None
    de00_centi: int | None
    hue_deg: int | None


def read_indicator(indicator: Sequence[Rgb], reference: Sequence[Rgb]) -> Reading:
    """The reading of two lists of pixels."""
    seen, white = patch_of(indicator), patch_of(reference)
    reason = _unusable(seen, white)
    if reason is not None:
        return Reading("cannot_tell", 0, reason, None, None)
    balanced = (seen.mean[0] / white.mean[0], seen.mean[1] / white.mean[1], seen.mean[2] / white.mean[2])
    lab = lab_of(balanced)
    de00_centi = floor(ciede2000(lab, Lab(lab.lightness, 0.0, 0.0)) * 100 + 0.5)
    hue_deg = floor(_hue(lab) + 0.5) % 360
    return judge(de00_centi, hue_deg)


def judge(de00_centi: int, hue_deg: int) -> Reading:
    """The verdict on a difference and a hue, and how far both are from the limits. Whole numbers only."""
    untouched, tripped, span = limit("untouched_below"), limit("tripped_from"), limit("sure_span")
    if de00_centi < untouched:
        return Reading("untouched", _sure([(untouched - de00_centi, span)]), None, de00_centi, hue_deg)
    inside = _inside_red(hue_deg)
    if inside < 0:
        return Reading("cannot_tell", 0, "other_colour", de00_centi, hue_deg)
    hue = (inside, limit("sure_hue_span"))
    if de00_centi >= tripped:
        return Reading("tripped", _sure([(de00_centi - tripped, span), hue]), None, de00_centi, hue_deg)
    nearest = min(de00_centi - untouched, tripped - de00_centi)
    return Reading("tinged", _sure([(nearest, span), hue]), None, de00_centi, hue_deg)


def disc_pixels(width: int, height: int, disc: Disc) -> list[tuple[int, int]]:
    """The pixels (column, row) whose middle lies in the disc, row by row. Whole numbers only: a unit is 1/2000 px."""
    middle_x, middle_y = disc.x_pm * width * 2, disc.y_pm * height * 2
    radius = disc.r_pm * max(width, height) * 2
    found: list[tuple[int, int]] = []
    for row in range(max(0, (middle_y - radius) // 2000), min(height, (middle_y + radius) // 2000 + 1)):
        down = row * 2000 + 1000 - middle_y
        for column in range(max(0, (middle_x - radius) // 2000), min(width, (middle_x + radius) // 2000 + 1)):
            across = column * 2000 + 1000 - middle_x
            if across * across + down * down <= radius * radius:
                found.append((column, row))
    return found


def patch_of(pixels: Sequence[Rgb]) -> Patch:
    """Clipped and dark pixels are counted and left out; the rest is averaged without its darkest and brightest."""
    clipped_at, dark_at = limit("clipped_at"), limit("dark_at")
    clipped = sum(max(p) >= clipped_at for p in pixels)
    dark = sum(max(p) <= dark_at for p in pixels)
    usable = sorted((_brightness(p), *p) for p in pixels if dark_at < max(p) < clipped_at)
    cut = len(usable) * limit("trim") // 1000
    kept = usable[cut : len(usable) - cut]
    if not kept:
        return Patch(len(pixels), _share(clipped, len(pixels)), _share(dark, len(pixels)), 0, (0.0, 0.0, 0.0))
    half = len(kept) // 2
    low = sum(k[0] for k in kept[:half])
    high = sum(k[0] for k in kept[len(kept) - half :])
    mean = (
        sum(LINEAR[k[1]] for k in kept) / len(kept),
        sum(LINEAR[k[2]] for k in kept) / len(kept),
        sum(LINEAR[k[3]] for k in kept) / len(kept),
    )
    uneven = 0 if high == 0 else 1000 - _share(low, high)
    return Patch(len(pixels), _share(clipped, len(pixels)), _share(dark, len(pixels)), uneven, mean)


def lab_of(linear: Linear) -> Lab:
    """Linear sRGB, 1 being white, as CIELAB D65."""
    return Lab(*Color("srgb-linear", linear).convert("lab-d65").coords())


def ciede2000(one: Lab, two: Lab) -> float:
    """CIEDE2000 colour difference, all parametric factors 1."""
    return Color("lab-d65", one).delta_e(Color("lab-d65", two), method="2000")


def limit(name: str) -> int:
    """A limit of shared/colour.json."""
    return int(table("colour")["limits"][name]["value"])


def sure_word(sure_pm: int) -> str:
    """How sure, in a plain word."""
    return next(str(row["word"]) for row in table("colour")["sure_words"] if sure_pm >= row["from_pm"])


def _linear(level: int) -> int:
    """An 8-bit level in linear light, in ten-millionths of white."""
    return floor(Color("srgb", [level / 255, 0, 0]).convert("srgb-linear")[0] * 10_000_000 + 0.5)


LINEAR = tuple(_linear(level) for level in range(256))


def _brightness(pixel: Rgb) -> int:
    """Luminance in whole millionths of white."""
    return (2126 * LINEAR[pixel[0]] + 7152 * LINEAR[pixel[1]] + 722 * LINEAR[pixel[2]]) // 100_000


def _share(part: int, whole: int) -> int:
    """In thousandths, rounded down; of nothing, 0."""
    return 0 if whole == 0 else part * 1000 // whole


def _unusable(seen: Patch, white: Patch) -> str | None:
    """The first reason for which nothing can be said, in the order of the table."""
    gates: tuple[tuple[str, Callable[[Patch], bool]], ...] = (
        ("small", lambda patch: patch.pixels < limit("pixels_min")),
        ("glare", lambda patch: patch.clipped_pm > limit("clipped_max")),
        ("dark", lambda patch: patch.dark_pm > limit("dark_max")),
        ("uneven", lambda patch: patch.uneven_pm > limit("uneven_max")),
    )
    for gate, fails in gates:
        if fails(seen):
            return gate
        if fails(white):
            return f"reference_{gate}"
    return None if _is_white(white.mean) else "reference_coloured"


def _is_white(mean: Linear) -> bool:
    """Whether white under some usual lamp can look like this, at any brightness."""
    r, g, b = mean
    luminance = 0.2126 * r + 0.7152 * g + 0.0722 * b
    lab = lab_of((r / luminance, g / luminance, b / luminance))
    return abs(lab.a) <= limit("reference_red_green_max") and abs(lab.b) <= limit("reference_yellow_blue_max")


def _sure(distances: list[tuple[int, int]]) -> int:
    """From the least sure on a limit to the most a span away from it; the nearest limit counts."""
    least, most = limit("sure_least"), limit("sure_most")
    return min(least + (most - least) * min(distance, span) // span for distance, span in distances)


def _inside_red(hue_deg: int) -> int:
    """Degrees to the nearer end of the range of red hues; below zero outside of it."""
    start = limit("hue_from")
    width = (limit("hue_to") - start) % 360
    past = (hue_deg - start) % 360
    return min(past, width - past)


def _hue(lab: Lab) -> float:
    """Degrees from 0 up to 360; of a neutral colour 0."""
    return Color("lab-d65", lab).convert("lch-d65").get("hue", nans=False)
