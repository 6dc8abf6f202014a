"""Mistakes in the schema files themselves: they ship with the program, so that tests look for them and no run does."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from kbgen.nearest import nearest
from kbgen.quantity import DIMENSIONS
from kbgen.ref import Kind
from kbgen.schemas import file_name
from kbgen.schemas.editor import DIALECT
from kbgen.schemas.inline import find_ref


class SchemaFault(NamedTuple):
    """One mistake in a schema file.

    Attributes:
        path: The schema file, e.g. ``schema/caution.schema.json``.
        pointer: JSON pointer to the mistake.
        message: What is wrong and what to write instead.
    """

    path: str
    pointer: str
    message: str

    def __str__(self) -> str:
        return f"{self.path}: {self.pointer or '/'}: {self.message}"


def faults_in(where: Path) -> list[SchemaFault]:
    """Return every mistake of all schema files in a folder."""
    faults: list[SchemaFault] = []
    files: dict[str, Any] = {}
    for path in sorted(where.glob("*.schema.json")):
        try:
            files[path.name] = json.loads(path.read_text(encoding="utf-8"))
        except (OSError, ValueError) as fault:
            faults.append(SchemaFault(f"schema/{path.name}", "", f"cannot be read as JSON: {fault}"))
    for name, raw in files.items():
        faults += faults_of(name, raw, files)
    names = [file_name(kind) for kind in (None, *Kind)]
    return faults + [
        SchemaFault(f"schema/{name}", "", "the file is missing")
        for name in names
        if not (where / name).is_file()
    ]


def _count(value: Any) -> bool:
    return type(value) is int and value >= 0


def _number(value: Any) -> bool:
    return type(value) in (int, float)


def _text(value: Any) -> bool:
    return isinstance(value, str)


def _names(value: Any) -> bool:
    return isinstance(value, list) and all(map(_text, value)) and len(set(value)) == len(value)


def _pairs(value: Any) -> bool:
    return isinstance(value, dict) and bool(value) and all(map(_text, value.values()))


def _expression(value: Any) -> bool:
    try:
        return bool(re.compile(value))
    except (re.error, TypeError):
        return False


_TYPES = ("object", "array", "string", "integer", "number", "boolean")

# Every keyword a schema file may use, and what its value must be.
_KEYWORDS: Mapping[str, tuple[Callable[[Any], bool], str]] = {
    "$schema": (lambda value: value == DIALECT, f"the dialect {DIALECT}"),
    "$id": (_text, "a text"),
    "$ref": (_text, "a text"),
    "$comment": (_text, "a text"),
    "$defs": (lambda value: isinstance(value, dict), "a map of schemas"),
    "title": (_text, "a text"),
    "description": (lambda value: _text(value) and bool(value.strip()), "a sentence"),
    "examples": (lambda value: isinstance(value, list) and bool(value), "a list with at least one example"),
    "type": (lambda value: value in _TYPES, f"one of {', '.join(_TYPES)}"),
    "properties": (lambda value: isinstance(value, dict), "a map of schemas"),
    "required": (_names, "a list of different names"),
    "additionalProperties": (lambda value: value is False or isinstance(value, dict), "false or a schema"),
    "items": (lambda value: isinstance(value, dict), "a schema"),
    "enum": (lambda value: isinstance(value, list) and bool(value), "a list of values"),
    "pattern": (_expression, "a regular expression"),
    "minLength": (_count, "a count"),
    "maxLength": (_count, "a count"),
    "minItems": (_count, "a count"),
    "maxItems": (_count, "a count"),
    "uniqueItems": (lambda value: isinstance(value, bool), "true or false"),
    "minProperties": (_count, "a count"),
    "minimum": (_number, "a number"),
    "maximum": (_number, "a number"),
    "exclusiveMinimum": (_number, "a number"),
    "x-reference": (lambda value: value in set(Kind), f"one of {', '.join(Kind)}"),
    "x-spared": (_names, "a list of different names"),
    "x-names": (_text, "what the name stands for"),
    "x-quantity": (lambda value: value in DIMENSIONS, f"one of {', '.join(DIMENSIONS)}"),
    "x-quantities": (_pairs, "a map of a field to the field that names its dimension"),
    "x-unique": (_text, "the name of a field of the items"),
    "x-date": (lambda value: value is True, "true"),
    "x-every": (lambda value: value is True, "true"),
    "x-text": (lambda value: value in ("long", "code"), "long or code"),
    "x-hint": (lambda value: _text(value) and bool(value.strip()), "a sentence"),
    "x-former": (_names, "a list of different names"),
    "x-heads": (
        lambda value: (
            isinstance(value, dict)
            and set(value) - {"apart"} == {"required", "common", "heads"}
            and set(value.get("apart", {"common": 0, "heads": 0})) == {"common", "heads"}
            and isinstance(value["required"], bool)
            and isinstance(value["common"], dict)
            and isinstance(value["heads"], dict)
            and bool(value["heads"])
        ),
        "a map with required (true or false), common (a schema) and heads (a map of schemas)",
    ),
}

# Keywords of the dialect that are left out on purpose: one field has one type.
_REFUSED = [
    "oneOf",
    "anyOf",
    "allOf",
    "not",
    "if",
    "then",
    "else",
    "dependentSchemas",
    "dependentRequired",
    "patternProperties",
    "propertyNames",
    "unevaluatedProperties",
    "unevaluatedItems",
    "prefixItems",
    "contains",
    "minContains",
    "maxContains",
    "const",
    "format",
    "default",
    "multipleOf",
    "exclusiveMaximum",
    "maxProperties",
    "$anchor",
    "$dynamicRef",
    "$dynamicAnchor",
    "$vocabulary",
    "contentEncoding",
    "contentMediaType",
    "contentSchema",
    "deprecated",
    "readOnly",
    "writeOnly",
]
_NEWER_THAN_DRAFT_7 = [
    "unevaluatedProperties",
    "unevaluatedItems",
    "dependentSchemas",
    "dependentRequired",
    "prefixItems",
    "minContains",
    "maxContains",
    "$anchor",
    "$dynamicRef",
    "$dynamicAnchor",
    "$vocabulary",
    "$defs",
]
_OLD_DRAFT = re.compile(r"https?://json-schema\.org/draft-0?[3-7]/schema#?")


def faults_of(name: str, raw: Any, files: Mapping[str, Any]) -> Iterator[SchemaFault]:
    """Yield every mistake in one schema file.

    Args:
        name: Its file name; faults name it below ``schema/``.
        raw: Its content.
        files: All schema files by name, to look up ``$ref``.
    """
    path = f"schema/{name}"
    if not isinstance(raw, dict):
        yield SchemaFault(path, "", "a schema file holds one JSON object")
        return
    if "$schema" not in raw:
        yield SchemaFault(path, "/$schema", f"missing; write {DIALECT}")
    old = isinstance(raw.get("$schema"), str) and _OLD_DRAFT.fullmatch(raw["$schema"]) is not None
    for pointer, node in _nodes("", raw):
        yield from _node_faults(path, pointer, node, name, files, old=old)


def _nodes(pointer: str, node: Any) -> Iterator[tuple[str, Any]]:
    """Yield a schema and every schema inside it, with its pointer."""
    yield pointer, node
    if not isinstance(node, dict):
        return
    groups: list[tuple[str, Any]] = [("properties", node.get("properties")), ("$defs", node.get("$defs"))]
    heads = node.get("x-heads")
    if isinstance(heads, dict):
        groups.append(("x-heads/heads", heads.get("heads")))
        yield from _nodes(f"{pointer}/x-heads/common", heads.get("common"))
        apart = heads.get("apart")
        if isinstance(apart, dict):
            groups.append(("x-heads/apart/heads", apart.get("heads")))
            yield from _nodes(f"{pointer}/x-heads/apart/common", apart.get("common"))
    for keyword, group in groups:
        if isinstance(group, dict):
            for name, inner in group.items():
                yield from _nodes(f"{pointer}/{keyword}/{name}", inner)
    for keyword in ("items", "additionalProperties"):
        if isinstance(node.get(keyword), dict):
            yield from _nodes(f"{pointer}/{keyword}", node[keyword])


def _node_faults(
    path: str, pointer: str, node: Any, name: str, files: Mapping[str, Any], *, old: bool
) -> Iterator[SchemaFault]:
    if not isinstance(node, dict):
        yield SchemaFault(path, pointer, "a schema is a JSON object")
        return
    for keyword, value in node.items():
        at = f"{pointer}/{keyword}"
        if keyword in _KEYWORDS:
            valid, wanted = _KEYWORDS[keyword]
            if not valid(value):
                yield SchemaFault(path, at, f"`{keyword}` must be {wanted}")
        elif old and keyword in _NEWER_THAN_DRAFT_7:
            yield SchemaFault(path, at, f"`{keyword}` does not exist in the declared draft")
        elif keyword in _REFUSED:
            yield SchemaFault(
                path, at, f"`{keyword}` is not used in these schemas; see the keywords in DEVELOPERS.md"
            )
        else:
            near = nearest(keyword, _KEYWORDS)
            yield SchemaFault(
                path, at, f"unknown keyword `{keyword}`" + (f"; did you mean `{near}`?" if near else "")
            )
    if isinstance(node.get("$ref"), str):
        yield from _ref_faults(path, pointer, node, name, files)
    elif "type" not in node and (pointer or "properties" in node):
        yield SchemaFault(path, f"{pointer}/type", "missing; each field has exactly one type")
    yield from _object_faults(path, pointer, node)


def _ref_faults(
    path: str, pointer: str, node: dict[str, Any], name: str, files: Mapping[str, Any]
) -> Iterator[SchemaFault]:
    seen: list[Any] = []
    home = name
    step: dict[str, Any] = node
    while isinstance(step.get("$ref"), str):
        found = find_ref(home, step["$ref"], files)
        if found is None:
            yield SchemaFault(path, f"{pointer}/$ref", f"`{step['$ref']}` leads nowhere")
            return
        home, step = found
        if any(step is earlier for earlier in seen):
            yield SchemaFault(path, f"{pointer}/$ref", f"`{node['$ref']}` leads back to itself")
            return
        seen.append(step)
    for keyword in ("properties", "items", "additionalProperties", "x-heads", "required"):
        if keyword in node:
            yield SchemaFault(path, f"{pointer}/{keyword}", f"`{keyword}` cannot stand beside `$ref`")


def _object_faults(path: str, pointer: str, node: dict[str, Any]) -> Iterator[SchemaFault]:
    inside_heads = re.search(r"/x-heads/(apart/)?(common|heads/[^/]+)$", pointer)
    properties = node.get("properties")
    if isinstance(properties, dict):
        for required in node.get("required", []):
            if required not in properties:
                yield SchemaFault(
                    path, f"{pointer}/required", f"`{required}` is required but not among the properties"
                )
        pairs = node.get("x-quantities", {})
        for name in (*pairs, *pairs.values()) if isinstance(pairs, dict) else ():
            if name not in properties:
                yield SchemaFault(path, f"{pointer}/x-quantities", f"`{name}` is not among the properties")
        if inside_heads and "additionalProperties" in node:
            message = "x-heads closes its objects itself; leave it out"
            yield SchemaFault(path, f"{pointer}/additionalProperties", message)
        elif not inside_heads and "additionalProperties" not in node:
            message = "missing; without `additionalProperties: false` a misspelt field would pass unnoticed"
            yield SchemaFault(path, f"{pointer}/additionalProperties", message)
    if node.get("type") == "array" and "items" not in node:
        yield SchemaFault(path, f"{pointer}/items", "missing; say what the list holds")
    unique = node.get("x-unique")
    if isinstance(unique, str) and unique not in node.get("items", {}).get("properties", {}):
        yield SchemaFault(path, f"{pointer}/x-unique", f"`{unique}` is no field of the items")
    heads = node.get("x-heads")
    for head, inner in (heads.get("heads", {}) if isinstance(heads, dict) else {}).items():
        if isinstance(inner, dict) and "$ref" not in inner and head not in inner.get("properties", {}):
            yield SchemaFault(
                path, f"{pointer}/x-heads/heads/{head}/properties", f"the head `{head}` is not among them"
            )
