"""The answer "no" to input that is not sound: a slug of problems.json and what this occurrence adds to it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Rejected:
    """Why something was not read or drawn. `pointer` is the JSON Pointer of the faulty field, where there is one."""

    slug: str
    detail: str = ""
    pointer: str = ""
