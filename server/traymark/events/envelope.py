"""Turns untrusted bytes into an event, or names the first fault in them (F2)."""

import re
from functools import cache, lru_cache
from typing import Any, cast

import msgspec

from traymark.events.field_types import Check, check_of, is_code
from traymark.tables import kinds

MAX_BYTES = 16_384
MAX_INT = 2**53 - 1
MAX_DEPTH = 16
MEMBERS = ("v", "kind", "station", "incarnation", "seq", "staff", "at_ms", "job", "body")


class Event(msgspec.Struct, frozen=True, gc=False):
    """A sound event. `known` is false for a kind or version that this program does not know (F2.7)."""

    v: int
    kind: str
    station: str
    incarnation: str
    seq: int
    staff: str | None
    at_ms: int
    job: str | None
    body: dict[str, Any]
    known: bool = True

    @property
    def id(self) -> str:
        """Event id (F1.8)."""
        return f"{self.incarnation}.{self.seq}"


class Rejected(msgspec.Struct, frozen=True, gc=False):
    """Why bytes are not an event: a slug of problems.json and a JSON Pointer to the first fault."""

    slug: str
    pointer: str


_KIND = re.compile(r"[a-z]{1,20}\.[a-z_]{1,30}")
_LETTER = "[0-9A-HJKMNP-TV-Z]"
_LETTERS = f"{_LETTER}{{3}}"
_STATION = re.compile(f"S{_LETTERS}")
_STAFF = re.compile(f"W{_LETTERS}")
_INCARNATION = re.compile(_LETTERS)
_NUMBER = "0|[1-9][0-9]{0,14}"
_WRITTEN = re.compile(
    rf'\{{"v":1,"kind":"([a-z_.]+)","station":"(S{_LETTERS})","incarnation":"({_LETTERS})","seq":([1-9][0-9]{{0,14}}),'
    rf'"staff":(?:null|"(W{_LETTERS})"),"at_ms":({_NUMBER}),"job":(?:null|"(J{_LETTER}{{9}})"),"body":'
)
"""An event up to its body, as stations write it."""
_STRING = re.compile(rb'"(?:[^"\\]|\\.)*"', re.DOTALL)
_PERHAPS_ODD = re.compile(rb"-0|[0-9][.eE]|[0-9]{16}")
_ODD = re.compile(rb"-0|[0-9][.eE]")
_LONG = re.compile(rb"[0-9]{16,}")
_decode = msgspec.json.Decoder().decode
_decode_body = msgspec.json.Decoder(dict[str, Any]).decode
_encode = msgspec.json.Encoder().encode


def parse(raw: bytes) -> Event | Rejected:
    """Check bytes by F2.2 to F2.7. Raises nothing."""
    if len(raw) > MAX_BYTES:
        return Rejected("event-too-large", "")
    return _as_stations_write(raw) or _as_any_writer(raw)


def _as_stations_write(raw: bytes) -> Event | None:
    """The event, if it is sound, of a known kind, and the bytes are exactly what stations write; None to look closer.

    Such bytes hold nothing that parsing would lose: white space, a repeated member, an odd number, a lone surrogate.
    """
    try:
        text = raw.decode()
    except UnicodeDecodeError:
        return None
    envelope = _WRITTEN.match(text)
    if envelope is None or text[-1] != "}":
        return None
    kind, station, incarnation, seq, staff, at_ms, job = envelope.groups()
    written = text[envelope.end() : -1]
    read = _kept_body if len(written) <= _SHORT and "[" not in written else _sound_body
    body = read(kind, job is not None, written)
    if body is None:
        return None
    return Event(1, kind, station, incarnation, int(seq), staff, int(at_ms), job, body)


def _sound_body(kind: str, has_job: bool, written: str) -> dict[str, Any] | None:
    """A sound body of a known kind, if writing it again gives the same text."""
    rule = _rules().get(kind)
    if rule is None or (rule.needs_job and not has_job):
        return None
    try:
        body = _decode_body(written)
    except (msgspec.DecodeError, RecursionError):
        return None
    return body if rule.fault(body) is None and _encode(body).decode() == written else None


# The same bodies come again and again: the points of a test and the steps of a procedure, job after job. Only those
# without a list are kept: the fold takes values as they are, and a list is nothing that two records may share.
_kept_body = lru_cache(4_096)(_sound_body)
_SHORT = 200


