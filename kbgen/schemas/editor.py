"""Plain JSON Schema for editors, derived from ours: no keyword of our own, forgiving on types."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kbgen.schemas.inline import find_ref

DIALECT = "https://json-schema.org/draft/2020-12/schema"
# An editor reads `off` as a boolean and `012` as a number; to us they are text.
_TEXT = ["string", "number", "boolean", "null"]


def editor_schema(name: str, files: Mapping[str, Any]) -> dict[str, Any]:
    """Derive the editor's schema of one file; it is complete in itself, without other files."""
    definitions: dict[str, Any] = {}

    def key(home: str, raw: Mapping[str, Any]) -> str:
        found = find_ref(home, raw["$ref"], files)
        # Files with faults never come here, so that a reference always leads somewhere.
        file, target = found or (home, {})
        label = f"{file.removesuffix('.schema.json')}-{raw['$ref'].rsplit('/', 1)[1]}"
        if label not in definitions:
            definitions[label] = {}
            definitions[label] = node(file, target)
        return label

    def node(home: str, raw: Mapping[str, Any]) -> dict[str, Any]:
        made: dict[str, Any] = {}
        for keyword, value in raw.items():
            if keyword == "$ref":
                made[keyword] = f"#/$defs/{key(home, raw)}"
            elif keyword == "properties":
                made[keyword] = {field: node(home, inner) for field, inner in value.items()}
            elif keyword in ("items", "additionalProperties") and isinstance(value, dict):
                made[keyword] = node(home, value)
            elif keyword == "x-heads":
                made["anyOf"] = variants(home, value)
            elif not keyword.startswith(("x-", "$")):
                made[keyword] = value
        kind = made.get("type")
        if kind == "string" and "enum" not in made:
            made["type"] = _TEXT
        elif kind == "string":
            del made["type"]
            made["enum"] = [*made["enum"], *_misread(made["enum"])]
        elif kind in ("integer", "number"):
            made["type"] = [kind, "string"]
        return made

    def variants(home: str, heads: Mapping[str, Any]) -> list[dict[str, Any]]:
        common = node(home, heads["common"])
        groups = [heads, heads["apart"]] if "apart" in heads else [heads]
        made = [
            {
                "required": [head],
                "allOf": [node(home, group["common"]), node(home, inner)],
                "description": inner.get("description", ""),
            }
            for group in groups
            for head, inner in group["heads"].items()
        ]
        return made if heads["required"] else [common, *made]

    top = node(name, files[name])
    return {"$schema": DIALECT, **top, "$defs": dict(sorted(definitions.items()))}


def _misread(words: list[Any]) -> list[bool]:
    """What an editor with the old YAML rules makes of words such as ``on`` in a fixed list."""
    readings = {"yes": True, "on": True, "true": True, "no": False, "off": False, "false": False}
    return sorted({readings[word] for word in words if word in readings})
