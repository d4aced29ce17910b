"""The page that tests the device it is shown on. It says nothing of the shop, the job or any person.

The markup is complete without the script, so that a browser too old for it still says so.
"""

from traymark.views.ticket_page import page

SCRIPT = "/selftest/selftest.js"
STYLE = "/selftest/selftest.css"

# Sound is made and recorded in the page, and previews are live streams: the policy has to allow no address for either.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
PERMISSIONS = (
    "camera=(self), microphone=(self), accelerometer=(self), gyroscope=(self), magnetometer=(self), fullscreen=(self), "
    "geolocation=(), payment=(), usb=()"
)


def selftest_html() -> str:
    """The page of a valid address."""
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover">'
        '<meta name="robots" content="noindex, nofollow"><meta name="color-scheme" content="light dark">'
        f'<title>Device test</title><link rel="stylesheet" href="{STYLE}"></head><body>'
        '<main id="test"><h1>This device tests itself</h1>'
        "<p>If no button appears below, this browser is too old for the test, or scripts are switched off. "
        "Test by hand then.</p></main>"
        f'<script src="{SCRIPT}"></script></body></html>'
    )


def over_html() -> str:
    """One page for addresses that never existed and for expired ones."""
    return page(
        "Device test",
        [
            "<h1>This address is not good any more.</h1>",
            "<p>It works once and for 15 minutes. Show a new one on the shop's screen, and scan that.</p>",
        ],
    )


def sent_html() -> str:
    """The page of an address whose results have arrived."""
    return page(
        "Device test",
        [
            "<h1>The results were sent.</h1>",
            "<p>The shop's screen has them. To test once more, show a new address there, and scan that.</p>",
        ],
    )


def slow_down_html() -> str:
    """The page for somebody who sends too many requests."""
    return page("Device test", ["<h1>Please wait a little.</h1>", "<p>Try again in a minute.</p>"])