def _as_any_writer(raw: bytes) -> Event | Rejected:
    """An event however its JSON is written, or the first fault."""
    if b"\n" in raw or raw.startswith(b"\xef\xbb\xbf"):
        return Rejected("event-not-json", "")
    if _PERHAPS_ODD.search(raw) and _has_odd_number(raw):
        return Rejected("bad-field", "")
    if raw.count(b"[") + raw.count(b"{") > MAX_DEPTH and _depth(raw) > MAX_DEPTH:
        return Rejected("event-not-json", "")
    try:
        value = _decode(raw)
    except (msgspec.DecodeError, UnicodeDecodeError):
        return Rejected("event-not-json", "")
    if type(value) is not dict:
        return Rejected("event-not-json", "")
    return _envelope(cast(dict[str, Any], value))


def _envelope(value: dict[str, Any]) -> Event | Rejected:
    if len(value) != 9 or not all(name in value for name in MEMBERS):
        for name in MEMBERS:
            if name not in value:
                return Rejected("envelope-field", f"/{name}")
        return Rejected("unknown-field", "/" + min(_pointer(n) for n in value if n not in MEMBERS))
    v, kind, station, incarnation = value["v"], value["kind"], value["station"], value["incarnation"]
    seq, staff, at_ms, job, body = value["seq"], value["staff"], value["at_ms"], value["job"], value["body"]
    if type(v) is not int or not 1 <= v <= 1_000_000:
        return Rejected("envelope-field", "/v")
    if type(kind) is not str or _KIND.fullmatch(kind) is None:
        return Rejected("envelope-field", "/kind")
    if type(station) is not str or _STATION.fullmatch(station) is None:
        return Rejected("envelope-field", "/station")
    if type(incarnation) is not str or _INCARNATION.fullmatch(incarnation) is None:
        return Rejected("envelope-field", "/incarnation")
    if type(seq) is not int or not 1 <= seq <= MAX_INT:
        return Rejected("envelope-field", "/seq")
    if staff is not None and (type(staff) is not str or _STAFF.fullmatch(staff) is None):
        return Rejected("envelope-field", "/staff")
    if type(at_ms) is not int or not 0 <= at_ms <= MAX_INT:
        return Rejected("envelope-field", "/at_ms")
    if job is not None and not (is_code(job) and job[0] == "J"):
        return Rejected("envelope-field", "/job")
    if type(body) is not dict:
        return Rejected("envelope-field", "/body")
    body = cast(dict[str, Any], body)
    rule = _rules().get(kind) if v == 1 else None
    if rule is None:
        return Event(v, kind, station, incarnation, seq, staff, at_ms, job, body, False)
    if rule.needs_job and job is None:
        return Rejected("envelope-field", "/job")
    fault = rule.fault(body)
    return fault or Event(v, kind, station, incarnation, seq, staff, at_ms, job, body)


class _Rule:
    """The checks of one kind's body, in the order of the table."""

    def __init__(self, row: dict[str, Any]) -> None:
        self.needs_job = bool(row.get("job"))
        fields: dict[str, str] = row["fields"]
        self.required: tuple[tuple[str, Check], ...] = tuple(
            (n, check_of(t)) for n, t in fields.items() if not n.endswith("?")
        )
        self.optional: dict[str, Check] = {n[:-1]: check_of(t) for n, t in fields.items() if n.endswith("?")}

    def fault(self, body: dict[str, Any]) -> Rejected | None:
        for name, check in self.required:
            if name not in body:
                return Rejected("missing-field", f"/body/{name}")
            if not check(body[name]):
                return Rejected("bad-field", f"/body/{name}")
        if len(body) == len(self.required):
            return None
        known = 0
        for name, check in self.optional.items():
            if name in body:
                known += 1
                if not check(body[name]):
                    return Rejected("bad-field", f"/body/{name}")
        if len(body) == len(self.required) + known:
            return None
        names = {n for n, _ in self.required} | set(self.optional)
        return Rejected("unknown-field", "/body/" + min(_pointer(n) for n in body if n not in names))


@cache
def _rules() -> dict[str, _Rule]:
    return {kind: _Rule(row) for kind, row in kinds().items()}


def _has_odd_number(raw: bytes) -> bool:
    """F2.4. Searched for in the bytes, since the two languages lose different numbers when parsing them."""
    outside = _STRING.sub(b'""', raw)
    if _ODD.search(outside):
        return True
    return any(len(digits) > 16 or int(digits) > MAX_INT for digits in _LONG.findall(outside))


def _depth(raw: bytes) -> int:
    """How deep arrays and objects are nested."""
    depth = deepest = 0
    for byte in _STRING.sub(b'""', raw):
        if byte in b"[{":
            depth += 1
            deepest = max(deepest, depth)
        elif byte in b"]}":
            depth -= 1
    return deepest


def _pointer(name: str) -> str:
    """A member name as a JSON Pointer token (RFC 6901), shortened and made harmless."""
    return name[:60].encode("ascii", "replace").decode().replace("~", "~0").replace("/", "~1")
