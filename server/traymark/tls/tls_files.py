"""The folder `tls` of the data folder: authority and certificate, kept and renewed, readable only by the server's user.

`authority.pem` and `server.pem` each hold key and certificate in one file, so that a crash never leaves a pair that
does not match. `authority.crt` is the part of the authority that phones are given.
"""

import os
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec

from traymark.tls.authority import Pair, covered_names, make_authority, make_leaf, not_covered
from traymark.tls.host_names import HostNames

# A server started at least once a month never lets its certificate expire.
RENEW_BEFORE = timedelta(days=30)


@dataclass(frozen=True)
class TlsFiles:
    """Where the certificate is and what was done. `outside` are names that the existing authority cannot vouch for."""

    server: Path
    authority: Path
    fingerprint: str
    made: tuple[str, ...]
    outside: tuple[str, ...]


class TlsUnreadableError(Exception):
    """The authority's file is damaged. It is never replaced silently: phones trust what was in it."""


def ready_tls_files(folder: Path, host: HostNames, now: datetime, *, new_authority: bool = False) -> TlsFiles:
    """Make what is missing, renew what is due, keep the rest; all on disk on return. Raises TlsUnreadableError."""
    folder.mkdir(parents=True, exist_ok=True)
    folder.chmod(0o700)
    made: list[str] = []
    authority = None if new_authority else _read_authority(folder / "authority.pem")
    if authority is None or authority.certificate.not_valid_after_utc - now < RENEW_BEFORE:
        authority = make_authority(host, now)
        _write_private(folder / "authority.pem", authority.key_pem() + authority.certificate_pem())
        made.append("authority")
    _write_private(folder / "authority.crt", authority.certificate_pem())
    leaf = _read_pair(folder / "server.pem")
    if leaf is None or _is_due(leaf.certificate, authority.certificate, host, now):
        leaf = make_leaf(authority, host, now)
        _write_private(folder / "server.pem", leaf.key_pem() + leaf.certificate_pem() + authority.certificate_pem())
        made.append("certificate")
    return TlsFiles(
        server=folder / "server.pem",
        authority=folder / "authority.crt",
        fingerprint=fingerprint_of(authority.certificate),
        made=tuple(made),
        outside=tuple(not_covered(authority.certificate, host)),
    )


def fingerprint_of(certificate: x509.Certificate) -> str:
    """SHA-256 of the certificate as phones show it: pairs of hex digits."""
    digest = sha256(certificate.public_bytes(serialization.Encoding.DER)).hexdigest().upper()
    return ":".join(digest[i : i + 2] for i in range(0, len(digest), 2))


def _is_due(leaf: x509.Certificate, authority: x509.Certificate, host: HostNames, now: datetime) -> bool:
    if leaf.not_valid_after_utc - now < RENEW_BEFORE:
        return True
    try:
        leaf.verify_directly_issued_by(authority)
        held = set(leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value)
    except (ValueError, InvalidSignature, x509.ExtensionNotFound):
        return True
    return held != set(covered_names(authority, host))


def _read_authority(path: Path) -> Pair | None:
    if not path.exists():
        return None
    pair = _read_pair(path)
    if pair is None:
        raise TlsUnreadableError(str(path))
    return pair


def _read_pair(path: Path) -> Pair | None:
    try:
        content = path.read_bytes()
        certificate = x509.load_pem_x509_certificate(content)
        key = serialization.load_pem_private_key(content, password=None)
    except (OSError, ValueError, TypeError):
        return None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
        return None
    return Pair(certificate, key)


def _write_private(path: Path, content: bytes) -> None:
    """Written completely or not at all, and never readable by others, not even for a moment."""
    part = path.with_name(path.name + ".part")
    part.unlink(missing_ok=True)
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)
