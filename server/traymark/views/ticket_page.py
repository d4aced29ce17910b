"""What a customer sees on scanning the ticket: stage, promise, reason for a stop. No personal data, no script.

Not even the model or the complaint is shown: a lost ticket tells its finder nothing about its owner.
"""

from base64 import b64encode
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from html import escape
from typing import Any

from traymark.fold.records_gen import Job
from traymark.rules.cell import has_unsafe_cell
from traymark.rules.zone import zone_of
from traymark.tables import stages, table
from traymark.views.outcome_words import outcome_words, reason_words

_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
# A promise is about work that is still to come.
_PROMISED_STAGES = frozenset(("booked", "bench"))
# From here on the page says what came of the job; a stopped job that was closed up is ready to collect, not repaired.
_TOLD_STAGES = frozenset(("stopped", "ready"))
# A shape for each stage, so that colour is not the only sign of it.
_SIGNS = {"booked": "○", "bench": "◐", "stopped": "■", "ready": "✓", "handed_over": "●"}


@dataclass(frozen=True)
class TicketStatus:
    """The words of the page."""

    sign: str
    stage: str
    text: str
    more: tuple[str, ...]
    """What came of it, why, where an unsafe battery is, and what must not be done."""
    promised: str | None
    shop_name: str
    phone: str | None


def ticket_status(job: Job, settings: dict[str, Any], place: str | None = None) -> TicketStatus:
    """The status of a booked job in words. `settings` is the body of the shop's settings document."""
    stage: str = job["stage"]
    tail = outcome_words(job).get("tail") if stage == "ready" else None
    promised = None
    if stage in _PROMISED_STAGES and job["promised_at_ms"] is not None:
        promised = moment_text(job["promised_at_ms"], str(settings.get("time_zone") or ""))
    phone = str(settings.get("phone") or "")
    return TicketStatus(
        sign=_SIGNS[stage],
        stage=stages()[stage]["name"] + ("" if tail is None else f", {tail}"),
        text=_text(job),
        more=tuple(_more(job, place)),
        promised=promised,
        shop_name=str(settings.get("shop_name") or ""),
        phone=phone or None,
    )


def _text(job: Job) -> str:
    """With an unsafe battery inside, the device is not offered for collection."""
    stage = "stopped" if job["stage"] == "ready" and has_unsafe_cell(job) else job["stage"]
    return str(stages()[stage]["customer"])


def _more(job: Job, place: str | None) -> Iterable[str]:
    if job["stage"] in _TOLD_STAGES:
        words, reason = outcome_words(job), reason_words(job)
        if "tail" in words:
            yield str(words["say"])
        if reason is not None:
            yield reason
    if has_unsafe_cell(job):
        if job["stage"] == "handed_over":
            yield str(table("record")["cautions"]["battery"])
        else:
            yield str(table("record")["places"]["safe" if place == "safe" else "here"])


def moment_text(at_ms: int, time_zone: str) -> str:
    """A moment on the shop's clock, such as `Thursday 26 November, 17:30`; without a zone in UTC, and says so."""
    zone = zone_of(time_zone)
    suffix = " UTC" if zone is None else ""
    try:
        at = datetime.fromtimestamp(at_ms / 1000, tz=zone or UTC)
    except (ValueError, OverflowError, OSError):
        return "a later day"
    return f"{_DAYS[at.weekday()]} {at.day} {_MONTHS[at.month - 1]}, {at.hour:02}:{at.minute:02}{suffix}"


def status_html(status: TicketStatus) -> str:
    """The page of a known ticket."""
    lines = [
        f'<p class="stage"><span aria-hidden="true">{status.sign}</span> {escape(status.stage)}</p>',
        f"<h1>{escape(status.text)}</h1>",
    ]
    lines += [f"<p>{escape(line)}</p>" for line in status.more]
    if status.promised is not None:
        lines.append(f"<p>Promised for<br><strong>{escape(status.promised)}</strong></p>")
    return page(status.stage, lines, status.shop_name, status.phone)


def nothing_html() -> str:
    """The one page for an unknown ticket and for a shop that publishes none: nobody can tell them apart."""
    lines = [
        "<h1>There is nothing under this address.</h1>",
        "<p>Compare the address with your ticket. If it is the same, please ask the shop: "
        "the ticket itself is still good.</p>",
    ]
    return page("Ticket", lines)


def slow_down_html() -> str:
    """The page for somebody who sends too many requests."""
    return page(
        "Ticket", ["<h1>Please wait a little.</h1>", "<p>This page was asked for too often. Try again in a minute.</p>"]
    )


def page(title: str, lines: list[str], shop_name: str = "", phone: str | None = None) -> str:
    """A plain page of a title and lines of HTML that are already escaped."""
    foot: list[str] = []
    if shop_name:
        foot.append(escape(shop_name))
    if phone is not None:
        dial = "".join(c for c in phone if c.isdigit() or c == "+")
        foot.append(f'<a href="tel:{escape(dial)}">{escape(phone)}</a>')
    footer = f"<footer>{'<br>'.join(foot)}</footer>" if foot else ""
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta name="robots" content="noindex, nofollow"><meta name="color-scheme" content="light dark">'
        f"<title>{escape(title)}</title><style>{_STYLE}</style></head>"
        f"<body><main>{''.join(lines)}</main>{footer}</body></html>"
    )


_STYLE = (
    ":root{color-scheme:light dark}"
    "*{box-sizing:border-box}"
    "html{background:#f7f5f0}"
    "body{margin:0;min-height:100vh;min-height:100dvh;display:flex;flex-direction:column;justify-content:space-between;gap:2rem;"
    "padding:clamp(1.25rem,6vw,3rem);font:400 1.375rem/1.5 system-ui,sans-serif;color:#1d2524}"
    "main{max-width:34rem}"
    ".stage{display:inline-block;margin:0 0 1.5rem;padding:.35em .8em;border:2px solid currentColor;"
    "border-radius:.4rem;font-weight:600;color:#0d4b47}"
    "h1{margin:0 0 1.25rem;font-size:clamp(1.75rem,7vw,2.5rem);line-height:1.2;font-weight:650;text-wrap:balance}"
    "p{margin:0 0 1.25rem}"
    "code{overflow-wrap:anywhere;font-size:1rem}"
    "li{margin-bottom:.75rem}"
    "footer{padding-top:1.25rem;border-top:1px solid currentColor}"
    "a{color:inherit;display:inline-block;min-height:48px;padding:.4em 0;font-weight:600}"
    "@media (prefers-color-scheme:dark){html{background:#15191a}body{color:#eceae4}.stage{color:#8fd6c9}}"
)

# The policy allows the page's one style by its hash; nothing else may be loaded or run.
STYLE_POLICY = (
    f"default-src 'none'; style-src 'sha256-{b64encode(sha256(_STYLE.encode()).digest()).decode()}'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
