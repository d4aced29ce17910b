"""Generates the types of events.json for both languages: event bodies, and the records that the effects make.

python shared/generate.py          writes the files that are out of date
python shared/generate.py --check  writes nothing, names the files that are out of date, and exits with 1 if any are
"""

import json
import re
import sys
from hashlib import sha256
from keyword import iskeyword
from pathlib import Path
from typing import Any, NamedTuple

HERE = Path(__file__).resolve().parent
SERVER = HERE.parent / "server/traymark"
APP = HERE.parent / "pwa/src"
WIDTH = 120

Table = dict[str, Any]

TS_HEAD = "// Generated from shared/events.json by shared/generate.py. Do not edit."
PY_HEAD = '"""Generated from shared/events.json by shared/generate.py. Do not edit."""'
TS_TEXT_ID = (
    "/**",
    " * The id of a text (F7.9): a string, which the compiler takes for a symbol, so that neither JSX nor a template",
    " * shows it in place of its text.",
    " */",
    "export type TextId = symbol;",
)
FOLD_TABLES = "The tables that say what events do: the first digits of a SHA-256 over what the fold reads of them."


def main(arguments: list[str]) -> int:
    """Write or check the files. Returns the exit status."""
    table: Table = json.loads((HERE / "events.json").read_text(encoding="utf-8"))
    written = {
        SERVER / "events/kinds_gen.py": python_types(table),
        SERVER / "fold/records_gen.py": python_records(table),
        APP / "events/kinds.gen.ts": typescript_types(table),
        APP / "fold/records.gen.ts": typescript_records(table),
    }
    stale = [
        (path, text) for path, text in written.items() if not path.is_file() or path.read_text(encoding="utf-8") != text
    ]
    for path, text in stale:
        print(f"{'out of date' if '--check' in arguments else 'written'}: {path.relative_to(HERE.parent)}")
        if "--check" not in arguments:
            path.write_text(text, encoding="utf-8", newline="\n")
    return 1 if stale and "--check" in arguments else 0


def typescript_types(table: Table) -> str:
    """The TypeScript file of events: `Kind`, a union for each enumeration, and `Bodies`, which maps kinds to bodies."""
    lines = [TS_HEAD, "", f"/** {FOLD_TABLES} */", f'export const FOLD_TABLES = "{tables_name()}";', ""]
    for name, values in table["enums"].items():
        lines += _ts_union(_title(name), values)
    lines += _ts_union("Kind", list(table["kinds"]))
    lines += [
        "",
        *TS_TEXT_ID,
        "",
        "/** What is written of each kind (F2.5); texts as they were typed. */",
        "export type Bodies = {",
    ]
    for kind, row in table["kinds"].items():
        lines.append(f'  readonly "{kind}": {{')
        for name, notation in row["fields"].items():
            lines.append(f"    readonly {name}: {_ts_type(notation)};")
        lines.append("  };")
        if not row["fields"]:
            lines[-2:] = [f'  readonly "{kind}": Readonly<Record<string, never>>;']
    return "\n".join([*lines, "};", ""])


def python_types(table: Table) -> str:
    """The Python file of events: `Kind`, a Literal for each enumeration, a TypedDict for each body."""
    lines = [
        PY_HEAD,
        "",
        "from typing import Literal, NotRequired, TypedDict",
        "",
        f'FOLD_TABLES = "{tables_name()}"',
        f'"""{FOLD_TABLES}"""',
        "",
    ]
    for name, values in table["enums"].items():
        lines += _py_literal(_title(name), values)
    lines += _py_literal("Kind", list(table["kinds"]))
    for kind, row in table["kinds"].items():
        lines += _py_body(kind, row["fields"])
    return "\n".join([*lines, ""])


def tables_name() -> str:
    """A name for the fold's tables, so that a state made by other tables is folded again."""
    tables = sha256()
    for name in ("events", "stages"):
        tables.update((HERE / f"{name}.json").read_bytes())
    return tables.hexdigest()[:16]


class Member(NamedTuple):
    """One member of a record: how effects fill it, and from which values (field notations, `@...`, constants)."""

    shape: str
    """`one`, `list`, `map`, `stamp`, `count`, `stage`, `stop`, `heads`, `findings`, `ranges`, `late` or `number`."""
    values: dict[str, set[str]]
    """Sources by the name they are written under; for `one` and `stop` the name is empty."""
    may_be_null: bool


