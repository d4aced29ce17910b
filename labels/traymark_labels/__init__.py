"""Labels of a repair shop: payload, layout in whole printer dots, symbol, drawing.

    render("tray", {"code": "T7K200001M"}, 300).png()

Knows nothing of the server; what labels look like is in shared/labels.json.
"""

from traymark_labels.codes import (
    ALPHABET,
    Code,
    Minted,
    check_character,
    group,
    imei_check_digit,
    make_badge,
    mint,
    parse_code,
    parse_imei,
)
from traymark_labels.label import Label, pdf_of, render, render_batch
from traymark_labels.payload import Ticket, parse_payload, ticket_payload
from traymark_labels.rejected import Rejected
from traymark_labels.tray_map import Group, TrayMap, tray_map

__all__ = [
    "ALPHABET",
    "Code",
    "Group",
    "Label",
    "Minted",
    "Rejected",
    "Ticket",
    "TrayMap",
    "check_character",
    "group",
    "imei_check_digit",
    "make_badge",
    "mint",
    "parse_code",
    "parse_imei",
    "parse_payload",
    "pdf_of",
    "render",
    "render_batch",
    "ticket_payload",
    "tray_map",
]
