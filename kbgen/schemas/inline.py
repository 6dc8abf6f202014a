"""Replace every ``$ref`` by the schema it points at, so that checking needs no look-ups.

A schema that contains itself (a parallel group holds elements) becomes a Python structure that
contains itself: checking follows the data, which ends.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Schema = dict[str, Any]


def find_ref(name: str, ref: str, files: Mapping[str, Any]) -> tuple[str, dict[str, Any]] | None:
    """Return the file and the schema that a ``$ref`` in the file ``name`` points at."""
    file, _, pointer = ref.partition("#")
    parts = pointer.split("/")
    found = files.get(file or name)
    if not isinstance(found, dict) or len(parts) != 3 or parts[:2] != ["", "$defs"]:
        return None
    target = found.get("$defs", {}).get(parts[2])
    return (file or name, target) if isinstance(target, dict) else None


class Inliner:
    """Inlines the schemas of a set of files that have no faults."""

    def __init__(self, files: Mapping[str, Any]) -> None:
        self._files = files
        self._done: dict[int, Schema] = {}
        self._unmerged: list[tuple[Schema, Schema, dict[str, Schema], Schema, dict[str, Schema]]] = []

    def schema(self, name: str) -> Schema:
        """Return the schema of the file ``name``."""
        made = self._node(name, self._files[name])
        for heads, common, own, line, apart in self._unmerged:
            heads["heads"] = {head: _merge(common, inner, head) for head, inner in own.items()}
            heads["heads"] |= {head: _merge(line, inner, head) for head, inner in apart.items()}
            # An item without a head may have a misspelt one.
            # Whoever misspells one of these owes no words either.
            spared = [head for head, inner in own.items() if "x-spared" in inner]
            possible = {"x-possible-heads": list(heads["heads"]), "x-apart": [*apart, *spared]}
            heads["common"] = {**_merge(common, {}, None), **possible}
        self._unmerged.clear()
        return made

    def _node(self, home: str, raw: Schema) -> Schema:
        if id(raw) in self._done:
            return self._done[id(raw)]
        # Registered before it is filled: a schema that meets itself again gets this very object.
        made: Schema = self._done.setdefault(id(raw), {})
        beside: list[Schema] = []
        target = raw
        while "$ref" in target:
            beside.append({keyword: value for keyword, value in target.items() if keyword != "$ref"})
            home, target = find_ref(home, target["$ref"], self._files) or (home, {})
        for keyword, value in target.items():
            made[keyword] = self._keyword(home, keyword, value)
        made.pop("$defs", None)
        for closer in reversed(beside):
            made.update(closer)
        return made

    def _keyword(self, home: str, keyword: str, value: Any) -> Any:
        if keyword == "properties":
            return {name: self._node(home, inner) for name, inner in value.items()}
        if keyword == "items" or (keyword == "additionalProperties" and value is not False):
            return self._node(home, value)
        if keyword == "x-heads":
            return self._heads(home, value)
        return value

    def _heads(self, home: str, value: Schema) -> Schema:
        """Prepare variants: what every item can say is merged into each head's own fields.

        The merging waits until every schema is complete, since a head may hold items of its own kind.
        """
        common = self._node(home, value["common"])
        own = {head: self._node(home, inner) for head, inner in value["heads"].items()}
        apart = value.get("apart", {"common": {}, "heads": {}})
        line = self._node(home, apart["common"])
        others = {head: self._node(home, inner) for head, inner in apart["heads"].items()}
        made: Schema = {"required": value["required"]}
        self._unmerged.append((made, common, own, line, others))
        return made


def _merge(common: Schema, own: Schema, head: str | None) -> Schema:
    spared = own.get("x-spared", ())
    required = [each for each in common.get("required", []) if each not in spared] + own.get("required", [])
    if head is not None:
        required.append(head)
    return {
        "type": "object",
        "description": own.get("description", common.get("description", "")),
        "properties": {**common.get("properties", {}), **own.get("properties", {})},
        "required": list(dict.fromkeys(required)),
        "additionalProperties": False,
    }