def members_of(table: Table, collection: str) -> dict[str, Member]:
    """The members of a collection's record, as the effect rows write them. KeyError for a member that no row writes."""
    blank = table["records"][collection]
    found: dict[str, Member] = {
        "findings": Member("findings", {}, False),
        "seq": Member("number", {}, False),
        "away": Member("ranges", {}, False),
        "late": Member("late", {}, False),
    }
    for row in table["kinds"].values():
        for effect in (e for e in row["effects"] if e.get("on") == collection):
            for name, shape, values in _written_by(effect):
                member = found.setdefault(name, Member(shape, {}, blank[name] is None))
                for under, source in values.items():
                    member.values.setdefault(under, set()).add(_notation(row["fields"], source))
            if effect["op"] == "recall":
                member = found.setdefault(effect["to"], Member("map", {}, False))
                for under, notations in members_of(table, effect["from"])[effect["list"]].values.items():
                    member.values.setdefault(under, set()).update(notations)
                member.values["of"] = {"text(40)"}
    return {name: found[name] for name in blank}


def _written_by(effect: Table) -> list[tuple[str, str, dict[str, str]]]:
    match effect["op"]:
        case "set":
            return [(name, "one", {"": source}) for name, source in effect["values"].items()]
        case "stamp" | "list" | "map":
            return [(effect["to"], effect["op"], effect["values"])]
        case "count":
            return [(effect["to"], "count", dict.fromkeys(effect["add"], "=0"))]
        case "stage":
            return [("stage", "stage", {})]
        case "stop":
            return [("stage", "stage", {}), ("stop", "stop", {"": "@reason"})]
        case "move":
            return [("heads", "heads", {})]
        case _:
            return []


def _notation(fields: dict[str, str], source: str) -> str:
    """The type of a value: a field's notation, with `?` when it may be absent, or the source itself."""
    return source if source[0] in "@=" else fields.get(source) or f"{fields[f'{source}?']}?"


def typescript_records(table: Table) -> str:
    """The TypeScript file of records: a type for each collection, and one for each member that holds stamps."""
    lines = TS_STAMPS.splitlines()
    for collection in table["records"]:
        record: list[str] = []
        for name, member in members_of(table, collection).items():
            own = f"{_title(collection)}{_title(name)}"
            lines += _ts_own(own, member)
            note = table["notes"].get(f"{collection}.{name}")
            record += [f"  /** {note} */"] if note else []
            record.append(f"  readonly {name}: {_ts_shape(own, member, table['records'][collection][name])};")
        lines += ["", f"export type {_title(collection)} = {{", *record, "};"]
    known = [*map(_title, table["enums"]), "TextId"]
    used = [name for name in known if re.search(rf"\b{name}\b", "\n".join(lines))]
    imports = [f'import type {{ {", ".join(sorted(used))} }} from "../events/kinds.gen.ts";']
    if len(imports[0]) > WIDTH:
        imports = ["import type {", *(f"  {name}," for name in sorted(used)), '} from "../events/kinds.gen.ts";']
    return "\n".join([TS_HEAD, *imports, 'import type { StageId } from "../tables.ts";', *lines, ""])


TS_STAMPS = """
/** Who wrote it and when, and by which event. */
export type Stamp = { readonly event: string; readonly staff: string | null; readonly at_ms: number };
/** A rule that was broken (F5.8). */
export type Finding = { readonly slug: string; readonly event: string };
/** A last move of a thing (F6.2). */
export type Head = {
  readonly to: string;
  readonly staff: string | null;
  readonly at_ms: number;
  readonly why: TextId | null;
};
/** Counters from and to, both included (F5.11). */
export type Range = readonly [from: number, to: number];
/** An event about something put away (F5.12). */
export type Late = Stamp & { readonly code: string };"""


def _ts_own(own: str, member: Member) -> list[str]:
    if member.shape not in ("list", "map", "stamp", "count"):
        return []
    fields = [f"{name}{'?' if member.shape == 'count' else ''}: {_ts_values(of)}" for name, of in member.values.items()]
    stamp = [] if member.shape == "count" else ["Stamp"]
    one = " & ".join([*stamp, *(["{ readonly " + "; readonly ".join(fields) + " }"] if fields else [])])
    if len(f"export type {own} = {one};") <= WIDTH:
        return [f"export type {own} = {one};"]
    start = " & ".join([*stamp, "{"])
    return [f"export type {own} = {start}", *(f"  readonly {field};" for field in fields), "};"]


def _ts_shape(own: str, member: Member, blank: object) -> str:
    plain = {
        "list": f"readonly {own}[]", "map": f"Readonly<Record<string, {own}>>", "stamp": own,
        "count": f"Readonly<Record<string, {own}>>", "stage": "StageId", "heads": "Readonly<Record<string, Head>>",
        "findings": "readonly Finding[]", "number": "number", "ranges": "readonly Range[]",
        "late": "Readonly<Record<string, Late>>",
    }  # fmt: skip
    if member.shape == "stop":
        one = f"Stamp & {{ readonly reason: {_ts_values(member.values[''])} }}"
        return f"({one}) | null"
    if member.shape == "one":
        return "boolean" if blank is False else _ts_values(member.values[""] | ({"=null"} if blank is None else set()))
    return plain[member.shape] + (" | null" if member.may_be_null else "")


