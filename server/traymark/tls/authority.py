"""Makes the shop's own certificate authority and the certificate of this host (RFC 5280, P-256).

The authority can vouch only for the names and networks it was made for, so a phone that trusts it gives away no
more than that, even if the key is stolen.
"""

import ipaddress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from traymark.tls.host_names import HostNames

AUTHORITY_DAYS = 3650
# Some browsers refuse certificates valid for over 398 days (CA/Browser Forum baseline requirements, from memory).
LEAF_DAYS = 397
# Valid from an hour ago: the clocks of phones and server differ a little.
_BACKDATED = timedelta(hours=1)


@dataclass(frozen=True)
class Pair:
    """A certificate and its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    def certificate_pem(self) -> bytes:
        """PEM text."""
        return self.certificate.public_bytes(serialization.Encoding.PEM)

    def key_pem(self) -> bytes:
        """PKCS#8 without a passphrase; the file's permissions protect it."""
        return self.key.private_bytes(
            serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
        )


def make_authority(host: HostNames, now: datetime) -> Pair:
    """A new authority that may vouch only for this host's names and the networks of its addresses."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Traymark on {host.names[0]}"[:64])])
    permitted: list[x509.GeneralName] = [x509.DNSName(n) for n in host.names]
    permitted += [x509.IPAddress(n) for n in host.networks]
    certificate = (
        _dated(now, AUTHORITY_DAYS)
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(sign_certificates=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return Pair(certificate, key)


def make_leaf(authority: Pair, host: HostNames, now: datetime) -> Pair:
    """A certificate for those names and addresses of the host that the authority may vouch for."""
    key = ec.generate_private_key(ec.SECP256R1())
    covered = covered_names(authority.certificate, host)
    common_name = str(covered[0].value)[:64]
    certificate = (
        _dated(now, LEAF_DAYS, authority.certificate.not_valid_after_utc)
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common_name)]))
        .issuer_name(authority.certificate.subject)
        .public_key(key.public_key())
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(sign_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(covered), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(_authority_key_id(authority.certificate), critical=False)
        .sign(authority.key, hashes.SHA256())
    )
    return Pair(certificate, key)


def covered_names(authority: x509.Certificate, host: HostNames) -> list[x509.GeneralName]:
    """Names and addresses of the host inside the authority's constraints."""
    permitted = authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    names = {p.value for p in permitted if isinstance(p, x509.DNSName)}
    networks = [p.value for p in permitted if isinstance(p, x509.IPAddress)]
    found: list[x509.GeneralName] = [x509.DNSName(n) for n in host.names if n in names]
    for address in host.addresses:
        if any(isinstance(n, ipaddress.IPv4Network | ipaddress.IPv6Network) and address in n for n in networks):
            found.append(x509.IPAddress(address))
    return found


def not_covered(authority: x509.Certificate, host: HostNames) -> list[str]:
    """Names and addresses of the host outside the authority's constraints, as text."""
    covered = {str(n.value) for n in covered_names(authority, host)}
    return [n for n in (*host.names, *map(str, host.addresses)) if n not in covered]


def _dated(now: datetime, days: int, latest: datetime | None = None) -> x509.CertificateBuilder:
    begin = now.astimezone(UTC) - _BACKDATED
    # RFC 5280 4.1.2.5 counts both ends: one second less keeps it within that number of days.
    end = begin + timedelta(days=days) - timedelta(seconds=1)
    if latest is not None:
        end = min(end, latest)
    return (
        x509.CertificateBuilder()
        .serial_number(x509.random_serial_number())
        .not_valid_before(begin)
        .not_valid_after(end)
    )


def _usage(*, sign_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not sign_certificates,
        key_cert_sign=sign_certificates,
        crl_sign=False,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _authority_key_id(certificate: x509.Certificate) -> x509.AuthorityKeyIdentifier:
    own = certificate.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    return x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(own)
