"""What cards and documents may contain (F7). Unknown members are refused: what is not named here is not kept."""

import re
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta, Struct

from traymark.events.field_types import is_code, is_text
from traymark.events.texts import MOST_CHARACTERS, TEXT, is_named_by
from traymark.refused import Refused
from traymark.rules.form import FormFault
from traymark.rules.procedure_check import check_procedure
from traymark.rules.settings import settings_faults
from traymark.tables import table

Line = Annotated[str, Meta(max_length=200)]
Digits = Annotated[str, Meta(max_length=40, pattern=r"^[0-9A-Za-z /-]*\Z")]

CARD_KINDS = frozenset({"contact", "device", TEXT})

_IDS = {
    "contact": re.compile(r"[a-z0-9]{20}"),
    "device": re.compile(r"[a-z0-9]{20}"),
    TEXT: re.compile(r"[0-9a-f]{64}"),
    "settings": re.compile(r"shop"),
    "staff": re.compile(r"staff:W[0-9A-HJKMNP-TV-Z]{3}"),
    "catalogue": re.compile(r"catalogue"),
    "procedure": re.compile(r"procedure:[a-z][a-z0-9_-]{0,39}\.[1-9][0-9]{0,6}"),
}


class Contact(Struct, frozen=True, forbid_unknown_fields=True):
    """How to reach a customer."""

    name: Line
    phone: Line = ""
    mail: Line = ""


class Device(Struct, frozen=True, forbid_unknown_fields=True):
    """The identity of a device. The IMEI's check digit was tested when it was scanned or typed."""

    imei: Digits = ""
    serial: Line = ""
    model: Line = ""


class FreeText(Struct, frozen=True, forbid_unknown_fields=True):
    """What a person wrote freely (F7.9)."""

    of: str
    salt: Annotated[str, Meta(pattern=r"^[0-9A-HJKMNP-TV-Z]{26}\Z")]
    text: str


class Staff(Struct, frozen=True, forbid_unknown_fields=True):
    """A person who may sign on, and what a badge is compared with."""

    name: Annotated[str, Meta(min_length=1, max_length=80)]
    role: Literal["counter", "bench", "shipping", "lead"]
    badge_salt: Annotated[str, Meta(max_length=64)]
    badge_hash: Annotated[str, Meta(pattern=r"^[0-9a-f]{64}\Z")]


_FORMS: dict[str, Any] = {
    "contact": Contact,
    "device": Device,
    TEXT: FreeText,
    "staff": Staff,
    "catalogue": dict[str, Any],
}


def check_doc(id_: str, kind: str, body: object) -> Refused | None:
    """Whether this may be kept under this id. A null body erases, which a procedure's revision does not allow.

    `bad-field`; `bad-setting`; `revision-stands`; `procedure-unsound` with `faults`, each {slug, step, detail}.
    """
    pattern = _IDS.get(kind)
    if pattern is None:
        return Refused("bad-field", "There is no such kind of card or document.", (("bad-field", "/kind"),))
    if pattern.fullmatch(id_) is None:
        return Refused("bad-field", "This id does not belong to this kind.", (("bad-field", "/id"),))
    if body is None:
        return Refused("revision-stands") if kind == "procedure" else None
    if kind == "procedure":
        return _check_procedure(id_, body)
    if kind == "settings":
        return _check_settings(body)
    try:
        read = msgspec.convert(body, _FORMS[kind], strict=True)
    except msgspec.ValidationError as error:
        return Refused("bad-field", pointers=(("bad-field", "/body" + pointer_of(str(error))),))
    return _check_text(id_, read) if isinstance(read, FreeText) else None


def _check_text(id_: str, read: FreeText) -> Refused | None:
    """A text is what its id says, and so never another one."""
    if not is_code(read.of):
        return Refused("bad-field", pointers=(("bad-field", "/body/of"),))
    if not is_text(read.text, MOST_CHARACTERS):
        return Refused("bad-field", pointers=(("bad-field", "/body/text"),))
    if not is_named_by(id_, msgspec.structs.asdict(read)):
        return Refused("bad-field", "This text is not the one its id names.", (("bad-field", "/id"),))
    return None


def _check_settings(body: object) -> Refused | None:
    """No setting that screens cannot use reaches a station."""
    faults = settings_faults(body)
    if not faults:
        return None
    pointers = tuple(("bad-setting", f"/body{fault.pointer}") for fault in faults)
    return Refused("bad-setting", " ".join(map(_setting_words, faults)), pointers)


def _setting_words(fault: FormFault) -> str:
    """For a person: `Time zone must be the name of a time zone, such as Europe/Lisbon.`"""
    name = fault.pointer.removeprefix("/").replace("/", ", ").replace("_", " ") or "the document"
    return f"{name[0].upper()}{name[1:]} {fault.what}."


def _check_procedure(id_: str, body: object) -> Refused | None:
    """No unsound procedure reaches a bench (F7.5)."""
    faults = check_procedure(body)
    if faults:
        first = table("procedure_faults")["faults"][faults[0].slug]["title"]
        return Refused(
            "procedure-unsound", f"{first}: {faults[0].detail}", extra={"faults": [f._asdict() for f in faults]}
        )
    named: Any = body
    if id_ != f"procedure:{named['id']}.{named['rev']}":
        return Refused("bad-field", "The id does not name this procedure and revision.", (("bad-field", "/id"),))
    return None


def pointer_of(message: str) -> str:
    """The JSON Pointer of what a msgspec message names as `$.a[0].b`; empty for the whole value."""
    match = re.search(r"`\$(.*?)`$", message)
    unknown = re.search(r"contains unknown field `(.*?)`", message) or re.search(
        r"missing required field `(.*?)`", message
    )
    path = re.sub(r"\[(\d+)\]", r".\1", match[1]) if match else ""
    tokens = [*path.split(".")[1:], *([unknown[1]] if unknown else [])]
    return "".join("/" + t[:60].replace("~", "~0").replace("/", "~1") for t in tokens)
