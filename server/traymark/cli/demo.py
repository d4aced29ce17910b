"""`traymark demo`: an invented shop on this machine, to look at and to try."""

import argparse
import shutil
from dataclasses import replace
from pathlib import Path

import msgspec
from litestar import Litestar

from traymark.app import DATABASE
from traymark.cli.enrol import print_invite
from traymark.cli.opening import keep_address, settings_of
from traymark.cli.say import CliError
from traymark.cli.serve import listen, open_app, run_server
from traymark.clock import system_clock_ms
from traymark.config import Settings
from traymark.demo.label_sheet import write_label_sheet
from traymark.demo.seed import seed
from traymark.log.database import StoreInUse, lock_folder
from traymark.stations.invites import DEMO_VALID_MS, make_invite

PORT = 8137

_MARKER = "demo.json"
_DAY_MS = 24 * 3_600_000


class Marker(msgspec.Struct):
    """Marks a folder as a demo's, and says whether it was filled completely."""

    made_at_ms: int
    is_complete: bool


def run(options: argparse.Namespace) -> int:
    """Serve the demo until told to stop."""
    data_dir: Path = options.data
    now_ms = system_clock_ms()
    settings = replace(settings_of(options), data_dir=data_dir, host="localhost", port=options.port, public_url="")
    base_url = f"http://localhost:{options.port}"
    marker = _marker(data_dir)
    listeners = listen("localhost", options.port)
    app = (
        open_app(settings)
        if marker and marker.is_complete and not options.fresh
        else _filled(settings, base_url, now_ms)
    )
    keep_address(data_dir, base_url)
    made_at_ms = marker.made_at_ms if marker and marker.is_complete and not options.fresh else now_ms

    def announce() -> None:
        invite = make_invite(app.state.store, "", "lead", now_ms, DEMO_VALID_MS)
        print(f"Traymark demo: an invented shop in the middle of its day, in {data_dir}")
        if now_ms - made_at_ms > _DAY_MS:
            days = (now_ms - made_at_ms) // _DAY_MS
            print(f"It was made {days} days ago, so its promises are past; --fresh starts over.")
        print_invite(invite, base_url, "lead", DEMO_VALID_MS)
        print(_first_steps(data_dir, base_url), flush=True)

    run_server(app, listeners, None, None, announce)
    return 0


def _filled(settings: Settings, base_url: str, now_ms: int) -> Litestar:
    """A new demo shop. Until it is complete the marker says so, and the next start begins over."""
    data_dir = settings.data_dir
    if data_dir.exists():
        _refuse_running(settings)
        shutil.rmtree(data_dir)
    data_dir.mkdir(parents=True)
    _write_marker(data_dir, Marker(now_ms, is_complete=False))
    app = open_app(settings)
    seeded = seed(app.state.store, now_ms, base_url)
    write_label_sheet(data_dir / "labels", seeded)
    _write_marker(data_dir, Marker(now_ms, is_complete=True))
    return app


def _refuse_running(settings: Settings) -> None:
    """Delete nothing under a running server. What an older or newer version left may go."""
    if (settings.data_dir / DATABASE).is_file():
        try:
            lock_folder(settings.data_dir / DATABASE).release()
        except StoreInUse as error:
            raise CliError(str(error)) from error


def _marker(data_dir: Path) -> Marker | None:
    """The marker of a demo's folder; None without a folder. Raises CliError for a folder that is something else."""
    if not data_dir.exists() or (data_dir.is_dir() and not any(data_dir.iterdir())):
        return None
    try:
        return msgspec.json.decode((data_dir / _MARKER).read_bytes(), type=Marker)
    except (OSError, msgspec.DecodeError) as error:
        raise CliError(f"{data_dir} is not the folder of a demo; name another one with --data") from error


def _write_marker(data_dir: Path, marker: Marker) -> None:
    (data_dir / _MARKER).write_bytes(msgspec.json.encode(marker) + b"\n")


def _first_steps(data_dir: Path, base_url: str) -> str:
    sheet = (data_dir / "labels" / "sheet.html").resolve()
    return (
        "Try first:\n"
        "  1. Open the link above in a browser on this machine.\n"
        f"  2. Open or print the labels: {sheet}\n"
        "  3. Scan or type a badge of that sheet to sign on; Fennick and Wembra work at the bench, Ombra is the lead.\n"
        "  4. Scan a tray in use: it opens its job at the next step.\n"
        "  5. Scan a ticket at the counter, or open its address to see what the customer sees.\n"
        "  6. Scan a box, then the old part that is in no box yet: only the open credit box takes it.\n"
        f"\nServing {base_url}. Stop with Ctrl-C."
    )