def _ts_values(notations: set[str]) -> str:
    types = {part for notation in notations for part in _ts_source(notation).split(" | ")}
    return " | ".join([*sorted(types - {"null"}), *(["null"] if "null" in types else [])])


def _ts_source(notation: str) -> str:
    match notation:
        case "@staff" | "@job":
            return "string | null"
        case "@at":
            return "number"
        case "@event" | "@station":
            return "string"
        case "@reason":
            return "StopReason"
        case "=true" | "=null":
            return notation[1:]
        case "=0":
            return "number"
    if notation[0] == "=":
        return f'"{notation[1:]}"'
    own = "TextId" if notation.startswith("words") else _ts_type(notation.removesuffix("?"))
    return own + (" | null" if notation.endswith("?") else "")


def python_records(table: Table) -> str:
    """The Python file of records: a TypedDict for each collection, and one for each member that holds stamps."""
    lines: list[str] = []
    for collection in table["records"]:
        record: list[str] = []
        for name, member in members_of(table, collection).items():
            own = f"{_title(collection)}{_title(name)}"
            lines += _py_own(own, member)
            record.append(f"    {name}: {_py_shape(own, member, table['records'][collection][name])}")
            note = table["notes"].get(f"{collection}.{name}")
            record += [f'    """{note}"""'] if note else []
        lines += [
            "",
            "",
            f"class {_title(collection)}(TypedDict):",
            f'    """A record of `{collection}`."""',
            "",
            *record,
        ]
    used = sorted(n for n in map(_title, table["enums"]) if re.search(rf"(?<!class )\b{n}\b(?!\()", "\n".join(lines)))
    imports = [f"from traymark.events.kinds_gen import {', '.join(used)}"]
    if len(imports[0]) > WIDTH:
        imports = ["from traymark.events.kinds_gen import (", *(f"    {name}," for name in used), ")"]
    head = [PY_HEAD, "", "from typing import Literal, NotRequired, TypedDict", "", *imports]
    return "\n".join([*head, *PY_STAMPS.splitlines(), *lines, ""])


PY_STAMPS = '''

class Stamp(TypedDict):
    """Who wrote it and when, and by which event."""

    event: str
    staff: str | None
    at_ms: int


class Finding(TypedDict):
    """A rule that was broken (F5.8)."""

    slug: str
    event: str


class Head(TypedDict):
    """A last move of a thing (F6.2)."""

    to: str
    staff: str | None
    at_ms: int
    why: str | None


class Late(Stamp):
    """An event about something put away (F5.12)."""

    code: str'''


def _py_own(own: str, member: Member) -> list[str]:
    if member.shape not in ("list", "map", "stamp", "count", "stop"):
        return []
    if member.shape == "stop":
        fields = {"reason": _py_values(member.values[""])}
    else:
        fields = {name: _py_values(of) for name, of in member.values.items()}
    if member.shape == "count":
        fields = {name: f"NotRequired[{kind_of}]" for name, kind_of in fields.items()}
    if any(iskeyword(name) for name in fields):
        stamps = {"event": "str", "staff": "str | None", "at_ms": "int"}
        rows = [f'        "{name}": {kind_of},' for name, kind_of in (fields | stamps).items()]
        return ["", "", f"{own} = TypedDict(", f'    "{own}",', "    {", *rows, "    },", ")"]
    base = "TypedDict" if member.shape == "count" else "Stamp"
    body = [f"    {name}: {kind_of}" for name, kind_of in fields.items()]
    return ["", "", f"class {own}({base}):", *(body or ["    pass"])]


def _py_shape(own: str, member: Member, blank: object) -> str:
    plain = {
        "list": f"list[{own}]", "map": f"dict[str, {own}]", "stamp": own, "count": f"dict[str, {own}]", "stage": "str",
        "heads": "dict[str, Head]", "findings": "list[Finding]", "number": "int", "stop": own,
        "ranges": "list[list[int]]", "late": "dict[str, Late]",
    }  # fmt: skip
    if member.shape == "one":
        return "bool" if blank is False else _py_values(member.values[""] | ({"=null"} if blank is None else set()))
    return plain[member.shape] + (" | None" if member.may_be_null else "")


def _py_values(notations: set[str]) -> str:
    types = {part for notation in notations for part in _py_source(notation).split(" | ")}
    return " | ".join([*sorted(types - {"None"}), *(["None"] if "None" in types else [])])


def _py_source(notation: str) -> str:
    match notation:
        case "@staff" | "@job":
            return "str | None"
        case "@at" | "=0":
            return "int"
        case "@event" | "@station":
            return "str"
        case "@reason":
            return "StopReason"
        case "=true":
            return "Literal[True]"
        case "=null":
            return "None"
    if notation[0] == "=":
        return f'Literal["{notation[1:]}"]'
    return _py_type(notation.removesuffix("?")) + (" | None" if notation.endswith("?") else "")


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
    # A Python keyword can name a member in JSON, but not an attribute of a class.
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
