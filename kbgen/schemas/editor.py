"""Plain JSON Schema for editors, derived from ours: no keyword of our own, forgiving on types.

It offers what the shop has: ids of its entries, and places, covers, sources, points and the like. It inserts no sample
text: where something of the plant is said, a placeholder that the check refuses stands.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kbgen.schemas.inline import find_ref
from kbgen.schemas.placeholder import PLACEHOLDER, must_be_written

DIALECT = "https://json-schema.org/draft/2020-12/schema"
# An editor reads `off` as a boolean and `012` as a number; to us they are text.
_TEXT = ["string", "number", "boolean", "null"]

Known = Mapping[str, Sequence[str]]
"""Names of a shop: ids by the kind of entry, and others by what the schemas call them (`x-names`, or the field)."""


def editor_schema(name: str, files: Mapping[str, Any], known: Known | None = None) -> dict[str, Any]:
    """Derive the editor's schema of one file; it is complete in itself, without other files.

    Args:
        known: Names to offer. Of entries these are all there are; of others there may be more.
    """
    made = _Maker(files, known or {})
    top = made.node(name, files[name])
    return {"$schema": DIALECT, **top, "$defs": dict(sorted(made.definitions.items()))}


class _Maker:
    """Derives the parts of one file's schema; ``home`` is the file in which a part stands."""

    def __init__(self, files: Mapping[str, Any], names: Known) -> None:
        self._files = files
        self._names = names
        self.definitions: dict[str, Any] = {}

    def _key(self, home: str, raw: Mapping[str, Any]) -> str:
        # Files with faults never come here, so that a reference always leads somewhere.
        file, target = find_ref(home, raw["$ref"], self._files) or (home, {})
        label = f"{file.removesuffix('.schema.json')}-{raw['$ref'].rsplit('/', 1)[1]}"
        if label not in self.definitions:
            self.definitions[label] = {}
            self.definitions[label] = self.node(file, target)
        return label

    def node(self, home: str, raw: Mapping[str, Any], field: str = "") -> dict[str, Any]:
        made: dict[str, Any] = {}
        for keyword, value in raw.items():
            if keyword == "$ref":
                made[keyword] = f"#/$defs/{self._key(home, raw)}"
            elif keyword == "properties":
                made[keyword] = {each: self.node(home, inner, each) for each, inner in value.items()}
            elif keyword == "items" and isinstance(value, dict):
                made[keyword] = self.node(home, value, field)
            elif keyword == "additionalProperties" and isinstance(value, dict):
                made[keyword] = self.node(home, value)
            elif keyword == "x-heads":
                made |= self._heads(home, value)
            elif not keyword.startswith(("x-", "$")):
                made[keyword] = value
        return self._offered(home, made, raw, field)

    def _offered(self, home: str, made: dict[str, Any], raw: Mapping[str, Any], field: str) -> dict[str, Any]:
        """Say what may be typed, and offer what the shop has or a placeholder."""
        kind = made.get("type")
        if kind in ("integer", "number"):
            return {**made, "type": [kind, "string"]}
        if kind != "string" and "$ref" not in made:
            return made
        of_shop = self._names.get(raw.get("x-names", ""), ()) or self._names.get(field, ())
        found = find_ref(home, raw["$ref"], self._files) if "$ref" in raw else None
        leaf = found[1] if found else raw
        if kind == "string" and raw.get("x-reference") in self._names:
            return {**_without_type(made), "enum": list(self._names[raw["x-reference"]])}
        if kind == "string" and "enum" in made:
            return {**_without_type(made), "enum": [*made["enum"], *_misread(made["enum"])]}
        if kind == "string":
            made["type"] = _TEXT
        if of_shop:
            made["examples"] = list(of_shop)
        elif must_be_written(leaf):
            made |= _to_be_written({**leaf, **made})
        return made

    def _heads(self, home: str, value: Mapping[str, Any]) -> dict[str, Any]:
        """Offer every head and field at once, and let one of the heads say what must be there."""
        common = self.node(home, value["common"])
        groups = [(common, value["heads"])]
        if "apart" in value:
            groups.append((self.node(home, value["apart"]["common"]), value["apart"]["heads"]))
        fields: dict[str, Any] = {}
        variants = [] if value["required"] else [{"required": common.get("required", [])}]
        for shared, own in groups:
            _unite(fields, shared.get("properties", {}))
            for head, raw in own.items():
                inner = self.node(home, raw)
                _unite(fields, inner.get("properties", {}))
                asked = (each for each in shared.get("required", ()) if each not in raw.get("x-spared", ()))
                needs = dict.fromkeys((head, *asked, *inner.get("required", ())))
                variants.append({"required": list(needs), "properties": inner.get("properties", {})})
        return {"properties": fields, "anyOf": variants}


def _without_type(made: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in made.items() if name != "type"}


def _to_be_written(made: Mapping[str, Any]) -> dict[str, Any]:
    example = next(iter(made.get("examples", ())), "")
    said = f"{made.get('description', '')} Example: {example}" if isinstance(example, str) and example else ""
    return {"default": PLACEHOLDER, "examples": [], "description": said or made.get("description", "")}


def _unite(fields: dict[str, Any], more: Mapping[str, Any]) -> None:
    """Add fields; what differs from head to head is judged by the head alone."""
    for name, schema in more.items():
        if name in fields and fields[name] != schema:
            fields[name] = {"description": str(fields[name].get("description", ""))}
        else:
            fields[name] = schema


def _misread(words: list[Any]) -> Iterator[bool]:
    """What an editor with the old YAML rules makes of words such as ``on`` in a fixed list."""
    readings = {"yes": True, "on": True, "true": True, "no": False, "off": False, "false": False}
    yield from sorted({readings[word] for word in words if word in readings})
