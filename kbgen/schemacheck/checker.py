"""The schema checker: jsonschema with our own keywords, and what it found in plain sentences."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from typing import Any

from jsonschema import Draft202012Validator, ValidationError
from jsonschema.validators import create

from kbgen.every import EveryError, read_every
from kbgen.load import Document
from kbgen.nearest import nearest
from kbgen.problems import Problem, shown
from kbgen.quantity import DIMENSIONS, QuantityError, parse
from kbgen.ref import Kind
from kbgen.schemacheck.known import Names
from kbgen.schemacheck.sentences import Sentences, is_field_name, one_per_value
from kbgen.schemas import Schema, Schemas, heads_in, variant

_STANDARD = [
    "type",
    "enum",
    "pattern",
    "minLength",
    "maxLength",
    "minItems",
    "maxItems",
    "uniqueItems",
    "minProperties",
    "minimum",
    "maximum",
    "exclusiveMinimum",
]


class Checker:
    """Holds one validator per kind; building them is the expensive part."""

    def __init__(self, schemas: Schemas, names: Names) -> None:
        self._schemas = schemas
        self._names = names
        self._validators = {kind: _Validator(schema) for kind, schema in schemas.inlined.items()}
        self._sentences: dict[Kind | None, Sentences] = {}

    def problems(self, document: Document, data: dict[str, Any]) -> list[Problem]:
        """Return what is wrong with a document's data, one problem per fault."""
        faults = list(self._validators[document.kind].iter_errors(data))
        if not faults:
            return []
        if document.kind not in self._sentences:
            self._sentences[document.kind] = Sentences(self._schemas.of(document.kind), self._names)
        say = self._sentences[document.kind]
        return [say.about(document, fault) for fault in one_per_value(faults)]


# Keywords that say nothing about a text, or only about its length.
_PLAIN_TEXT = frozenset(
    ("type", "minLength", "maxLength", "title", "description", "examples", "x-text", "x-reference", "x-hint")
)


def _is_right_text(schema: Mapping[str, Any], value: Any) -> bool:
    """Whether a value is a text that the schema plainly accepts.

    Nearly every value of an entry is; telling so at once halves the time of the whole check.
    """
    return (
        type(value) is str
        and schema.get("type") == "string"
        and schema.get("minLength", 0) <= len(value) <= schema.get("maxLength", len(value))
        and schema.keys() <= _PLAIN_TEXT
    )


def _properties(
    validator: Any, properties: Any, instance: Any, _schema: Mapping[str, Any]
) -> Iterator[ValidationError]:
    if isinstance(instance, dict):
        for name, value in instance.items():
            inner = properties.get(name)
            if inner is not None and not _is_right_text(inner, value):
                yield from validator.descend(value, inner, path=name)


def _items(
    validator: Any, items: Any, instance: Any, _schema: Mapping[str, Any]
) -> Iterator[ValidationError]:
    if isinstance(instance, list):
        for index, value in enumerate(instance):
            if not _is_right_text(items, value):
                yield from validator.descend(value, items, path=index)


def _fields(
    validator: Any, closed: Any, instance: Any, schema: Mapping[str, Any]
) -> Iterator[ValidationError]:
    """``additionalProperties``: one fault for each unknown field."""
    if not isinstance(instance, dict):
        return
    known = schema.get("properties", {})
    for name, value in instance.items():
        if name in known:
            continue
        if closed is False:
            yield ValidationError("unknown field", path=(name,))
        else:
            yield from validator.descend(value, closed, path=name)


def _required(
    _validator: Any, names: Any, instance: Any, schema: Mapping[str, Any]
) -> Iterator[ValidationError]:
    """``required``: one fault for each missing field that no misspelt field explains."""
    if not isinstance(instance, dict):
        return
    missing = [name for name in names if name not in instance]
    if missing:
        known = schema.get("properties", {})
        unknown = [name for name in instance if name not in known]
        if len(unknown) == len(instance) and not all(map(is_field_name, unknown)):
            # ``- Check fuse: F2`` was meant as text; that it lacks fields is a consequence.
            return
        if any(nearest(name, schema.get("x-apart", ())) for name in unknown):
            # A misspelt head of those that have fields of their own.
            return
        free = [name for name in known if name not in instance]
        meant = {nearest(name, free) for name in unknown}
        yield from (ValidationError(name) for name in missing if name not in meant)


