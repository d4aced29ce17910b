"""A join link as a QR code: for a terminal and for a page. Any QR reader of a phone opens it."""

from traymark_labels.symbol import make_symbol

# ISO/IEC 18004: four modules of quiet zone.
_QUIET_MODULES = 4
_HALF_BLOCKS = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def terminal_qr(link: str) -> str:
    """Two rows of modules per line. Full blocks are the light modules: most terminals are dark."""
    dark = _modules(link)
    if len(dark) % 2:
        dark.append([False] * len(dark[0]))
    lines: list[str] = []
    for upper, lower in zip(dark[::2], dark[1::2], strict=True):
        lines.append("".join(_HALF_BLOCKS[not u, not w] for u, w in zip(upper, lower, strict=True)))
    return "\n".join(lines) + "\n"


def svg_qr(link: str) -> str:
    """An SVG with one path of unit squares, so it scales without loss."""
    dark = _modules(link)
    size = len(dark)
    squares = "".join(f"M{x} {y}h1v1h-1z" for y, row in enumerate(dark) for x, is_dark in enumerate(row) if is_dark)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size} {size}" shape-rendering="crispEdges">'
        f'<path fill="#fff" d="M0 0h{size}v{size}H0z"/><path fill="#000" d="{squares}"/></svg>'
    )


def _modules(link: str) -> list[list[bool]]:
    """Rows of modules with the quiet zone around them; true is dark."""
    symbol = make_symbol(link, "M")
    if symbol is None:
        raise ValueError("the link is longer than any symbol holds")
    side = [False] * _QUIET_MODULES
    blank = [[False] * (symbol.size + 2 * _QUIET_MODULES) for _ in range(_QUIET_MODULES)]
    inside = [[*side, *(bit == "1" for bit in f"{row:0{symbol.size}b}"), *side] for row in symbol.rows]
    return [*blank, *inside, *(list(row) for row in blank)]
