"""Knowledge bases for the tests of circuits: small YAML files here, or plain data in a test."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry, make_entry
from kbgen.model.shop import ShopSettings
from kbgen.ref import FOLDERS, Ref

HERE = Path(__file__).parent / "kb"
_BOOLEANS = {
    "lamp",
    "normal",
    "firing",
    "needs_power",
    "low_impedance",
    "latching",
    "made_energised",
    "own_job",
}


def read_base(name: str) -> KnowledgeBase:
    """Read ``kb/NAME.yaml``: folder, then id, then the entry."""
    return make_base(yaml.load((HERE / f"{name}.yaml").read_text("utf-8"), yaml.BaseLoader))


def make_base(folders: dict[str, dict[str, Any]], regions: tuple[str, ...] = ()) -> KnowledgeBase:
    """Build a knowledge base from plain data as it stands in the files of a shop."""
    entries: dict[Ref, Entry] = {}
    for kind, folder in FOLDERS.items():
        for entry_id, data in sorted(folders.get(folder, {}).items()):
            entry = make_entry(kind, entry_id, f"{folder}/{entry_id}.yaml", _typed("", data))
            entries[entry.ref] = entry
    return KnowledgeBase(ShopSettings("Test", "test", regions=regions), entries, {})


def string(path: list[dict[str, Any]], supply: dict[str, str], **more: Any) -> KnowledgeBase:
    """Build a plant `p` whose one circuit is `c`; devices need no entry."""
    plant = {"title": "P", **more.pop("plant", {})}
    circuit = {"title": "C", "equipment": "p", "supply": supply, "path": path}
    circuits = {"c": circuit, **more.pop("circuits", {})}
    return make_base({"equipment": {"p": plant}, "circuits": circuits, **more})


def _typed(key: str, value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _typed(k, v) for k, v in value.items()}
    if isinstance(value, list):
        return [_typed(key, v) for v in value]
    if key in _BOOLEANS and isinstance(value, str):
        return value == "true"
    if key == "weight":
        return float(value)
    return value
