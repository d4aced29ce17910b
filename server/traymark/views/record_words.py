"""Words, names and moments as a repair record says them."""

import re
from collections.abc import Mapping
from typing import cast

from traymark.tables import table
from traymark.views.record_sheet import Known, Record
from traymark.views.ticket_page import moment_text


def words(name: str) -> dict[str, str]:
    return cast("dict[str, str]", table("record")[name])


def point_name(point: str) -> str:
    return str(table("test_points")["points"].get(point, {}).get("name", point))


def group_names(known: Known) -> Mapping[str, str]:
    groups = cast("list[Record]", [] if known.procedure is None else known.procedure.get("fasteners", []))
    return {str(group["id"]): str(group["name"]) for group in groups}


def procedure_title(known: Known) -> str:
    return "Repaired" if known.procedure is None else str(known.procedure.get("title") or "Repaired")


def entry_word(name: str, value: str) -> str:
    """A value of a named enumeration of events.json, as an entry of the log is read."""
    if name == "stop_reason":
        return str(table("stages")["stop_reasons"].get(value, {"name": value})["name"])
    entries = table("record")["channels"] if name == "channel" else table("record")["entries"].get(name, {})
    return str(entries.get(value, value.replace("_", " ")))


def told_words(what: str) -> str:
    """What the customer was told. A number behind it tells one time from another."""
    kind, _, reason = re.sub(r"-[0-9]+$", "", what).partition("-")
    if kind == "stop" and reason in table("stages")["stop_reasons"]:
        name = str(table("stages")["stop_reasons"][reason]["name"])
        return words("told")["stop"].format(reason=name[:1].lower() + name[1:])
    return words("told").get(kind, what.replace("-", " ").replace("_", " "))


def problem_title(slug: str) -> str:
    return str(table("problems")["problems"].get(slug, {"title": slug})["title"])


def by(known: Known, stamp: Record) -> str:
    return f"{known.staff_name(stamp['staff'])}, {when(known, stamp['at_ms'])}"


def when(known: Known, at_ms: int) -> str:
    return moment_text(at_ms, str(known.settings.get("time_zone") or ""))


def day(known: Known, at_ms: int) -> str:
    return when(known, at_ms).partition(",")[0]


def grouped(code: str) -> str:
    return f"{code[:5]} {code[5:]}"
