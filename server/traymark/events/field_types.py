"""The field types of F2.5, compiled from their notation in events.json into checks."""

import re
from collections.abc import Callable
from typing import Any, cast

from traymark.tables import enums, places

Check = Callable[[Any], bool]

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_LETTER = "[0-9A-HJKMNP-TV-Z]"
_CODE = re.compile(rf"[JDTPCB]{_LETTER}{{9}}")
_PATTERNS = {
    "slug": re.compile(r"[a-z][a-z0-9_-]{0,39}"),
    "hash": re.compile(r"[0-9a-f]{64}"),
    "photo": re.compile(r"[0-9a-f]{64}"),
    "words": re.compile(r"[0-9a-f]{64}"),
    "event": re.compile(rf"{_LETTER}{{3}}\.[1-9][0-9]{{0,15}}"),
    "ref": re.compile(r"[a-z0-9]{20}"),
    "token": re.compile(rf"{_LETTER}{{26}}"),
    "incarnation": re.compile(rf"{_LETTER}{{3}}"),
}
_BAD_TEXT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]")
_NOTATION = re.compile(r"([a-z_]+)(?:\((.*)\))?")


def check_of(notation: str) -> Check:
    """The check for a type such as `text(80)` or `list(enum(sign),4)`.

    Raises ValueError for a notation that is not F2.5.
    """
    match = _NOTATION.fullmatch(notation)
    if match is None:
        raise ValueError(notation)
    name, arguments = match[1], match[2] or ""
    if name == "list":
        inner, _, most = arguments.rpartition(",")
        return _list_check(check_of(inner), int(most))
    if name == "text":
        return _text_check(int(arguments))
    if name == "int":
        low, high = (int(n) for n in arguments.split(","))
        return lambda v: type(v) is int and low <= v <= high
    if name in ("enum", "enum_of"):
        allowed = frozenset(enums()[arguments] if name == "enum" else arguments.split(","))
        return lambda v: type(v) is str and v in allowed
    if name == "code":
        kinds = arguments.replace(",", "") or "JDTPCB"
        return lambda v: is_code(v) and v[0] in kinds
    if name == "place":
        named = places()
        return lambda v: type(v) is str and (v in named or is_code(v))
    pattern = _PATTERNS.get(name)
    if pattern is None:
        raise ValueError(notation)
    return lambda v: type(v) is str and pattern.fullmatch(v) is not None


def is_code(value: object) -> bool:
    """Whether this has the form of a code (F1.2). Its check character was tested when it was scanned."""
    return type(value) is str and _CODE.fullmatch(value) is not None


def fields_of(fields: dict[str, str], type_: str) -> tuple[str, ...]:
    """The fields of a kind that hold a value, or a list of values, of a type such as `photo`."""
    found = [name for name, notation in fields.items() if re.match(rf"(list\()?{type_}\b", notation)]
    return tuple(name.removesuffix("?") for name in found)


def code_fields(fields: dict[str, str]) -> tuple[tuple[str, bool], ...]:
    """The fields of a kind that can hold codes, each with whether it is a list; for the trace."""
    found: list[tuple[str, bool]] = []
    for name, notation in fields.items():
        plain = name.removesuffix("?")
        if notation.startswith(("code", "place")):
            found.append((plain, False))
        elif notation.startswith("list(code"):
            found.append((plain, True))
    return tuple(found)


def is_text(value: object, most: int) -> bool:
    """Whether this is a text of F2.5, at most so many code points long."""
    return type(value) is str and 0 < len(value) <= most and _BAD_TEXT.search(value) is None


def _text_check(most: int) -> Check:
    return lambda v: is_text(v, most)


def _list_check(inner: Check, most: int) -> Check:
    def check(value: Any) -> bool:
        if type(value) is not list:
            return False
        items = cast(list[Any], value)
        return len(items) <= most and all(inner(item) for item in items)

    return check