def _heads(validator: Any, heads: Any, instance: Any, schema: Mapping[str, Any]) -> Iterator[ValidationError]:
    """``x-heads``: an item is one of several variants, chosen by the head it has."""
    if not isinstance(instance, dict):
        return
    present = heads_in(schema, instance)
    if len(present) > 1:
        yield ValidationError("two heads", instance=present)
        return
    if not present and heads["required"]:
        chosen: Schema = heads["common"]
        unknown = [name for name in instance if name not in chosen["properties"]]
        meant = next((name for name in unknown if nearest(name, heads["heads"])), None)
        if meant is None:
            yield ValidationError("no head", instance=unknown)
        else:
            yield ValidationError("misspelt head", path=(meant,))
        return
    yield from validator.descend(instance, variant(schema, instance))


def _quantity(
    _validator: Any, dimension: Any, instance: Any, _schema: Mapping[str, Any]
) -> Iterator[ValidationError]:
    if isinstance(instance, str):
        try:
            parse(instance, dimension)
        except QuantityError as fault:
            yield ValidationError(fault.message, cause=fault)


def _quantities(
    _validator: Any, pairs: Mapping[str, str], instance: Any, _schema: Mapping[str, Any]
) -> Iterator[ValidationError]:
    """``x-quantities``: a field is a quantity of the dimension that the field beside it names."""
    if not isinstance(instance, dict):
        return
    for name, beside in pairs.items():
        value, dimension = instance.get(name), instance.get(beside)
        if isinstance(value, str) and isinstance(dimension, str) and dimension in DIMENSIONS:
            try:
                parse(value, dimension)
            except QuantityError as fault:
                yield ValidationError(fault.message, path=(name,), cause=fault)


def _unique(
    _validator: Any, field: str, instance: Any, _schema: Mapping[str, Any]
) -> Iterator[ValidationError]:
    """``x-unique``: no two items give themselves the same name, or one would pass for the other."""
    first: dict[str, int] = {}
    for index, item in enumerate(instance if isinstance(instance, list) else ()):
        name = item.get(field) if isinstance(item, dict) else None
        if isinstance(name, str) and first.setdefault(name, index) != index:
            yield ValidationError(name, path=(index, field), instance=first[name])


def _date(
    _validator: Any, _wanted: Any, instance: Any, _schema: Mapping[str, Any]
) -> Iterator[ValidationError]:
    if isinstance(instance, str) and (fault := date_fault(instance)):
        yield ValidationError(fault)


_MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]


def date_fault(text: str) -> str | None:
    """Say what is wrong with a date written year-month-day; ``None`` if it exists."""
    match = re.fullmatch(r"([0-9]{4})-([0-9]{2})-([0-9]{2})", text)
    if not match:
        return f"`{shown(text)}` is not a date"
    year, month, day = map(int, match.groups())
    if not 1 <= month <= 12:
        return f"there is no month {month}"
    if not 1900 <= year < 2200:
        return f"the year {year} cannot be meant"
    try:
        dt.date(year, month, day)
    except ValueError:
        return f"{day} {_MONTHS[month - 1]} {year} does not exist"
    return None


def _every(
    _validator: Any, _wanted: Any, instance: Any, _schema: Mapping[str, Any]
) -> Iterator[ValidationError]:
    if isinstance(instance, str):
        try:
            read_every(instance)
        except EveryError as fault:
            yield ValidationError(fault.message, cause=fault)


_Validator = create(
    meta_schema={},
    validators={
        **{keyword: Draft202012Validator.VALIDATORS[keyword] for keyword in _STANDARD},
        "properties": _properties,
        "items": _items,
        "additionalProperties": _fields,
        "required": _required,
        "x-heads": _heads,
        "x-quantity": _quantity,
        "x-quantities": _quantities,
        "x-unique": _unique,
        "x-date": _date,
        "x-every": _every,
    },
    type_checker=Draft202012Validator.TYPE_CHECKER,
)
