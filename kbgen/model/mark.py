"""Marks of what was read: short hashes that a signature names.

A mark is three of them: of the words and actions, of the figures they rest on, of the text kept in ``signed/``.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from kbgen.model.verdicts import WORDS

NOT_READ = frozenset(
    {"asked", "status", "review", "walked", "withdrawn", "accept", "former_ids", "written", "derived"}
)
"""Fields that are about an entry, and lines that its steps stand for."""

_HUNTS = frozenset({"hunt", "hunt_dead"})
_LEADS = frozenset((*WORDS, "go"))
_NO_FIGURES = "00000000"


class Mark(NamedTuple):
    """The three parts of a mark, as hexadecimal digits."""

    content: str
    figures: str
    text: str

    def __str__(self) -> str:
        return "-".join(self)


def read_mark(text: str) -> Mark | None:
    """Read a mark as a signature names it; ``None`` where there is none.

    >>> read_mark("3f9a12cd77aa-12bc90ab-5e01ff27")
    Mark(content='3f9a12cd77aa', figures='12bc90ab', text='5e01ff27')
    """
    parts = text.split("-")
    return Mark(*parts) if len(parts) == 3 else None


def content_mark(data: Mapping[str, Any]) -> str:
    """Return the mark of the words and actions of an entry.

    Of a page that was written out, those of its steps, whatever lines they came from. The readings and the order of
    a hunt come from its circuit: they are figures, and not in it.
    """
    content = {name: value for name, value in data.items() if name not in NOT_READ}
    if "written" in data:
        content["steps"] = list(_words(data["steps"]))
    return short(content, 12)


def figures_mark(*figures: object) -> str:
    """Return the mark of the figures an entry rests on; of none where there are none."""
    return short(figures, 8) if any(figures) else _NO_FIGURES


def hunted(data: Mapping[str, Any]) -> list[Any]:
    """Return the steps of the hunts of a page that was written out: their order and readings are figures."""
    if "written" not in data:
        return []
    return [_without_origin(step) for step in data["steps"] if _hunts(step)]


def text_mark(lines: Iterable[str]) -> str:
    """Return the mark of a text."""
    return short(list(lines), 8)


def short(value: object, digits: int) -> str:
    """Return so many hexadecimal digits of a hash of plain data."""
    text = json.dumps(value, ensure_ascii=False, sort_keys=True).encode("utf-8", "surrogatepass")
    return hashlib.sha256(text).hexdigest()[:digits]


def _words(steps: Iterable[Mapping[str, Any]]) -> Iterable[object]:
    """Yield the steps of a page; those of a hunt at its first step, in an order that no circuit decides."""
    steps = list(steps)
    hunts: dict[object, list[Mapping[str, Any]]] = {}
    for step in steps:
        if _hunts(step):
            hunts.setdefault(_hunt_of(step), []).append(step)
    for step in steps:
        if not _hunts(step):
            yield _without_origin(step)
        elif (found := hunts.pop(_hunt_of(step), None)) is not None:
            yield _hunt(found)


def _hunt(steps: list[Mapping[str, Any]]) -> object:
    inside = {step["id"] for step in steps}
    said, out = [], set()
    for step in steps:
        plain = _without_origin(step)
        if "measure" in step:
            out |= {target for target in _targets(plain) if target not in inside}
            plain = {
                name: value for name, value in plain.items() if name not in (*_LEADS, "reads", "outcomes")
            }
        said.append(plain)
    return [sorted(said, key=lambda step: step["id"]), sorted(out)]


def _targets(step: Mapping[str, Any]) -> Iterable[str]:
    for each in (step, *step.get("outcomes", ())):
        yield from (each[name] for name in _LEADS if isinstance(each.get(name), str))


def _hunts(step: Mapping[str, Any]) -> bool:
    return step.get("origin", {}).get("routine") in _HUNTS


def _hunt_of(step: Mapping[str, Any]) -> object:
    origin = step["origin"]
    return tuple(origin.get(name) for name in ("line", "ending", "at", "page"))


def _without_origin(step: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in step.items() if name != "origin"}
