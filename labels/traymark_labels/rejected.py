"""The answer "no" to bad input: a slug of problems.json and the details of this occurrence."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Rejected:
    """Why something was not read or drawn. `pointer` is the JSON Pointer of the faulty field, where there is one."""

    slug: str
    detail: str = ""
    pointer: str = ""
