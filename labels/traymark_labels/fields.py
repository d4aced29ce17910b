"""Checks the fields given for a label, and turns them into the words that are printed."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from traymark_labels.codes import Code, group, parse_code
from traymark_labels.kinds import Field, LabelKind
from traymark_labels.payload import Ticket, parse_payload, ticket_payload
from traymark_labels.rejected import Rejected

Fields = Mapping[str, str | int]


@dataclass(frozen=True)
class Wording:
    """What the symbol says, and the words that texts may refer to; an absent field has none."""

    payload: str
    words: Mapping[str, str]


def read_fields(kind: LabelKind, fields: Fields) -> Wording | Rejected:
    """`label-field` with a pointer to the first field at fault. Empty text counts as absent."""
    for name in fields:
        if name not in kind.fields:
            return _rejected(name, f"a {kind.id} label has no such field")
    words: dict[str, str] = {}
    payload = ""
    for name, field in kind.fields.items():
        value = fields.get(name, "")
        if value == "" and field.default is not None:
            value = field.default
        if value == "":
            if field.required:
                return _rejected(name, "this field is needed")
            continue
        read = _READERS[field.type](name, field, value)
        if isinstance(read, Rejected):
            return read
        words.update(read)
        if field.type in ("url", "badge") or name == "code":
            payload = read[name]
    return Wording(payload, words)


def _read_code(name: str, field: Field, value: str | int) -> dict[str, str] | Rejected:
    code = parse_code(value) if isinstance(value, str) else Rejected("code-unreadable", "text was expected")
    if isinstance(code, Rejected):
        return _rejected(name, code.detail)
    if code.letter != field.letter:
        return _rejected(name, f"a code that begins with {field.letter} was expected")
    return _code_words(name, code)


def _read_badge(name: str, field: Field, value: str | int) -> dict[str, str] | Rejected:
    code = parse_code(value) if isinstance(value, str) else Rejected("code-unreadable", "text was expected")
    if isinstance(code, Rejected):
        return _rejected(name, code.detail)
    if code.letter != "W":
        return _rejected(name, "a badge was expected")
    return {name: code.text, f"{name}_staff": code.staff_id}


def _read_url(name: str, field: Field, value: str | int) -> dict[str, str] | Rejected:
    ticket = parse_payload(value) if isinstance(value, str) and len(value) <= field.most else None
    if not isinstance(ticket, Ticket):
        return _rejected(name, f"HTTPS://HOST:PORT/T/TOKEN of at most {field.most} characters was expected")
    return {name: ticket_payload(ticket.shop_url, ticket.token)}


def _read_text(name: str, field: Field, value: str | int) -> dict[str, str] | Rejected:
    # White space, line feeds included, becomes single spaces; letters are composed, since fonts have glyphs for those.
    text = unicodedata.normalize("NFC", " ".join(str(value).split()))
    if len(text) > field.most:
        return _rejected(name, f"at most {field.most} characters fit")
    if any(unicodedata.category(letter) in ("Cc", "Cs") for letter in text):
        return _rejected(name, "control characters cannot be printed")
    return {name: text} if text else {}


def _read_int(name: str, field: Field, value: str | int) -> dict[str, str] | Rejected:
    digits = str(value)
    if isinstance(value, bool) or not (digits.isascii() and digits.isdigit()) or int(digits) > field.most:
        return _rejected(name, f"a whole number from 0 to {field.most} was expected")
    number = int(digits)
    if name.endswith("_g"):  # grams, printed in kilograms to ten grams, halves up
        tens = (number + 5) // 10
        return {name: f"{tens // 100}.{tens % 100:02}"}
    return {name: str(number)}


def _read_choice(name: str, field: Field, value: str | int) -> dict[str, str] | Rejected:
    word = field.words.get(str(value))
    if word is None:
        return _rejected(name, f"one of {', '.join(field.words)} was expected")
    return {name: word} if word else {}


def _code_words(name: str, code: Code) -> dict[str, str]:
    text = code.text
    return {name: text, f"{name}_first": text[:5], f"{name}_last": text[5:], f"{name}_grouped": group(text)}


def _rejected(name: str, detail: str) -> Rejected:
    pointer = name.replace("~", "~0").replace("/", "~1")  # RFC 6901
    return Rejected("label-field", f"{name}: {detail}", f"/fields/{pointer}")


_READERS = {
    "code": _read_code,
    "badge": _read_badge,
    "url": _read_url,
    "text": _read_text,
    "int": _read_int,
    "choice": _read_choice,
}
