"""Words, names and moments as a repair record writes them."""

import re
from datetime import UTC, datetime
from typing import Any, cast

from traymark.fold.records_gen import JobLosses, Stamp
from traymark.rules.locked import barred_points
from traymark.rules.zone import zone_of
from traymark.tables import table
from traymark.views.record_sheet import Known

_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
# 9999-12-30, the last day that still has a next day in every time zone.
_LAST_MS = 253_402_128_000_000


def words(name: str) -> dict[str, str]:
    """A part of record.json."""
    return cast("dict[str, str]", table("record")[name])


def heading(name: str) -> str:
    return words("headings")[name]


def line(name: str, /, **gaps: object) -> str:
    """A line of record.json with its gaps filled."""
    return words("lines")[name].format(**gaps)


def upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def plain(slug: str) -> str:
    """A slug, spelt out."""
    return re.sub(r"[._-]", " ", slug)


def grouped(code: str) -> str:
    return f"{code[:5]} {code[5:]}"


def value_word(enum: str, value: str) -> str:
    """The word of a value of an enumeration (words.json), as it reads inside a sentence."""
    if enum == "stop_reason":
        return stop_name(value)
    return str(table("words")["values"].get(enum, {}).get(value, plain(value)))


def result_word(result: str) -> str:
    """The result of a test in words, and `none` where there was no test."""
    return line("not_tested") if result == "none" else value_word("test_result", result)


def because_words(point: str, because: str | None) -> str:
    """Why a point was not tested, or is against closing; of one that the lock bars also how."""
    if because is None:
        return ""
    said = value_word("because", because)
    barred = barred_points().get(point) if because == "locked" else None
    return said if barred is None else f"{said}. {barred}"


def stop_name(reason: str) -> str:
    return str(table("stages")["stop_reasons"].get(reason, {"name": plain(reason)})["name"])


def told_words(what: str) -> str:
    """What the customer was told. A number at its end tells one occasion from another."""
    kind = re.sub(r"-[0-9]+$", "", what)
    if kind.startswith("stop-"):
        return words("told")["stop"].format(reason=lower(stop_name(kind.removeprefix("stop-"))))
    return words("told").get(kind, plain(kind))


def problem_title(slug: str) -> str:
    return str(table("problems")["problems"].get(slug, {"title": slug})["title"])


def point_name(point: str) -> str:
    return str(table("test_points")["points"].get(point, {}).get("name", point))


def point_names(points: list[str]) -> str:
    return ", ".join(map(point_name, points))


def text_of(known: Known, id_: str | None) -> str:
    """What a person wrote (F7.9); empty where nothing was written."""
    if id_ is None:
        return ""
    body = known.doc(id_)
    return line("no_text") if body is None else str(body["text"])


def settings(known: Known) -> dict[str, Any]:
    return known.doc("shop") or {}


def text_setting(known: Known, name: str) -> str:
    """A setting that is text; empty where it is missing or is not text."""
    value = settings(known).get(name)
    return value if isinstance(value, str) else ""


def staff_name(known: Known, staff: str | None) -> str:
    if staff is None:
        return line("nobody")
    return str((known.doc(f"staff:{staff}") or {}).get("name", staff))


def station_name(known: Known, station: str) -> str:
    name = str((known.doc(f"station:{station}") or {}).get("name", station))
    return line("station", id=station) if name == station else f"{name} ({station})"


def supplier_name(known: Known, supplier: str) -> str:
    suppliers = cast("list[dict[str, str]]", (known.doc("catalogue") or {}).get("suppliers", []))
    return next((row["name"] for row in suppliers if row.get("id") == supplier), supplier)


def procedure_of(known: Known, id_: str | None, revision: int | None) -> dict[str, Any] | None:
    """A procedure in one revision, which never changes (F7.4)."""
    return None if id_ is None or revision is None else known.doc(f"procedure:{id_}.{revision}")


def name_in(known: Known, rows: str, id_: str, unknown: str) -> str:
    """The name of a fastener group or a connector in the procedure that the job follows."""
    followed = procedure_of(known, known.job["procedure"], known.job["revision"]) or {}
    return next((str(row["name"]) for row in followed.get(rows, []) if row["id"] == id_), unknown)


def loss_words(known: Known, loss: JobLosses) -> str:
    """One loss in one line."""
    if not loss["replaced"]:
        again = line("not_replaced")
    elif loss["replaced_by"]:
        again = line("replaced_by", count=loss["replaced"], what=loss["replaced_by"])
    else:
        again = line("replaced", count=loss["replaced"])
    group = name_in(known, "fasteners", loss["group"], line("screw"))
    return line("loss", count=loss["count"], group=group, what=value_word("loss", loss["what"]), again=again)


def by(known: Known, stamp: Stamp) -> str:
    return f"{staff_name(known, stamp['staff'])}, {moment(known, stamp['at_ms'])}"


def moment(known: Known, at_ms: int) -> str:
    """A moment on the shop's clock, such as `26 November 2026, 17:30`; without a zone in UTC, and says so."""
    zone = zone_of(text_setting(known, "time_zone"))
    if at_ms > _LAST_MS:
        return line("later")
    at = datetime.fromtimestamp(at_ms // 1000, tz=zone or UTC)
    said = line("moment", day=_day(at), time=f"{at.hour:02}:{at.minute:02}")
    return line("no_zone", moment=said) if zone is None else said


def day(known: Known, at_ms: int) -> str:
    """The calendar day of a moment on the shop's clock."""
    if at_ms > _LAST_MS:
        return line("later")
    return _day(datetime.fromtimestamp(at_ms // 1000, tz=zone_of(text_setting(known, "time_zone")) or UTC))


def _day(at: datetime) -> str:
    return f"{at.day} {_MONTHS[at.month - 1]} {at.year}"
