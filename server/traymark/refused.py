"""The answer "no": a slug of problems.json and what this occurrence adds to it."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Refused:
    """Why something was not done. `pointers` are JSON Pointers to faulty fields, each with the slug of its fault."""

    slug: str
    detail: str = ""
    pointers: tuple[tuple[str, str], ...] = ()
    extra: dict[str, object] = field(default_factory=dict[str, object])
    retry_after_s: int | None = None
