"""The page that walks a phone through trusting the shop's own certificate authority, and the authority's certificate.

A phone sees this page before it trusts it, so the page asks to compare the fingerprint with the server's own screen.
"""

from html import escape
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding
from litestar import MediaType, Response, get
from litestar.concurrency import sync_to_thread

from traymark.api.parts import TheSettings
from traymark.api.problems import refuse
from traymark.config import Settings
from traymark.tls.tls_files import fingerprint_of
from traymark.views.ticket_page import STYLE_POLICY, page


@get("/trust")
async def trust_page(settings: TheSettings) -> Response[str]:
    """What to do, in order."""
    fingerprint = fingerprint_of(await sync_to_thread(_authority, settings))
    lines = [
        "<h1>Let this phone trust the shop's server.</h1>",
        "<p>Once for each phone, before it joins:</p>",
        "<ol><li>Compare the signs below with those on the server's own screen. If they differ, stop.</li>"
        '<li><a href="/trust/authority.crt">Get the certificate</a></li>'
        "<li>In the phone's settings, under security or profiles, install it as a certificate authority for web sites, "
        "and switch its trust on if the phone asks for that apart.</li></ol>",
        f"<p><code>{escape(fingerprint)}</code></p>",
        "<p>It can vouch for this server only, and for no other site.</p>",
    ]
    return Response(
        page("Trust this server", lines), media_type=MediaType.HTML, headers={"Content-Security-Policy": STYLE_POLICY}
    )


@get("/trust/authority.crt")
async def trust_certificate(settings: TheSettings) -> Response[bytes]:
    """The authority's certificate, in the format that phones install."""
    certificate = await sync_to_thread(_authority, settings)
    return Response(
        certificate.public_bytes(Encoding.DER),
        media_type="application/x-x509-ca-cert",
        headers={"Content-Disposition": 'attachment; filename="shop-authority.crt"'},
    )


def _authority(settings: Settings) -> x509.Certificate:
    try:
        return x509.load_pem_x509_certificate((settings.data_dir / "tls" / "authority.crt").read_bytes())
    except OSError as error:
        raise refuse("not-found", "This server has no certificate authority of its own.") from error


handlers: list[Any] = [trust_page, trust_certificate]
