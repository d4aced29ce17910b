"""The contents of a repair record, and what it is made from. The app makes the same (shared/vectors/record)."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from traymark.fold.records_gen import Job, JobPhotoMarks, Thing

Sign = Literal["done", "warn", "stop", "under_way"]
Fact = tuple[str, str]
"""What is stated, and what about it."""


@dataclass(frozen=True)
class Known:
    """What a record is made from: the job, and what the shop knows of everything it names."""

    code: str
    job: Job
    doc: Callable[[str], dict[str, Any] | None]
    """The body of a document (F7)."""
    job_of: Callable[[str], Job | None]
    thing: Callable[[str], Thing | None]


@dataclass(frozen=True)
class Row:
    """A line of the comparison: a point, its results at intake, with the new part and at the end, and what they say."""

    name: str
    results: tuple[str, str, str]
    fails: bool
    says: str


@dataclass(frozen=True)
class Drawn:
    """A mark over a photo, as in `photo.marked`, with its number."""

    number: int
    mark: JobPhotoMarks


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
    facts: tuple[Fact, ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """Everything on the record, in this order."""

    title: str
    shop: str
    contact: str
    sign: Sign
    outcome: str
    reason: tuple[str, ...]
    facts: tuple[Fact, ...]
    cautions: tuple[str, ...]
    parts: tuple[Part, ...]
    rows: tuple[Row, ...]
    alike: tuple[Fact, ...]
    """Points that need no line of their own: what holds for all of them, and their names."""
    rounds: Part | None
    """Earlier rounds of the final test."""
    photos: tuple[Photo, ...]
    long: tuple[Part, ...]
    """What only the shop's form has; every entry comes last."""
    foot: str
