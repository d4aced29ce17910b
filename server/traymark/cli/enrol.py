"""`traymark enrol`: a join code from the machine itself, even while the server runs."""

import argparse

from traymark.cli.opening import kept_address, open_store, settings_of
from traymark.cli.say import CliError
from traymark.clock import system_clock_ms
from traymark.stations.invites import VALID_MS, Invite, make_invite
from traymark.stations.join_qr import terminal_qr

_MINUTE_MS = 60_000
_HOUR_MS = 60 * _MINUTE_MS


def run(options: argparse.Namespace) -> int:
    """Print one join link."""
    settings = settings_of(options)
    with open_store(settings.data_dir, sole_writer=False) as store:
        base_url = settings.public_url or kept_address(settings.data_dir)
        if not base_url:
            raise CliError("this shop was never served, so it has no address yet; start it with `traymark serve`")
        invite = make_invite(store, options.name.strip()[:80], options.role, system_clock_ms())
    print_invite(invite, base_url, options.role, VALID_MS)
    return 0


def print_invite(invite: Invite, base_url: str, role: str, valid_ms: int) -> None:
    """The link as text and as a QR code."""
    link = invite.link(base_url)
    span = f"{valid_ms // _HOUR_MS} hours" if valid_ms >= _HOUR_MS else f"{valid_ms // _MINUTE_MS} minutes"
    print(f"\nJoin as {role} (works once, for {span}):\n\n  {link}\n")
    print(terminal_qr(link))
