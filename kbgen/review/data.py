"""What differs between two versions of an entry's plain data, field by field, items of lists held against their like."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kbgen.position import Route
from kbgen.review import texts
from kbgen.schemas.walk import variant

_NAMED = (
    "id point contact fuse wire coil load resistor input rule file shows which what who symptom device procedure at "
    "title look cause contact_id do appeared word initials setting"
).split()
"""The fields that tell one item of a list from the next, the first that it has."""
_ALIKE = 0.5


@dataclass(frozen=True, slots=True)
class Other:
    """One difference.

    Attributes:
        path: Names of the fields that lead to it, without the places in lists.
        names: The same for a person, with what items are called.
        leaf: The schema of the field.
        before: The value before; ``None`` for none.
        after: The value now; ``None`` for none.
        order: Whether only the order of a list is another.
        routes: Where it stands in either version.
    """

    path: tuple[str, ...]
    names: tuple[str, ...]
    leaf: Mapping[str, Any]
    before: Any
    after: Any
    routes: tuple[Route, Route]
    order: bool = False


@dataclass(frozen=True, slots=True)
class _At:
    path: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    before: Route = ()
    after: Route = ()

    def field(self, name: str) -> _At:
        return _At(
            (*self.path, name),
            (*self.names, name.replace("_", " ")),
            (*self.before, name),
            (*self.after, name),
        )

    def item(self, name: str, before: int | None, after: int | None) -> _At:
        names = (*self.names, name) if name else self.names
        one = self.before if before is None else (*self.before, before)
        other = self.after if after is None else (*self.after, after)
        return _At(self.path, names, one, other)


def differences(schema: Mapping[str, Any], before: Any, after: Any) -> Iterator[Other]:
    """Yield what differs between the data of two documents of a kind."""
    yield from _compared(schema, before, after, _At())


def _compared(schema: Mapping[str, Any], before: Any, after: Any, at: _At) -> Iterator[Other]:
    if before == after and type(before) is type(after):
        return
    if isinstance(before, dict) and isinstance(after, dict):
        one, other = variant(schema, before), variant(schema, after)
        fields = {**one.get("properties", {}), **other.get("properties", {})}
        rest = other.get("additionalProperties") or {}
        for name in dict.fromkeys([*before, *after]):
            inner = fields.get(name) or (rest if isinstance(rest, dict) else {})
            yield from _compared(inner, before.get(name), after.get(name), at.field(str(name)))
    elif isinstance(before, list) and isinstance(after, list):
        yield from _lists(schema, before, after, at)
    elif before is None and isinstance(after, list):
        yield from _lists(schema, [], after, at)
    elif after is None and isinstance(before, list):
        yield from _lists(schema, before, [], at)
    else:
        yield Other(at.path, at.names, schema, before, after, (at.before, at.after))


def _lists(schema: Mapping[str, Any], before: list[Any], after: list[Any], at: _At) -> Iterator[Other]:
    inner = schema.get("items", {})
    pairs = _pairs(before, after)
    for one, other in pairs:
        name = called(after[other]) if isinstance(after[other], dict) else ""
        yield from _compared(inner, before[one], after[other], at.item(name, one, other))
    left, right = {one for one, _ in pairs}, {other for _, other in pairs}
    for index, value in enumerate(before):
        if index not in left:
            there = at.item("", index, None)
            yield Other(at.path, at.names, inner, value, None, (there.before, there.after))
    for index, value in enumerate(after):
        if index not in right:
            there = at.item("", None, index)
            yield Other(at.path, at.names, inner, None, value, (there.before, there.after))
    if [other for _, other in sorted(pairs)] != sorted(right):
        yield Other(at.path, at.names, inner, before, after, (at.before, at.after), order=True)


def _pairs(before: Sequence[Any], after: Sequence[Any]) -> list[tuple[int, int]]:
    """Return which item of one list is which of the other: equal, else of one name, else of much the same words."""
    found: list[tuple[int, int]] = []
    rest, others = list(range(len(before))), list(range(len(after)))
    for same in (lambda a, b: a == b, _one_name, _alike):
        for one in list(rest):
            other = next((each for each in others if same(before[one], after[each])), None)
            if other is not None:
                found.append((one, other))
                rest.remove(one)
                others.remove(other)
    return found


def _one_name(one: Any, other: Any) -> bool:
    return bool(identity(one)) and identity(one) == identity(other)


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, dict) != isinstance(other, dict):
        return False
    texts_ = str(words_of(one)), str(words_of(other))
    # Ids and marks are no sentences: one for another is one gone and one new.
    return all(" " in text for text in texts_) and texts.alike(*texts_) > _ALIKE


def identity(item: Any) -> tuple[str, str]:
    """Return what tells an item of a list from the next: the field, and what stands there; nothing for a text."""
    if isinstance(item, dict):
        for name in _NAMED:
            if isinstance(item.get(name), str):
                return name, item[name]
    return "", ""


def called(item: Any) -> str:
    """Return what a person calls an item."""
    if isinstance(item, dict):
        return str(item.get("title") or identity(item)[1])
    return str(item)


def words_of(value: Any) -> str:
    """Return a value as text: yes and no for switches, a list's items one after another, of a map what it says."""
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case list():
            return ", ".join(words_of(each) for each in value)
        case dict():
            name = called(value)
            rest = [words_of(each) for each in value.values() if words_of(each) != name]
            return ", ".join(filter(None, [name, *rest]))
    return str(value).strip()
