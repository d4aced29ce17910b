"""The shop's own authority: what it may vouch for, who trusts it, when it is renewed (RFC 5280)."""

import ipaddress
import socket
import ssl
import stat
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from traymark.tls.authority import Pair, covered_names, make_authority, make_leaf
from traymark.tls.host_names import HostNames, find_host_names
from traymark.tls.tls_files import TlsFiles, TlsUnreadableError, ready_tls_files

NOW = datetime.now(UTC)


def host(*addresses: str, name: str = "bench") -> HostNames:
    """A made-up host with loopback, the given addresses and their networks."""
    interfaces = [ipaddress.ip_interface(a) for a in addresses]
    return HostNames(
        names=(name, f"{name}.local", "localhost"),
        addresses=(ipaddress.ip_address("127.0.0.1"), ipaddress.ip_address("::1"), *(i.ip for i in interfaces)),
        networks=(
            ipaddress.ip_network("127.0.0.1/32"),
            ipaddress.ip_network("::1/128"),
            *(i.network for i in interfaces),
        ),
    )


def certificate(path: Path) -> x509.Certificate:
    """The first certificate of a PEM file."""
    return x509.load_pem_x509_certificate(path.read_bytes())


def test_the_authority_may_only_sign_servers_inside_its_constraints_and_no_further_authority(tmp_path: Path) -> None:
    files = ready_tls_files(tmp_path, host("192.168.7.20/24"), NOW)
    extensions = certificate(files.authority).extensions
    basic = extensions.get_extension_for_class(x509.BasicConstraints)
    usage = extensions.get_extension_for_class(x509.KeyUsage)
    constraints = extensions.get_extension_for_class(x509.NameConstraints)
    assert basic.critical and basic.value.ca and basic.value.path_length == 0
    assert (
        usage.critical and usage.value.key_cert_sign and not usage.value.digital_signature and not usage.value.crl_sign
    )
    assert constraints.critical and constraints.value.excluded_subtrees is None
    assert [str(n.value) for n in constraints.value.permitted_subtrees or []] == [
        "bench", "bench.local", "localhost", "127.0.0.1/32", "::1/128", "192.168.7.0/24",
    ]  # fmt: skip


def test_the_certificate_names_the_host_and_is_for_servers_only(tmp_path: Path) -> None:
    files = ready_tls_files(tmp_path, host("192.168.7.20/24"), NOW)
    leaf, authority = certificate(files.server), certificate(files.authority)
    extensions = leaf.extensions
    names = extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert [str(n.value) for n in names] == ["bench", "bench.local", "localhost", "127.0.0.1", "::1", "192.168.7.20"]
    assert list(extensions.get_extension_for_class(x509.ExtendedKeyUsage).value) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert not extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    issuer = extensions.get_extension_for_class(x509.AuthorityKeyIdentifier).value.key_identifier
    assert issuer == authority.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value.digest
    assert isinstance(leaf.public_key(), ec.EllipticCurvePublicKey)
    leaf.verify_directly_issued_by(authority)


def test_the_certificate_is_valid_for_no_more_than_397_days_both_ends_counted(tmp_path: Path) -> None:
    leaf = certificate(ready_tls_files(tmp_path, host(), NOW).server)
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc + timedelta(seconds=1) <= timedelta(days=397)
    assert leaf.not_valid_after_utc - NOW > timedelta(days=390)


def test_files_are_readable_by_the_servers_user_alone_and_keys_are_pkcs8(tmp_path: Path) -> None:
    ready_tls_files(tmp_path / "tls", host(), NOW)
    assert stat.S_IMODE((tmp_path / "tls").stat().st_mode) == 0o700
    found = sorted(p.name for p in (tmp_path / "tls").iterdir())
    assert found == ["authority.crt", "authority.pem", "server.pem"]
    for path in (tmp_path / "tls").iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600, path.name
    assert b"BEGIN PRIVATE KEY" in (tmp_path / "tls" / "server.pem").read_bytes()
    assert b"PRIVATE KEY" not in (tmp_path / "tls" / "authority.crt").read_bytes()


def test_a_second_start_changes_nothing(tmp_path: Path) -> None:
    first = ready_tls_files(tmp_path, host("10.0.0.5/24"), NOW)
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    second = ready_tls_files(tmp_path, host("10.0.0.5/24"), NOW + timedelta(days=300))
    assert first.made == ("authority", "certificate") and second.made == ()
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == before


def test_a_certificate_about_to_expire_is_renewed_and_the_authority_kept(tmp_path: Path) -> None:
    first = ready_tls_files(tmp_path, host(), NOW)
    later = NOW + timedelta(days=375)
    second = ready_tls_files(tmp_path, host(), later)
    assert second.made == ("certificate",) and second.fingerprint == first.fingerprint
    assert certificate(second.server).not_valid_after_utc - later > timedelta(days=390)


def test_another_address_in_the_same_network_renews_the_certificate_under_the_kept_authority(tmp_path: Path) -> None:
    first = ready_tls_files(tmp_path, host("192.168.7.20/24"), NOW)
    second = ready_tls_files(tmp_path, host("192.168.7.99/24"), NOW)
    assert second.made == ("certificate",) and second.outside == () and second.fingerprint == first.fingerprint
    names = certificate(second.server).extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert "192.168.7.99" in [str(n.value) for n in names]


