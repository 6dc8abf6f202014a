"""Names within plant that are others now: a source, a cover or a valve that keeps its title."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar, cast

T = TypeVar("T")

_LISTS = (
    "sources",
    "covers",
    "fuel_valves",
    "fuel_points",
    "zones",
    "settings",
    "places",
    "sizes",
    "options",
    "sequence",
)


def renamed_inside(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, str]:
    """Return the ids of a plant's things that are others now, by the old one: the title is the same."""
    found: dict[str, str] = {}
    for name in _LISTS:
        old, new = _titles(before.get(name)), _titles(after.get(name))
        for title, one in old.items():
            other = new.get(title)
            if other and one != other and one not in new.values() and other not in old.values():
                found[one] = other
    return found


def _titles(items: Any) -> dict[str, str]:
    if not isinstance(items, list):
        return {}
    return {
        str(each["title"]): str(each["id"])
        for each in items
        if isinstance(each, dict) and "title" in each and "id" in each
    }


def respelt(value: T, names: Mapping[str, str]) -> T:
    """Return a value with every text that is an old name as the new one."""
    return cast(T, _respelt(value, names)) if names else value


def _respelt(value: Any, names: Mapping[str, str]) -> Any:
    match value:
        case str():
            return names.get(value, value)
        case dict():
            return {_respelt(key, names): _respelt(each, names) for key, each in value.items()}
        case list() | tuple() | set() | frozenset():
            return type(value)(_respelt(each, names) for each in value)
    if is_dataclass(value) and not isinstance(value, type):
        return type(value)(*(_respelt(getattr(value, each.name), names) for each in fields(value)))
    return value
