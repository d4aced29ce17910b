"""What symbols say, and reading them back (F1.2, F1.5, F1.6).

Labels of things and badges carry the bare code. The ticket carries the shop's address and an unguessable token in upper
case: all those letters are in QR's alphanumeric set (ISO/IEC 18004), which keeps the symbol small.
"""

import re
from dataclasses import dataclass

from traymark_labels.codes import Code, parse_code
from traymark_labels.rejected import Rejected

# Host names as in RFC 1123: labels of letters, digits and inner hyphens, joined by dots; the port is optional.
_TICKET = re.compile(
    r"(?P<shop>HTTPS?://(?:[A-Z0-9](?:[A-Z0-9-]{0,61}[A-Z0-9])?\.)*[A-Z0-9](?:[A-Z0-9-]{0,61}[A-Z0-9])?(?::[0-9]{1,5})?)"
    r"/T/(?P<token>[0-9A-HJKMNP-TV-Z]{26})"
)


@dataclass(frozen=True)
class Ticket:
    """A ticket's address: the shop's own part, and the token that leads to the job."""

    shop_url: str
    token: str


def ticket_payload(shop_url: str, token: str) -> str:
    """What the ticket's symbol says; `parse_payload` checks it."""
    return f"{shop_url.rstrip('/')}/T/{token}".upper()


def parse_payload(text: str) -> Code | Ticket | Rejected:
    """What a scanned symbol means. `code-unreadable`, `code-check-failed`."""
    ticket = _TICKET.fullmatch(text.upper())
    if ticket is not None:
        return Ticket(ticket["shop"], ticket["token"])
    return parse_code(text)
