"""The labels of the invented shop as files, and one page of all of them to scan from the screen or from paper."""

from html import escape
from pathlib import Path
from typing import Any, NamedTuple

from traymark.demo import shop
from traymark.demo.seed import Seeded
from traymark.tables import table
from traymark_labels import Rejected, group, render

_DPI = 300


class Drawn(NamedTuple):
    """A label's file with what it is."""

    file: str
    caption: str
    width_mm: int
    height_mm: int


def write_label_sheet(folder: Path, seeded: Seeded) -> Path:
    """Draw everything into the folder. Returns the page's path."""
    folder.mkdir(parents=True, exist_ok=True)
    drawn: dict[str, list[Drawn]] = {}
    for kind, title, fields, caption in _labels(seeded):
        number = len(drawn.setdefault(title, [])) + 1
        drawn[title].append(_draw(folder, f"{kind}-{number}.png", kind, fields, caption))
    page = folder / "sheet.html"
    page.write_text(_html(drawn), encoding="utf-8")
    return page


def _labels(seeded: Seeded) -> list[tuple[str, str, dict[str, Any], str]]:
    """Kind, heading, fields and caption of each label."""
    rows: list[tuple[str, str, dict[str, Any], str]] = []
    for person, badge in seeded.badges:
        fields: dict[str, Any] = {
            "code": badge.badge,
            "name": person.name,
            "role": person.role.capitalize(),
            "shop": shop.SHOP_NAME,
        }
        rows.append(
            ("badge", "Badges: sign on with one", fields, f"{person.name}, {person.role}. Typed: {group(badge.badge)}")
        )
    titles = {
        "ticket": "Tickets",
        "device": "Devices",
        "tray": "Trays",
        "part": "New parts",
        "core": "Old parts",
        "box": "Boxes",
    }
    for kind, title in titles.items():
        rows += [(kind, title, label.fields, label.caption) for label in seeded.shown if label.kind == kind]
    return rows


def _draw(folder: Path, file: str, kind: str, fields: dict[str, Any], caption: str) -> Drawn:
    label = render(kind, fields, _DPI)
    if isinstance(label, Rejected):
        raise ValueError(f"{kind}: {label.slug} {label.pointer} {label.detail}")
    (folder / file).write_bytes(label.png())
    size = table("labels")["kinds"][kind]
    return Drawn(file, caption, size["width_mm"], size["height_mm"])


def _html(drawn: dict[str, list[Drawn]]) -> str:
    """A page that stands by itself: opened as a file, printed at true size."""
    parts: list[str] = []
    for title, labels in drawn.items():
        figures = "".join(
            f'<figure><img src="{escape(d.file)}" alt="" style="width:{d.width_mm}mm;height:{d.height_mm}mm">'
            f"<figcaption>{escape(d.caption)}</figcaption></figure>"
            for d in labels
        )
        parts.append(f"<section><h2>{escape(title)}</h2><div>{figures}</div></section>")
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Labels of the demo shop</title>'
        f"<style>{_STYLE}</style></head><body><h1>Labels of the demo shop</h1>"
        "<p>Everything here is invented. Scan from the screen or print at 100 per cent. "
        f"The letters can be typed instead.</p>{''.join(parts)}</body></html>"
    )


_STYLE = (
    "body{font:16px/1.4 system-ui,sans-serif;margin:12mm;color:#1d2524;background:#fff}"
    "div{display:flex;flex-wrap:wrap;gap:6mm}figure{margin:0;break-inside:avoid}"
    "img{display:block;border:1px solid #bbb}figcaption{font-size:13px;margin-top:1mm;max-width:62mm}"
    "h2{font-size:18px;margin:8mm 0 3mm;break-after:avoid}"
)
