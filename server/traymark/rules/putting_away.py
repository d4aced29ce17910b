"""What may be put away (F5.14): what is over, and of which nothing is open."""

from collections.abc import Callable
from typing import Any, cast

from traymark.fold.records_gen import Box, Job, Thing
from traymark.tables import table

DAY_MS = 86_400_000

ThingOf = Callable[[str], Thing | None]
"""The live thing of a code."""
IsOver = Callable[[str], bool]
"""Whether the box of a code is over: put away, or shipped so long ago that nothing more is expected of it."""


def days_of(settings: dict[str, Any]) -> int:
    """For how many days nothing may have been heard of a job before it is put away."""
    rule = table("putting_away")
    days = settings.get(rule["setting"])
    return days if isinstance(days, int) else rule["default_days"]


def box_days() -> int:
    """For how many days nothing may have been heard of a box that was shipped."""
    return cast(int, table("putting_away")["box_days"])


def closed_things(code: str, job: Job, thing_of: ThingOf, is_over: IsOver) -> list[str] | None:
    """The things that go away with a job; None while anything of it is open.

    A device that a later job has taken over stays, and so does a part that went on to another job.
    """
    if not _has_left(job, thing_of) or not _is_looked_at(job) or job["incidents"].keys() - job["settlements"].keys():
        return None
    things: list[str] = []
    for name in [*([job["device"]] if job["device"] else []), *job["parts"], *job["cores"]]:
        thing = thing_of(name)
        if thing is None or thing["job"] != code:
            continue
        if not is_closed(thing, is_over, code):
            return None
        things.append(name)
    return things


def is_closed(thing: Thing, is_over: IsOver, job: str | None = None) -> bool:
    """Whether a thing is at one place, and out of the shop there, in a box that is over, or in its own job."""
    places = {head["to"] for head in thing["heads"].values()}
    if len(places) != 1 or not _is_looked_at(thing):
        return False
    place = places.pop()
    return place == job or place in table("putting_away")["gone"] or (place.startswith("B") and is_over(place))


def is_box_closed(box: Box) -> bool:
    """Whether a box was shipped, with no finding that a lead has not seen."""
    return box["shipped"] is not None and _is_looked_at(box)


def _has_left(job: Job, thing_of: ThingOf) -> bool:
    """Handed over, or taken away for disposal, which ends a job as well."""
    device = thing_of(job["device"]) if job["device"] else None
    heads = device["heads"].values() if device else ()
    return job["stage"] == "handed_over" or any(head["to"] == "recycler" for head in heads)


def _is_looked_at(record: Job | Thing | Box) -> bool:
    return len(record["findings"]) <= (record["seen"] or 0)
