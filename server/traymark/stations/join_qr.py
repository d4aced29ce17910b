"""A join link as a QR code: for a terminal and for a page. Any QR reader of a phone opens it."""

import io

import qrcode
from qrcode.constants import ERROR_CORRECT_M

_QUIET_MODULES = 4


def terminal_qr(link: str) -> str:
    """Lines of half blocks, dark on light whatever the colours of the terminal are by the quiet zone around."""
    text = io.StringIO()
    # Inverted: terminals are mostly dark, so a full block is what is light there.
    _code(link).print_ascii(out=text, invert=True)
    return text.getvalue()


def svg_qr(link: str) -> str:
    """One SVG with a path of unit squares; scaled without loss."""
    matrix = _code(link).get_matrix()
    size = len(matrix)
    squares = "".join(f"M{x} {y}h1v1h-1z" for y, row in enumerate(matrix) for x, is_dark in enumerate(row) if is_dark)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size} {size}" shape-rendering="crispEdges">'
        f'<path fill="#fff" d="M0 0h{size}v{size}H0z"/><path fill="#000" d="{squares}"/></svg>'
    )


def _code(link: str) -> "qrcode.QRCode[qrcode.image.base.BaseImage]":
    code: qrcode.QRCode[qrcode.image.base.BaseImage] = qrcode.QRCode(
        error_correction=ERROR_CORRECT_M, border=_QUIET_MODULES
    )
    code.add_data(link)
    code.make(fit=True)
    return code
