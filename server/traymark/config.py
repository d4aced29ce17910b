"""Settings of the server, read once from TRAYMARK_* variables; nothing else reads the environment."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path

# Names that other programs of this repository read; they are not settings of the server.
_FOR_OTHERS = frozenset({"TRAYMARK_SKIP_PWA"})


class SettingsError(ValueError):
    """A TRAYMARK_* variable that is unknown or has an unusable value. The text names it and is meant for a person."""


@dataclass(frozen=True)
class Settings:
    """Everything that can be set. A field's variable is TRAYMARK_ and its name in capitals."""

    data_dir: Path = Path("traymark-data")
    """Folder of the database, the photos and the certificates. Created if missing."""

    host: str = "127.0.0.1"
    """Address to listen on; 0.0.0.0 for the shop's network."""

    port: int = 8443
    """Port to listen on."""

    public_url: str = ""
    """How phones reach the server, e.g. `https://bench.local:8443`, for tickets. Empty: taken from the request."""

    tls_certificate: str = ""
    """The shop's own certificate chain (PEM). Empty: the server makes a local authority."""

    tls_key: str = ""
    """The key of that certificate (PEM, PKCS#8)."""

    max_push_bytes: int = 262_144
    """Largest batch after inflating (F8.1)."""

    max_json_bytes: int = 262_144
    """Largest other JSON body."""

    max_blob_bytes: int = 8_000_000
    """Largest photo file (F8.5)."""

    max_blob_pixels: int = 40_000_000
    """Largest photo in pixels, width times height; checked before anything is decoded."""

    max_pull_bytes: int = 1_000_000
    """A pull answer ends after the event that reaches this size."""

    max_listeners: int = 200
    """Most open news streams in all; at most 4 per station."""

    heartbeat_s: float = 20.0
    """Idle seconds before a news stream sends a keep-alive."""

    keep_house_every_s: float = 3_600.0
    """Seconds between two looks at what may be put away (F5.14)."""

    backup_dir: str = ""
    """Folder for scheduled backups, best on another disk. Empty: none are made."""

    backup_every_h: float = 24.0
    """Hours between two scheduled backups."""

    backup_keep: int = 7
    """How many scheduled backups are kept. What was erased is in none once so many came after."""

    station_queue: int = 4
    """Most writing requests of one station at once; more are answered 429."""

    write_queue: int = 64
    """Most writing requests of all stations at once; more are answered 503."""


def read_settings(environment: Mapping[str, str]) -> Settings:
    """Settings from the environment. Raises SettingsError for an unknown name or a value of the wrong type."""
    known = {f"TRAYMARK_{f.name.upper()}": f for f in fields(Settings)}
    given: dict[str, object] = {}
    for name, value in sorted(environment.items()):
        if not name.startswith("TRAYMARK_") or name in _FOR_OTHERS:
            continue
        if name not in known:
            raise SettingsError(f"{name} is not a setting of this server")
        field = known[name]
        try:
            given[field.name] = type(field.default)(value)
        except ValueError as error:
            raise SettingsError(f"{name} must be a {type(field.default).__name__}") from error
    return Settings(**given)  # pyright: ignore[reportArgumentType]  # each value was made by its field's own type
