"""Turn checked plain data into the frozen records of this package.

The records' type hints say everything: nested records, tuples of records, quantities with their
dimension, long text. A field named like a Python keyword carries an underscore at its end
(``from_`` reads ``from``). A field ``route`` receives the route of its record, so that a rule can
point at it; the fields ``head``, ``action`` and ``ways`` are read from the same map as their owner.
"""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Callable, Hashable, Mapping, Sequence
from enum import StrEnum
from functools import cache
from typing import Annotated, Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from kbgen.model.takes import Takes
from kbgen.position import Route
from kbgen.quantity import Quantity, parse
from kbgen.text import RichText, read

Voltage = Annotated[Quantity, "voltage"]
Current = Annotated[Quantity, "current"]
Resistance = Annotated[Quantity, "resistance"]
Time = Annotated[Quantity, "time"]
Frequency = Annotated[Quantity, "frequency"]
Power = Annotated[Quantity, "power"]
Length = Annotated[Quantity, "length"]
Long = Annotated[RichText, "long"]

R = TypeVar("R")
Reader = Callable[[Any, Route], Any]


def build(record: type[R], data: Mapping[str, Any], route: Route = ()) -> R:
    """Build a record from data that its schema has accepted.

    Args:
        record: A dataclass of this package.
        data: Plain data: text, numbers, booleans, lists and maps.
        route: Route of ``data`` in its document.
    """
    values: dict[str, Any] = {}
    for name, key, reader in _plan(cast(type, record)):
        if name == "route":
            values[name] = route
        elif name in ("head", "action", "ways"):
            values[name] = reader(data, route)
        elif key in data:
            values[name] = reader(data[key], (*route, key))
    return record(**values)


def variants(*records: type) -> Reader:
    """Return a reader that picks the record by which head key the data has, or gives ``None``.

    A record's head key is the name of its first positional field.
    """
    by_key = {head_key(record): record for record in records}

    def reader(data: Mapping[str, Any], route: Route) -> Any:
        return next((build(by_key[key], data, route) for key in data if key in by_key), None)

    return reader


def head_key(record: type) -> str:
    """Return the key that says which of several records a map is."""
    return _head_key(cast(Hashable, record))


@cache
def _head_key(record: Any) -> str:
    return next(field.name for field in dataclasses.fields(record) if not field.kw_only)


@cache
def note_of(record: type, key: str) -> Takes:
    """Return what a field of an action takes, as its type hint says."""
    hint = get_type_hints(record, include_extras=True)[key]
    return next(note for note in get_args(hint) if isinstance(note, Takes))


def required(record: type) -> list[str]:
    """Return the keys that a record cannot be built without."""
    return [
        field.name.removesuffix("_")
        for field in dataclasses.fields(record)
        if field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
    ]


@cache
def _plan(record: type) -> tuple[tuple[str, str, Reader], ...]:
    hints = get_type_hints(record, include_extras=True)
    return tuple(
        (field.name, field.name.removesuffix("_"), _reader(hints[field.name]))
        for field in dataclasses.fields(record)
    )


def _reader(hint: Any) -> Reader:
    origin = get_origin(hint)
    if origin is Annotated:
        inner, note = get_args(hint)[:2]
        if isinstance(note, Takes):
            return (lambda text, _: parse(text, "time")) if note.kind == "time" else _reader(inner)
        if callable(note):
            return note  # type: ignore[no-any-return]
        if inner is Quantity:
            return lambda text, _: parse(text, note)
        return lambda text, _: read(text)
    if origin in (Union, types.UnionType):
        return _reader(next(arg for arg in get_args(hint) if arg is not type(None)))
    if origin is tuple:
        return _sequence(_reader(get_args(hint)[0]))
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        record = hint
        return lambda data, route: build(record, data, route)
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return lambda text, _: hint(text)
    return lambda value, _: value


def _sequence(reader: Reader) -> Reader:
    def read_all(values: Sequence[Any], route: Route) -> tuple[Any, ...]:
        return tuple(reader(value, (*route, index)) for index, value in enumerate(values))

    return read_all
