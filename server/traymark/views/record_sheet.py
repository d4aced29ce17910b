"""What stands on the paper of a repair record, and what it is made from."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Literal

Record = dict[str, Any]
Sign = Literal["done", "warn", "stop", "under_way"]


@dataclass(frozen=True)
class Known:
    """What a record is made from besides the job itself. Times are read on the shop's clock."""

    code: str
    job: Record
    settings: Record
    procedure: Record | None
    thing: Callable[[str], Record | None]
    staff_name: Callable[[str | None], str]
    station_name: Callable[[str], str]
    straps: Callable[[str], list[Record]]
    mats: Callable[[str], list[Record]]


@dataclass(frozen=True)
class Row:
    """A line of the comparison: a point, its three results as (slug, word), and what they say together."""

    name: str
    results: tuple[tuple[str, str], ...]
    fails: bool
    says: str
    not_shown: bool
    """The lock barred it, so it has no outcome at any stage."""
    lacking: bool
    """The model has none of it."""


@dataclass(frozen=True)
class Drawn:
    """A mark over a photo, as in `photo.marked`, with its number."""

    number: int
    mark: Record


@dataclass(frozen=True)
class Photo:
    """A photo with its caption and what is drawn over it."""

    sha256: str
    caption: str
    marks: tuple[Drawn, ...]


@dataclass(frozen=True)
class Part:
    """A heading with pairs of facts and paragraphs."""

    title: str
    facts: tuple[tuple[str, str], ...] = ()
    lines: tuple[str, ...] = ()
    is_list: bool = False
    """Many short pairs, set small."""


@dataclass(frozen=True)
class Sheet:
    """All that stands on the paper."""

    title: str
    shop: str
    contact: str
    sign: Sign
    outcome: str
    reason: str
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    parts: tuple[Part, ...]
    rows: tuple[Row, ...]
    alike: tuple[tuple[str, str], ...]
    """Points that need no line of their own: what is said of all of them, and their names."""
    rounds: Part | None
    """Earlier rounds of the final test."""
    photos: tuple[Photo, ...]
    foot: str
    long: tuple[Part, ...] = field(default=())
