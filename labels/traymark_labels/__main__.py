"""Draws one label into a file: python -m traymark_labels tray --field code=T7K200001M --dpi 300 --out tray.png"""

import argparse
import sys
from pathlib import Path

from traymark_labels.kinds import dots_per_um, label_kinds
from traymark_labels.label import render
from traymark_labels.rejected import Rejected


def main(arguments: list[str] | None = None) -> int:
    """0 when the file is written, 1 when the fields are not sound; argparse ends wrong usage with 2."""
    asked = _parser().parse_args(arguments)
    fields: dict[str, str | int] = dict(asked.field)
    label = render(asked.kind, fields, asked.dpi)
    if isinstance(label, Rejected):
        print(f"{label.slug}: {label.detail}", file=sys.stderr)
        return 1
    out: Path = asked.out
    out.write_bytes(label.pdf() if out.suffix.lower() == ".pdf" else label.png())
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m traymark_labels",
        description="Draw one label.",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        epilog="fields:\n" + "\n".join(_fields_of(kind) for kind in label_kinds()),
    )
    parser.add_argument("kind", choices=list(label_kinds()))
    parser.add_argument("--field", action="append", default=[], type=_name_and_value, metavar="NAME=VALUE")
    parser.add_argument("--dpi", type=int, choices=list(dots_per_um()), default=300)
    parser.add_argument("--out", type=_picture_path, required=True, metavar="FILE", help="ends in .png or .pdf")
    return parser


def _fields_of(kind: str) -> str:
    fields = label_kinds()[kind].fields
    return f"  {kind}: " + ", ".join(name if field.required else f"[{name}]" for name, field in fields.items())


def _name_and_value(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not name or not equals:
        raise argparse.ArgumentTypeError(f"NAME=VALUE was expected, not {text!r}")
    return name, value


def _picture_path(text: str) -> Path:
    path = Path(text)
    if path.suffix.lower() not in (".png", ".pdf"):
        raise argparse.ArgumentTypeError("a name that ends in .png or .pdf was expected")
    return path


if __name__ == "__main__":
    sys.exit(main())
