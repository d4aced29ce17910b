"""Codes of things, badges and IMEI numbers (F1). The vectors in shared/vectors/code hold both languages together.

Check characters follow ISO/IEC 7064 MOD 37-2, the IMEI's check digit 3GPP TS 23.003 Annex B (Luhn).
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from traymark_labels.rejected import Rejected

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
KIND_NAMES = {"J": "job", "D": "device", "T": "tray", "P": "part", "C": "core", "B": "box", "W": "badge"}
CODE_LENGTH = 10
BADGE_LENGTH = 20
STAFF_ID_LENGTH = 4
BADGE_SECRET_LENGTH = 15
MOST_COUNTER = 32**5 - 1

_CHECK_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
_CHECK_VALUE = {letter: value for value, letter in enumerate(_CHECK_ALPHABET)}
_LETTERS = frozenset(ALPHABET)
_THINGS = frozenset("JDTPCB")
# White space as ECMAScript's \s defines it, written out because Python's differs; and the hyphen.
_LEFT_OUT = re.compile("[\\t\\n\\v\\f\\r \\u00a0\\u1680\\u2000-\\u200a\\u2028\\u2029\\u202f\\u205f\\u3000\\ufeff-]")
_FORGIVEN = str.maketrans("OIL", "011")


@dataclass(frozen=True)
class Code:
    """A code that was read. `text` is its one spelling; `letter` says what kind of thing it names."""

    text: str
    letter: str

    @property
    def staff_id(self) -> str:
        """The part of a badge that is not secret (F1.5)."""
        return self.text[:STAFF_ID_LENGTH]


@dataclass(frozen=True)
class Minted:
    """A new code, the counter it was made from, and the next counter that may be used."""

    code: str
    counter: int
    next_counter: int


def check_character(body: str) -> str:
    """The MOD 37-2 check character of upper-case letters and digits; may be `*`. Raises ValueError on other letters."""
    total = 0
    for letter in body:
        value = _CHECK_VALUE.get(letter, 36)
        if value == 36:  # the star only occurs as a check character
            raise ValueError(f"no check character over {letter!r}")
        total = (total + value) * 2 % 37
    return _CHECK_ALPHABET[(38 - total) % 37]


def mint(kind: str, prefix: str, counter: int) -> Minted:
    """The first code at or above a counter whose check character lies in the alphabet (F1.2).

    Raises ValueError when kind, prefix or counter is invalid, or no counter is left.
    """
    if kind not in _THINGS or len(prefix) != 3 or not _LETTERS.issuperset(prefix) or counter < 0:
        raise ValueError(f"no code of kind {kind!r}, prefix {prefix!r} and counter {counter}")
    for used in range(counter, MOST_COUNTER + 1):
        body = kind + prefix + _base32(used)
        check = check_character(body)
        if check in _LETTERS:
            return Minted(body + check, used, used + 1)
    raise ValueError(f"all counters of prefix {prefix!r} are used")


def make_badge(staff_id: str, secrets: Iterable[str]) -> str:
    """A badge from the first of these random secrets whose check character lies in the alphabet (F1.5).

    About one secret in seven is skipped, so pass in an endless supply. Raises ValueError on a malformed staff id or
    secret, and when the supply ends.
    """
    if len(staff_id) != STAFF_ID_LENGTH or staff_id[0] != "W" or not _LETTERS.issuperset(staff_id[1:]):
        raise ValueError(f"{staff_id!r} is no staff id")
    for secret in secrets:
        if len(secret) != BADGE_SECRET_LENGTH or not _LETTERS.issuperset(secret):
            raise ValueError("a badge's secret is 15 letters of the alphabet")
        check = check_character(staff_id + secret)
        if check in _LETTERS:
            return staff_id + secret + check
    raise ValueError("no secret left")


def parse_code(text: str) -> Code | Rejected:
    """A scanned or typed code (F1.4, F1.5). `code-unreadable`, `code-check-failed`."""
    plain = _LEFT_OUT.sub("", text).upper().translate(_FORGIVEN)
    letter = plain[:1]
    length = BADGE_LENGTH if letter == "W" else CODE_LENGTH
    if letter not in KIND_NAMES or len(plain) != length or not _LETTERS.issuperset(plain[1:]):
        return Rejected("code-unreadable", f"{CODE_LENGTH} characters, or {BADGE_LENGTH} of a badge, were expected")
    if check_character(plain[:-1]) != plain[-1]:
        return Rejected("code-check-failed", "the check character does not fit the rest")
    return Code(plain, letter)


def group(code: str) -> str:
    """A code as people read it: groups of five."""
    return " ".join(code[i : i + 5] for i in range(0, len(code), 5))


def imei_check_digit(digits: str) -> str:
    """The check digit of the first 14 digits of an IMEI. Raises ValueError on anything else."""
    if not re.fullmatch("[0-9]{14}", digits):
        raise ValueError("14 digits were expected")
    total = 0
    for place, digit in enumerate(digits):
        value = int(digit) << (place % 2)
        total += value - 9 if value > 9 else value
    return str(-total % 10)


def parse_imei(text: str) -> str | Rejected:
    """An IMEI of exactly 15 digits; white space and hyphens are dropped. `imei-length`, `imei-check-failed`.

    14 digits lack the check digit and 16 are an IMEISV, which has none: neither can be checked, so neither is accepted.
    """
    digits = _LEFT_OUT.sub("", text)
    if not re.fullmatch("[0-9]{15}", digits):
        return Rejected("imei-length", "15 digits were expected")
    if imei_check_digit(digits[:14]) != digits[14]:
        return Rejected("imei-check-failed", "the last digit does not fit the others")
    return digits


def _base32(number: int) -> str:
    return "".join(ALPHABET[number >> shift & 31] for shift in (20, 15, 10, 5, 0))
