"""Writes the types of events.json for both languages.

python shared/generate.py          writes what is out of date
python shared/generate.py --check  writes nothing, names what is out of date, and ends with 1 when anything is
"""

import json
import re
import sys
from keyword import iskeyword
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
PYTHON = HERE.parent / "server/traymark/events/kinds_gen.py"
TYPESCRIPT = HERE.parent / "pwa/src/events/kinds.gen.ts"
WIDTH = 120

Table = dict[str, Any]


def main(arguments: list[str]) -> int:
    """Write or check both files. Returns the exit status."""
    table: Table = json.loads((HERE / "events.json").read_text(encoding="utf-8"))
    stale = [
        (path, text)
        for path, text in ((PYTHON, python_types(table)), (TYPESCRIPT, typescript_types(table)))
        if not path.is_file() or path.read_text(encoding="utf-8") != text
    ]
    for path, text in stale:
        print(f"{'out of date' if '--check' in arguments else 'written'}: {path.relative_to(HERE.parent)}")
        if "--check" not in arguments:
            path.write_text(text, encoding="utf-8", newline="\n")
    return 1 if stale and "--check" in arguments else 0


def typescript_types(table: Table) -> str:
    """The TypeScript file: `Kind`, a union for each enumeration, `Bodies` from kind to body."""
    lines = ["// Generated from shared/events.json by shared/generate.py. Do not edit.", ""]
    for name, values in table["enums"].items():
        lines += _ts_union(_title(name), values)
    lines += _ts_union("Kind", list(table["kinds"]))
    lines += ["", "/** The body that an event of each kind carries (F2.5). */", "export type Bodies = {"]
    for kind, row in table["kinds"].items():
        lines.append(f'  readonly "{kind}": {{')
        for name, notation in row["fields"].items():
            lines.append(f"    readonly {name}: {_ts_type(notation)};")
        lines.append("  };")
        if not row["fields"]:
            lines[-2:] = [f'  readonly "{kind}": Readonly<Record<string, never>>;']
    return "\n".join([*lines, "};", ""])


def python_types(table: Table) -> str:
    """The Python file: `Kind`, a Literal for each enumeration, a TypedDict for each body."""
    lines = [
        '"""Generated from shared/events.json by shared/generate.py. Do not edit."""',
        "",
        "from typing import Literal, NotRequired, TypedDict",
        "",
    ]
    for name, values in table["enums"].items():
        lines += _py_literal(_title(name), values)
    lines += _py_literal("Kind", list(table["kinds"]))
    for kind, row in table["kinds"].items():
        lines += _py_body(kind, row["fields"])
    return "\n".join([*lines, ""])


def _ts_union(name: str, values: list[str]) -> list[str]:
    one = f"export type {name} = {_ts_choice(values)};"
    if len(one) <= WIDTH:
        return [one]
    return [f"export type {name} =", *(f'  | "{value}"' for value in values[:-1]), f'  | "{values[-1]}";']


def _ts_choice(values: list[str]) -> str:
    return " | ".join(f'"{value}"' for value in values)


def _ts_type(notation: str) -> str:
    name, arguments = _split(notation)
    if name == "list":
        return f"readonly {_ts_type(arguments.rpartition(',')[0])}[]"
    if name == "int":
        return "number"
    if name == "enum":
        return _title(arguments)
    if name == "enum_of":
        return _ts_choice(arguments.split(","))
    return "string"


def _py_literal(name: str, values: list[str]) -> list[str]:
    one = f"{name} = Literal[{_py_choice(values)}]"
    if len(one) <= WIDTH:
        return [one]
    return [f"{name} = Literal[", *(f'    "{value}",' for value in values), "]"]


def _py_choice(values: list[str]) -> str:
    return ", ".join(f'"{value}"' for value in values)


def _py_body(kind: str, fields: dict[str, str]) -> list[str]:
    types = {name.removesuffix("?"): _py_member(name, notation) for name, notation in fields.items()}
    name = _title(kind)
    # A keyword can be a member's name in JSON, but not an attribute's in a class.
    if any(iskeyword(field) for field in types):
        members = [f'        "{field}": {kind_of},' for field, kind_of in types.items()]
        one = f'{name} = TypedDict("{name}", {{' + ", ".join(m.strip().rstrip(",") for m in members) + "})"
        if len(one) <= WIDTH:
            return ["", "", one]
        return ["", "", f"{name} = TypedDict(", f'    "{name}",', "    {", *members, "    },", ")"]
    body = [f"    {field}: {kind_of}" for field, kind_of in types.items()]
    return ["", "", f"class {name}(TypedDict):", f'    """Body of `{kind}`."""', *([""] if body else []), *body]


def _py_member(name: str, notation: str) -> str:
    plain = _py_type(notation)
    return f"NotRequired[{plain}]" if name.endswith("?") else plain


def _py_type(notation: str) -> str:
    name, arguments = _split(notation)
    if name == "list":
        return f"list[{_py_type(arguments.rpartition(',')[0])}]"
    if name == "int":
        return "int"
    if name == "enum":
        return _title(arguments)
    if name == "enum_of":
        return f"Literal[{_py_choice(arguments.split(','))}]"
    return "str"


def _split(notation: str) -> tuple[str, str]:
    match = re.fullmatch(r"([a-z_]+)(?:\((.*)\))?", notation)
    if match is None:
        raise ValueError(notation)
    return match[1], match[2] or ""


def _title(name: str) -> str:
    return "".join(word.capitalize() for word in re.split(r"[._]", name))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
