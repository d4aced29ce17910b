"""Checks a document against a schema of shared/schema/; the result is a readable list of where it does not fit.

Reads the part of JSON Schema (2020-12) that our own schemas of documents use, and no more. What a schema does not
mention is not looked into, however deep it is, nor is a list with too many entries; `uniqueItems` covers texts only.
"""

import re
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple, cast

Schema = dict[str, Any]


class FormFault(NamedTuple):
    """A JSON Pointer into the document, and what is wrong there."""

    pointer: str
    what: str

    def __str__(self) -> str:
        return f"{self.pointer or '/'} {self.what}"


def form_faults(value: object, schema: Schema) -> list[FormFault]:
    """Every fault, outer before inner. Raises ValueError for a schema that uses a keyword this does not read."""
    return list(_faults(value, schema, schema, ""))


def _faults(value: object, rule: Schema, root: Schema, at: str) -> Iterator[FormFault]:
    rule = _resolved(rule, root)
    unread = set(rule) - _READ
    if unread:
        raise ValueError(f"not read: {sorted(unread)}")
    kind = rule.get("type")
    if kind is not None and not _TYPES[kind](value):
        yield FormFault(at, f"must be {_WORDS[kind]}")
        return
    if "enum" in rule and value not in rule["enum"]:
        yield FormFault(at, f"must be one of {', '.join(rule['enum'])}")
    if "const" in rule and value is not rule["const"]:
        yield FormFault(at, "has a value that it may not have")
    if "oneOf" in rule and sum(not list(_faults(value, each, root, at)) for each in rule["oneOf"]) != 1:
        yield FormFault(at, "has none of the forms it may have")
    if isinstance(value, str):
        yield from _of_text(value, rule, at)
    elif isinstance(value, int) and not isinstance(value, bool):
        yield from _of_number(value, rule, at)
    elif isinstance(value, list):
        yield from _of_list(cast(list[object], value), rule, root, at)
    elif isinstance(value, dict):
        yield from _of_object(cast(dict[str, object], value), rule, root, at)


def _resolved(rule: Schema, root: Schema) -> Schema:
    if "$ref" not in rule:
        return rule
    return cast(Schema, root["$defs"][rule["$ref"].removeprefix("#/$defs/")])


def _of_text(value: str, rule: Schema, at: str) -> Iterator[FormFault]:
    if len(value) < rule.get("minLength", 0):
        yield FormFault(at, "must not be empty")
    elif len(value) > rule.get("maxLength", len(value)):
        yield FormFault(at, f"must have at most {rule['maxLength']} characters")
    # In JSON Schema $ matches the end of the text; in Python it would also match before a last line feed.
    elif "pattern" in rule and not re.search(re.sub(r"\$$", r"\\Z", rule["pattern"]), value):
        yield FormFault(at, f"must be {rule.get('description', 'like ' + rule['pattern'])}")


def _of_number(value: int, rule: Schema, at: str) -> Iterator[FormFault]:
    if value < rule.get("minimum", value):
        yield FormFault(at, f"must be at least {rule['minimum']}")
    if value > rule.get("maximum", value):
        yield FormFault(at, f"must be at most {rule['maximum']}")


def _of_list(value: list[object], rule: Schema, root: Schema, at: str) -> Iterator[FormFault]:
    if len(value) < rule.get("minItems", 0):
        yield FormFault(at, f"must have at least {rule['minItems']} entries")
    if len(value) > rule.get("maxItems", len(value)):
        yield FormFault(at, f"must have at most {rule['maxItems']} entries")
        return
    texts = [entry for entry in value if isinstance(entry, str)]
    if rule.get("uniqueItems") and len(set(texts)) < len(texts):
        yield FormFault(at, "must not name anything twice")
    if "items" in rule:
        for place, entry in enumerate(value):
            yield from _faults(entry, rule["items"], root, f"{at}/{place}")


def _of_object(value: dict[str, object], rule: Schema, root: Schema, at: str) -> Iterator[FormFault]:
    known: dict[str, Schema] = rule.get("properties", {})
    for name in rule.get("required", []):
        if name not in value:
            yield FormFault(at, f"lacks {name}")
    for name, needs in rule.get("dependentRequired", {}).items():
        for needed in needs:
            if name in value and needed not in value:
                yield FormFault(at, f"lacks {needed}")
    if len(value) > rule.get("maxProperties", len(value)):
        yield FormFault(at, f"must have at most {rule['maxProperties']} members")
        return
    more: Schema | bool = rule.get("additionalProperties", True)
    for name in sorted(set(value) - set(known)):
        if isinstance(more, bool):
            if not more:
                yield FormFault(at, f"has {name}, which is not known")
            continue
        for fault in _faults(name, rule.get("propertyNames", {}), root, at):
            yield FormFault(at, f"has the name {name}, which {fault.what}")
        yield from _faults(value[name], more, root, f"{at}/{name}")
    for name, inner in known.items():
        if name in value:
            yield from _faults(value[name], inner, root, f"{at}/{name}")


_READ = {
    "$schema", "$comment", "$defs", "title", "description", "type", "enum", "const", "oneOf", "minLength", "maxLength",
    "pattern", "minimum", "maximum", "items", "minItems", "maxItems", "uniqueItems", "properties", "required",
    "dependentRequired", "additionalProperties", "propertyNames", "maxProperties",
}  # fmt: skip
_TYPES: dict[str, Callable[[object], bool]] = {
    "object": lambda value: isinstance(value, dict),
    "array": lambda value: isinstance(value, list),
    "string": lambda value: isinstance(value, str),
    "integer": lambda value: isinstance(value, int) and not isinstance(value, bool),
}
_WORDS = {"object": "an object", "array": "a list", "string": "a text", "integer": "a whole number"}