def test_an_address_outside_the_constraints_is_reported_and_left_out(tmp_path: Path) -> None:
    ready_tls_files(tmp_path, host("192.168.7.20/24"), NOW)
    moved = ready_tls_files(tmp_path, host("10.1.1.1/24"), NOW)
    assert moved.outside == ("10.1.1.1",)
    names = certificate(moved.server).extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert "10.1.1.1" not in [str(n.value) for n in names]


def test_a_new_authority_is_made_only_when_asked_for(tmp_path: Path) -> None:
    first = ready_tls_files(tmp_path, host("192.168.7.20/24"), NOW)
    second = ready_tls_files(tmp_path, host("10.1.1.1/24"), NOW, new_authority=True)
    assert second.made == ("authority", "certificate") and second.outside == ()
    assert second.fingerprint != first.fingerprint


def test_a_damaged_authority_is_never_replaced_silently(tmp_path: Path) -> None:
    ready_tls_files(tmp_path, host(), NOW)
    (tmp_path / "authority.pem").write_bytes(b"gone")
    with pytest.raises(TlsUnreadableError, match=r"authority\.pem"):
        ready_tls_files(tmp_path, host(), NOW)
    assert (tmp_path / "authority.pem").read_bytes() == b"gone"


def test_a_damaged_certificate_is_made_again(tmp_path: Path) -> None:
    ready_tls_files(tmp_path, host(), NOW)
    (tmp_path / "server.pem").write_bytes(b"half")
    assert ready_tls_files(tmp_path, host(), NOW).made == ("certificate",)


def test_a_client_that_trusts_the_authority_connects_and_one_that_does_not_fails(tmp_path: Path) -> None:
    files = ready_tls_files(tmp_path, host(), NOW)
    assert handshake(files, "localhost", trust=files.authority) == "TLSv1.3"
    assert handshake(files, "127.0.0.1", trust=files.authority) == "TLSv1.3"
    with pytest.raises(ssl.SSLCertVerificationError, match="self-signed certificate in certificate chain"):
        handshake(files, "localhost", trust=None)


def test_a_client_refuses_a_certificate_the_authority_was_not_allowed_to_sign(tmp_path: Path) -> None:
    """The constraint is tried, not just read: the same key signs a name outside it."""
    own = make_authority(host(), NOW)
    wide = make_authority(host(name="elsewhere"), NOW)
    forged = make_leaf(Pair(wide.certificate, own.key), host(name="elsewhere"), NOW)
    forged = reissued(forged, own)
    (tmp_path / "forged.pem").write_bytes(forged.key_pem() + forged.certificate_pem())
    (tmp_path / "own.crt").write_bytes(own.certificate_pem())
    files = TlsFiles(tmp_path / "forged.pem", tmp_path / "own.crt", "", (), ())
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        handshake(files, "elsewhere", trust=files.authority)


def test_the_names_of_this_host_are_found_with_loopback_and_localhost() -> None:
    found = find_host_names(("Shop.Example",))
    own = socket.gethostname().lower().split(".")[0]
    assert found.names[0] == "shop.example"
    assert {own, f"{own}.local", "localhost"} <= set(found.names)
    assert {"127.0.0.1", "::1"} <= {str(a) for a in found.addresses}
    assert all(any(a in n for n in found.networks) for a in found.addresses)
    assert all(
        isinstance(n, x509.DNSName | x509.IPAddress)
        for n in covered_names(make_authority(found, NOW).certificate, found)
    )


def test_looking_for_names_sends_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a look-up over the network")

    for name in ("getaddrinfo", "gethostbyname", "gethostbyaddr", "getfqdn"):
        monkeypatch.setattr(socket, name, refuse)
    assert find_host_names().names


def handshake(files: TlsFiles, name: str, trust: Path | None) -> str | None:
    """One TLS connection to a server with these files over loopback. Returns the protocol version agreed on."""
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(files.server)
    asking = ssl.create_default_context(cafile=trust)
    listener = socket.create_server(("127.0.0.1", 0))
    listener.settimeout(10)

    def serve() -> None:
        connection, _ = listener.accept()
        connection.settimeout(10)
        try:
            with serving.wrap_socket(connection, server_side=True) as secured:
                secured.recv(1)
        except (ssl.SSLError, OSError):
            connection.close()

    thread = threading.Thread(target=serve)
    thread.start()
    try:
        with (
            socket.create_connection(listener.getsockname(), timeout=10) as plain,
            asking.wrap_socket(plain, server_hostname=name) as secured,
        ):
            secured.send(b"x")
            return secured.version()
    finally:
        thread.join(10)
        listener.close()


def reissued(leaf: Pair, authority: Pair) -> Pair:
    """The leaf's names under another issuer, whatever that issuer may vouch for."""
    names = leaf.certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    signed = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "elsewhere")]))
        .issuer_name(authority.certificate.subject)
        .public_key(leaf.key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(NOW - timedelta(hours=1))
        .not_valid_after(NOW + timedelta(days=1))
        .add_extension(names, critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(
                authority.certificate.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
            ),
            critical=False,
        )
        .sign(authority.key, hashes.SHA256())
    )
    assert signed.public_bytes(serialization.Encoding.PEM)
    return Pair(signed, leaf.key)
