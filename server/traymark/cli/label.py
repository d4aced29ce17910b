"""`traymark label`: draws one label into a file."""

import argparse
import re
from pathlib import Path

from traymark.cli.say import CliError
from traymark.tables import problems, table
from traymark_labels import Rejected, render

_FORMATS = ("png", "pdf")
_RESOLUTIONS = (203, 300, 600)


def add_options(command: argparse.ArgumentParser) -> None:
    """Kind, fields and output file."""
    kinds = sorted(table("labels")["kinds"])
    command.description = "Draw one label. Fields as NAME=VALUE; leave them out for a list of them."
    command.add_argument("kind", choices=kinds, help=f"one of {', '.join(kinds)}", metavar="KIND")
    command.add_argument("fields", nargs="*", metavar="NAME=VALUE", help="what the label says")
    command.add_argument("--out", type=Path, help="file to write, .png or .pdf (default: KIND.png here)")
    command.add_argument("--dpi", type=int, choices=_RESOLUTIONS, default=203, help="dots per inch of the printer")


def run(options: argparse.Namespace) -> int:
    """0 when the file is written; 2 when the fields do not make a label."""
    out: Path = options.out or Path(f"{options.kind}.png")
    ending = out.suffix.removeprefix(".").lower()
    if ending not in _FORMATS:
        raise CliError(f"{out} must end in .png or .pdf", 2)
    label = render(options.kind, _fields(options.kind, options.fields), options.dpi)
    if isinstance(label, Rejected):
        where = label.pointer.removeprefix("/fields").removeprefix("/")
        what = label.detail or problems()[label.slug]["title"]
        raise CliError(f"{where}: {what}\n{_known(options.kind)}" if where else f"{what}\n{_known(options.kind)}", 2)
    out.write_bytes(label.png() if ending == "png" else label.pdf())
    print(f"wrote {out}")
    return 0


def _fields(kind: str, given: list[str]) -> dict[str, str | int]:
    rows = table("labels")["kinds"][kind]["fields"]
    fields: dict[str, str | int] = {}
    for text in given:
        name, equals, value = text.partition("=")
        if not equals or name not in rows:
            raise CliError(f"{text!r} is not NAME=VALUE with a field of this label\n{_known(kind)}", 2)
        is_number = rows[name]["type"] == "int" and re.fullmatch(r"[0-9]{1,9}", value)
        fields[name] = int(value) if is_number else value
    return fields


def _known(kind: str) -> str:
    lines = [f"Fields of a {kind} label:"]
    for name, row in table("labels")["kinds"][kind]["fields"].items():
        choice = f" ({', '.join(row['words'])})" if "words" in row else ""
        lines.append(f"  {name}{'' if row['required'] else ' (optional)'}: {row['means']}{choice}")
    return "\n".join(lines)
