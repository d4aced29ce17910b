"""`traymark serve`: the shop on its own network."""

import argparse
import ipaddress
import logging
import os
import signal
import socket
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import uvicorn
from litestar import Litestar

from traymark.api.news import News
from traymark.api.stopping import StoppingServer
from traymark.app import create_app
from traymark.cli.enrol import print_invite
from traymark.cli.opening import keep_address, settings_of
from traymark.cli.say import CliError
from traymark.clock import system_clock_ms
from traymark.config import Settings
from traymark.docs.shop import begin_shop, host_time_zone
from traymark.docs.stations import tell_stations
from traymark.log.database import StoreDamaged, StoreInUse
from traymark.log.form import FormUnknown
from traymark.stations.invites import VALID_MS, make_invite
from traymark.stations.registry import has_stations
from traymark.tls.host_names import HostNames, find_host_names
from traymark.tls.tls_files import TlsFiles, TlsUnreadableError, ready_tls_files

# Requests in progress when the server stops get this long; news streams are ended at once.
_GRACE_S = 3
_EVERYWHERE = "0.0.0.0"  # noqa: S104  # the shop's network is what it is for; HTTPS goes with it


def run(options: argparse.Namespace) -> int:
    """Serve until told to stop."""
    settings = _settings(options)
    host = find_host_names(tuple(options.host_name))
    certificate, key = _own_certificate(settings)
    is_local = certificate is None and not options.new_authority and is_loopback(settings.host)
    tls = None if certificate or is_local else local_tls(settings, host, new_authority=options.new_authority)
    base_url = settings.public_url or _base_url(settings, host, is_https=not is_local)
    listeners = listen(settings.host, settings.port)
    app = open_app(replace(settings, public_url="" if is_local else base_url))
    store = app.state.store
    begin_shop(store, host_time_zone())
    tell_stations(store)
    keep_address(settings.data_dir, base_url)

    def announce() -> None:
        print(f"Traymark serves {settings.data_dir}\n\n  {base_url}")
        if tls is not None:
            _print_trust(tls, base_url)
        if not has_stations(store):
            print_invite(make_invite(store, "", "lead", system_clock_ms()), base_url, "lead", VALID_MS)
        print("Stop with Ctrl-C.", flush=True)

    run_server(app, listeners, certificate or (tls.server if tls else None), key, announce)
    return 0


def open_app(settings: Settings) -> Litestar:
    """The server's app on a folder that no other server is using."""
    try:
        return create_app(settings)
    except (StoreInUse, StoreDamaged, FormUnknown) as error:
        raise CliError(str(error)) from error


class AnnouncingServer(StoppingServer):
    """Prints its announcement only once it answers, so that whoever follows it at once is not refused."""

    def __init__(self, config: uvicorn.Config, news: News, announce: Callable[[], None]) -> None:
        super().__init__(config, news)
        self._announce = announce

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Signal handlers are in place by now."""
        await super().startup(sockets)
        if self.started:
            self._announce()


def run_server(
    app: Litestar,
    listeners: list[socket.socket],
    certificate: Path | None,
    key: Path | None,
    announce: Callable[[], None],
) -> None:
    """Serve until SIGINT or SIGTERM; on return the store is closed."""
    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(levelname)s %(name)s %(message)s")
    config = uvicorn.Config(
        app,
        log_config=None,
        # Addresses hold ticket tokens, which are the customer's alone.
        access_log=False,
        lifespan="on",
        ws="none",
        server_header=False,
        timeout_graceful_shutdown=_GRACE_S,
        ssl_certfile=certificate,
        ssl_keyfile=key,
    )
    # uvicorn raises the signal again once it has stopped; by then everything is closed.
    signal.signal(signal.SIGTERM, lambda _signal, _frame: None)
    with suppress(KeyboardInterrupt):
        AnnouncingServer(config, app.state.news, announce).run(sockets=listeners)


def listen(host: str, port: int) -> list[socket.socket]:
    """The sockets to serve on. Raises CliError when the address is taken or not this machine's."""
    hosts = ["127.0.0.1", "::1"] if host == "localhost" else [host]
    found: list[socket.socket] = []
    for address in hosts:
        family = socket.AF_INET6 if ":" in address else socket.AF_INET
        try:
            found.append(socket.create_server((address, port), family=family, backlog=512))
        except OSError as error:
            if address == "::1" and found:
                continue  # a machine without IPv6
            text = (
                "the port is in use; choose another with --port" if error.errno == 98 else os.strerror(error.errno or 0)
            )
            raise CliError(f"cannot listen on {address} port {port}: {text}") from error
    return found


def is_loopback(host: str) -> bool:
    """Whether only this machine can reach this address. Browsers trust it without HTTPS."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def local_tls(settings: Settings, host: HostNames, *, new_authority: bool) -> TlsFiles:
    """The shop's own authority and certificate, ready."""
    try:
        return ready_tls_files(settings.data_dir / "tls", host, datetime.now(UTC), new_authority=new_authority)
    except TlsUnreadableError as error:
        raise CliError(
            f"{error} is damaged. Phones trust what was in it: restore it from a copy, "
            "or make a new one with --new-authority and have every phone trust that"
        ) from error


def _settings(options: argparse.Namespace) -> Settings:
    settings = settings_of(options)
    host = options.host or (settings.host if "TRAYMARK_HOST" in os.environ else _EVERYWHERE)
    certificate, key = options.certificate or settings.tls_certificate, options.key or settings.tls_key
    if bool(certificate) != bool(key):
        raise CliError("--certificate and --key go together", 2)
    return replace(
        settings, host=host, port=options.port or settings.port, tls_certificate=str(certificate), tls_key=str(key)
    )


def _own_certificate(settings: Settings) -> tuple[Path | None, Path | None]:
    if not settings.tls_certificate:
        return None, None
    certificate, key = Path(settings.tls_certificate), Path(settings.tls_key)
    for path in (certificate, key):
        if not path.is_file():
            raise CliError(f"{path} is not there", 2)
    return certificate, key


def _base_url(settings: Settings, host: HostNames, *, is_https: bool) -> str:
    if not is_https:
        return f"http://localhost:{settings.port}"
    name = host.first_outside if settings.host in (_EVERYWHERE, "::") else settings.host
    return f"https://[{name}]:{settings.port}" if ":" in name else f"https://{name}:{settings.port}"


def _print_trust(tls: TlsFiles, base_url: str) -> None:
    if "authority" in tls.made:
        print("\nA certificate authority for this shop was made; it can vouch for this machine only.")
    print(f"\nEach phone trusts it once, before it joins:\n\n  {base_url}/trust\n\n  SHA-256 {tls.fingerprint}")
    if tls.outside:
        names = ", ".join(tls.outside)
        print(
            f"\nNot covered by the authority that phones trust: {names}.\n"
            "The other names still work. To cover these, "
            "start once with --new-authority; every phone then has to trust the new one."
        )
