"""Headers of every answer, including those for addresses that do not exist."""

from typing import Any

from litestar.datastructures import MutableScopeHeaders
from litestar.types import Message, Scope

from traymark.api.format import HEADER, own_format

# 'wasm-unsafe-eval' lets the code scanner compile its WebAssembly; it allows no script.
CONTENT_SECURITY_POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; media-src 'self' blob: mediastream:; worker-src 'self'; manifest-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)

_ALWAYS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": "camera=(self), microphone=(), geolocation=(), payment=(), usb=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}

# 180 days. Long enough to matter, short enough that a shop that gives up HTTPS is not locked out for years.
_HSTS = "max-age=15552000"


async def add_headers(message: Message, scope: Scope) -> None:
    """Set those the handler did not set itself."""
    if message["type"] != "http.response.start":
        return
    headers: Any = MutableScopeHeaders.from_message(message)
    for name, value in _ALWAYS.items():
        headers.setdefault(name, value)
    if scope["path"].startswith("/api/"):
        headers.setdefault("Cache-Control", "no-store")
        headers.setdefault(HEADER, own_format())
    if scope["scheme"] == "https":
        headers.setdefault("Strict-Transport-Security", _HSTS)
