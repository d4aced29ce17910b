"""The label kinds of shared/labels.json as frozen values. Lengths are whole micrometres, never dots."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal, NamedTuple

Level = Literal["L", "M", "Q", "H"]


class Box(NamedTuple):
    """A rectangle with its upper left corner; in micrometres here, in dots after layout."""

    left: int
    top: int
    width: int
    height: int


@dataclass(frozen=True)
class SymbolPlace:
    """What a symbol encodes, and its box including the quiet zone."""

    payload: Literal["code", "url", "badge"]
    versions: tuple[int, int]
    level: Level
    quiet_modules: int
    least_module_um: int
    box: Box

    @property
    def is_fixed(self) -> bool:
        """Fixed symbols keep version and level; others take the smallest version, then the highest level that fits."""
        return self.versions[0] == self.versions[1]


@dataclass(frozen=True)
class Field:
    """A field of a label, and what it may contain."""

    type: Literal["code", "badge", "url", "text", "int", "choice"]
    required: bool
    letter: str
    most: int
    words: Mapping[str, str]
    default: str | None


@dataclass(frozen=True)
class TextItem:
    """Text in a box, at most `size` high; it shrinks down to `least` before it is cut."""

    parts: tuple[str, ...]
    when: str | None
    box: Box
    size: int
    least: int
    weight: Literal["regular", "bold"]
    align: Literal["left", "right"]
    lines: int
    caps: bool
    group: str | None
    white: bool


@dataclass(frozen=True)
class RuleItem:
    """A black rectangle."""

    when: str | None
    box: Box


Item = TextItem | RuleItem


@dataclass(frozen=True)
class LabelKind:
    """One kind of label."""

    id: str
    name: str
    width_mm: int
    height_mm: int
    media: str
    symbol: SymbolPlace
    fields: Mapping[str, Field]
    items: tuple[Item, ...]


@cache
def label_kinds() -> Mapping[str, LabelKind]:
    """Every label kind by its id."""
    return MappingProxyType({name: _kind(name, row) for name, row in _table("labels")["kinds"].items()})


@cache
def dots_per_um() -> Mapping[int, Fraction]:
    """Dots per micrometre by the name of a resolution.

    Printers sold as 203 dpi have 8 dots to the millimetre, which is 203.2 an inch: drawn at 203, a label of 100 mm
    would end 0.8 dots early. 300 and 600 are dots per inch exactly.
    """
    rows: Mapping[str, Mapping[str, int]] = _table("labels")["resolutions"]
    return MappingProxyType({int(dpi): Fraction(row["dots"], row["per_um"]) for dpi, row in rows.items()})


@cache
def _table(name: str) -> Any:
    return json.loads((_shared_dir() / f"{name}.json").read_text(encoding="utf-8"))


def _shared_dir() -> Path:
    """When installed, the tables are in the server's package, which is located but not imported."""
    server = find_spec("traymark")
    installed = [Path(place) / "shared" for place in (server and server.submodule_search_locations) or ()]
    for folder in (*installed, Path(__file__).resolve().parents[2] / "shared"):
        if (folder / "labels.json").is_file():
            return folder
    raise FileNotFoundError("shared/labels.json")


def _kind(name: str, row: Any) -> LabelKind:
    return LabelKind(
        name,
        row["name"],
        row["width_mm"],
        row["height_mm"],
        row["media"],
        _symbol(row["symbol"]),
        MappingProxyType({key: _field(field) for key, field in row["fields"].items()}),
        tuple(_item(item) for item in row["items"]),
    )


def _symbol(row: Any) -> SymbolPlace:
    first, last = row["versions"] if "versions" in row else (row["version"], row["version"])
    box = Box(*row["box_um"])
    return SymbolPlace(row["payload"], (first, last), row["level"], row["quiet_modules"], row["least_module_um"], box)


def _field(row: Any) -> Field:
    most = row.get("max", row.get("most", 0))
    words = MappingProxyType(row.get("words") or _words_of(row.get("words_of")))
    return Field(row["type"], row["required"], row.get("letter", ""), most, words, row.get("default"))


def _words_of(enum: str | None) -> dict[str, str]:
    """The words of the values of an enumeration, each beginning with a capital."""
    words: dict[str, str] = {} if enum is None else _table("words")["values"][enum]
    return {value: word[:1].upper() + word[1:] for value, word in words.items()}


def _item(row: Any) -> Item:
    box = Box(*row["box_um"])
    if row["draw"] == "rule":
        return RuleItem(row.get("when"), box)
    return TextItem(
        tuple(row["parts"]),
        row.get("when"),
        box,
        row["size_um"],
        row["least_um"],
        row["weight"],
        row.get("align", "left"),
        row.get("lines", 1),
        row.get("caps", False),
        row.get("group"),
        row.get("white", False),
    )
