"""The hash chain of a station's log (F3.2)."""

from hashlib import sha256

_EVENT = b"traymark.event.v1\n"
_CHAIN = b"traymark.chain.v1\n"


def genesis(station: str, incarnation: str) -> bytes:
    """The hash before the first event of a chain: 32 bytes."""
    return sha256(_CHAIN + station.encode() + b"\n" + incarnation.encode()).digest()


def link(previous: bytes, raw: bytes) -> bytes:
    """The hash of an event from the hash before it: 32 bytes."""
    return sha256(_EVENT + previous + raw).digest()
