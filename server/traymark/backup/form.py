"""What a backup consists of: a tar file whose first member says what it is.

Trust: whoever holds the file holds the shop, its customers' cards and the key of its authority with it. It is readable
by its owner alone and not encrypted. It cannot be changed unseen where the log is concerned: its chains are checked.
"""

import re
from pathlib import Path
from tarfile import TarFile, TarInfo
from typing import Annotated, Literal

import msgspec
from msgspec import Meta, Struct

HEADER = "backup.json"
FORMAT = 1

_NAMES = re.compile(r"backup\.json|traymark\.sqlite|address\.txt|blobs/[0-9a-f]{64}|tls/[a-z]+\.(pem|crt)")


class BackupFailed(Exception):
    """The text is meant for a person."""


class Header(Struct, frozen=True):
    """When the backup was made, and how far it reaches: the log's last position, the last seq of each chain, the last
    revision of documents."""

    traymark: Literal["backup"]
    format: Annotated[int, Meta(ge=1)]
    at_ms: int
    epoch: str
    position: int
    rev: int
    photos: int
    chains: dict[str, int]


def photo_member(sha256: str) -> str:
    """The name of a photo in the file."""
    return f"blobs/{sha256}"


def read_header(tar: TarFile, file: Path) -> Header:
    """What the file says of itself. Raises BackupFailed for a file that is not a backup, or has a later form."""
    try:
        held = tar.extractfile(HEADER)
        header = msgspec.json.decode(held.read() if held else b"", type=Header)
    except (KeyError, msgspec.DecodeError) as error:
        raise BackupFailed(f"{file} is no backup of Traymark") from error
    if header.format != FORMAT:
        raise BackupFailed(f"{file} has form {header.format}; this version of Traymark reads form {FORMAT}")
    return header


def members(tar: TarFile, file: Path) -> dict[str, TarInfo]:
    """All members by name. Raises BackupFailed when the file has anything else in it, or ends too soon."""
    found = {member.name: member for member in tar.getmembers()}
    strange = [name for name, member in found.items() if not member.isfile() or _NAMES.fullmatch(name) is None]
    if strange:
        raise BackupFailed(f"{file} holds {strange[0]}, which does not belong into a backup")
    return found
