"""Say what the schema checker found: one sentence, one hint, one place to type at."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from jsonschema import ValidationError

from kbgen.every import EveryError
from kbgen.load import Document
from kbgen.load.fault import COLON_IN_TEXT
from kbgen.nearest import by_nearness, nearest, one_of
from kbgen.position import Route, Spot
from kbgen.problems import Problem, Related, shown
from kbgen.quantity import QuantityError
from kbgen.schemacheck import rules
from kbgen.schemacheck.homes import Homes
from kbgen.schemacheck.known import Names
from kbgen.schemas import Schema

# Of several faults of one value only the most telling is reported.
_FIRST = (
    "type",
    "enum",
    "minLength",
    "pattern",
    "x-quantity",
    "x-quantities",
    "x-date",
    "x-every",
    "maxLength",
    "minimum",
    "maximum",
    "exclusiveMinimum",
)


def one_per_value(faults: Iterable[ValidationError]) -> list[ValidationError]:
    """Keep one fault for each value; faults of maps and lists are kept all."""
    kept: list[ValidationError] = []
    best: dict[Route, int] = {}
    for fault in faults:
        route = tuple(fault.absolute_path)
        if fault.validator not in _FIRST:
            kept.append(fault)
        elif route not in best:
            best[route] = len(kept)
            kept.append(fault)
        elif _FIRST.index(fault.validator) < _FIRST.index(str(kept[best[route]].validator)):
            kept[best[route]] = fault
    return kept


def is_field_name(name: str) -> bool:
    """Whether a key looks like a field's name, and not like the beginning of a sentence."""
    return name.isascii() and name.islower() and name.replace("_", "").isalnum()


class Sentences:
    """Finds words for the faults of one kind of entry."""

    def __init__(self, schema: Schema, names: Names) -> None:
        self._homes = Homes(schema)
        self._names = names

    def about(self, document: Document, fault: ValidationError) -> Problem:
        """Turn one fault into a problem."""
        route: Route = tuple(fault.absolute_path)
        schema: Schema = fault.schema if isinstance(fault.schema, dict) else {}
        path = document.path
        value: Any = fault.instance
        limit: Any = fault.validator_value
        name = _name(route)
        spot = Spot(path, route)
        match fault.validator:
            case "additionalProperties":
                return self._unknown_field(path, route, schema, alone=value.get(route[-1]) is None)
            case "required":
                field = fault.message
                where = f" in {name}" if route else ""
                about = schema["properties"].get(field, {}).get("description", "")
                return rules.MISSING_FIELD.at(
                    spot, f"`{field}` is missing{where}", f"Add `{field}:`. {about}".strip()
                )
            case "x-heads":
                return _heads_fault(path, route, fault, limit)
            case "type":
                return _wrong_type(document, route, value, schema)
            case "enum":
                allowed = [str(choice) for choice in limit]
                hint = f"Use {one_of(by_nearness(str(value), allowed))}."
                if value == "":
                    return rules.EMPTY_VALUE.at(spot, f"{name} is empty", hint)
                return rules.WRONG_VALUE.at(spot, f"`{shown(str(value))}` is not allowed for {name}", hint)
            case "pattern" | "minLength" if not value:
                return rules.EMPTY_VALUE.at(spot, f"{name} is empty", "Type its value, or delete the field.")
            case "pattern":
                hint = (
                    self._names.meant(value, route, schema)
                    or schema.get("x-hint")
                    or f"Write it like `{_example(schema)}`"
                )
                return rules.WRONG_FORM.at(spot, f"`{shown(value)}` does not fit {name}", _sentence(hint))
            case "minLength":
                return rules.TOO_SHORT.at(
                    spot, f"{name} has fewer than {limit} characters", "Say it in words."
                )
            case "maxLength":
                message = f"{name} has {len(value)} characters; at most {limit} fit"
                return rules.TOO_LONG.at(spot, message, "Shorten it.")
            case "minItems" | "minProperties":
                message = f"{name} has {_count(len(value))}; at least {limit} {'is' if limit == 1 else 'are'} needed"
                return rules.TOO_FEW.at(spot, message, "Add what is missing, or delete the field.")
            case "maxItems":
                return rules.TOO_MANY.at(
                    spot, f"{name} has {_count(len(value))}; at most {limit} fit", "Take some out."
                )
            case "uniqueItems":
                return rules.REPEATED_ITEM.at(spot, f"{name} lists the same thing twice", "Keep one of them.")
            case "x-unique":
                other = Related(Spot(path, (*route[:-2], value, route[-1])), "the other one")
                message = f"`{shown(fault.message)}` names another item of {_name(route[:-2])} already"
                return rules.REPEATED_ITEM.at(spot, message, "Give each of them a name of its own.", other)
            case "minimum" | "maximum" | "exclusiveMinimum":
                side = {"minimum": "at least", "maximum": "at most"}.get(str(fault.validator), "more than")
                return rules.OUT_OF_RANGE.at(
                    spot, f"{name} is {value:g}", f"Give a number of {side} {limit:g}."
                )
            case "x-quantity" | "x-quantities":
                cause = fault.cause
                hint = cause.hint if isinstance(cause, QuantityError) else "Write a number and its unit."
                return rules.WRONG_QUANTITY.at(spot, fault.message, hint)
            case "x-every":
                asked = fault.cause.hint if isinstance(fault.cause, EveryError) else "Write how often."
                return rules.WRONG_INTERVAL.at(spot, fault.message, asked)
            case "x-date":
                return rules.WRONG_DATE.at(
                    spot, fault.message, "Write a day that exists as year-month-day, such as 2026-05-04."
                )
        raise AssertionError(f"no sentence for {fault.validator}")

    def _unknown_field(self, path: str, route: Route, schema: Schema, *, alone: bool) -> Problem:
        *parents, name = route
        field = str(name)
        spot = Spot(path, route, on_key=True)
        known = [*schema.get("properties", {}), *schema.get("x-possible-heads", ())]
        near = nearest(field, known)
        if field in schema.get("x-former", ()):
            hint = "The entry is in an older form: `kbgen migrate` turns it into the new one."
        elif near:
            hint = f"Did you mean `{near}`?"
        elif field == "do" and "add" in known:
            hint = "A routine has its own words; yours go under `add`, or on a line of their own."
        elif len(parents) > 1 and parents[-2] == "add":
            hint = f"Nothing of a routine is replaced; add {one_of([f'`{each}`' for each in known])} to it."
        elif not parents and field in ("id", "kind"):
            hint = f"Delete the line: the {'file name is the id' if field == 'id' else 'folder is the kind'}."
        elif not is_field_name(field):
            hint = (
                "A comma ends a value inside braces; quote the whole text before it."
                if alone
                else "If it is text, quote the whole of it."
            )
        elif home := self._homes.nearest(field, tuple(parents)):
            hint = home
        else:
            hint = (
                f"Use {one_of(known)}."
                if len(known) <= 12
                else "Delete it, or look up the fields of this kind of entry."
            )
        where = f" in {_name(tuple(parents))}" if parents else ""
        return rules.UNKNOWN_FIELD.at(spot, f"there is no field `{shown(field)}`{where}", hint)


def _heads_fault(path: str, route: Route, fault: ValidationError, heads: Schema) -> Problem:
    if fault.message == "two heads":
        present: Any = fault.instance
        first, second = present[:2]
        message = f"`{first}` and `{second}` stand in one item of {_name(route[:-1])}"
        return rules.TWO_IN_ONE.at(
            Spot(path, (*route, second), on_key=True), message, "Make two items of them."
        )
    names = list(heads["heads"])
    if fault.message == "misspelt head":
        field = str(route[-1])
        hint = f"Did you mean `{nearest(field, names)}`?"
        message = f"there is no field `{shown(field)}` in {_name(route[:-1])}"
        return rules.UNKNOWN_FIELD.at(Spot(path, route, on_key=True), message, hint)
    message = f"{_name(route)} does not say what it is"
    return rules.MISSING_HEAD.at(Spot(path, route), message, f"Give it one of {one_of(names)}.")


def _wrong_type(document: Document, route: Route, value: Any, schema: Schema) -> Problem:
    name, wanted = _name(route), schema["type"]
    spot = Spot(document.path, route)

    def wrong(message: str, hint: str) -> Problem:
        return rules.WRONG_TYPE.at(spot, f"{name} {message}", hint)

    if wanted == "array" and isinstance(value, dict) and "x-hint" in schema:
        return wrong("must be a list", _sentence(schema["x-hint"]))
    if value is None:
        hint = (
            "Put a dash before each of its items on the lines below it"
            if wanted == "array"
            else "Type its value"
        )
        return rules.EMPTY_VALUE.at(spot, f"{name} has nothing behind it", f"{hint}, or delete it.")
    match wanted:
        case "string" if isinstance(value, dict):
            return _text_with_colon(document, route, value)
        case "string" if (text := _dashed(document, route, value)) is not None:
            sign = shown(f"- {text}")
            return wrong(
                "must be one text, not a list",
                f'If the dash before `{shown(text)}` belongs to the text, write "{sign}"; else take it away.',
            )
        case "string":
            return wrong(
                "must be one text, not a list",
                "Take dashes and brackets away; quote the text if it starts with `[`.",
            )
        case "array":
            return wrong(f"must be a list, not {_shape(value)}", _as_list(route, value))
        case "object" if isinstance(value, list):
            return wrong("must be one group of fields, not a list", "Take the dashes away.")
        case "object":
            fields = _fields_of(schema)
            return wrong(
                "must be a group of fields, not one text", f"Write fields below it, such as `{fields}:`."
            )
        case "boolean":
            return wrong(f"must be yes or no, not `{shown(str(value))}`", "Type yes or no.")
        case "integer" if isinstance(value, str) and value.isdecimal() and value.isascii():
            message = f'`{shown(value)}` may mean the number {shown(value.lstrip("0") or "0")} or the text "{shown(value)}"'
            hint = (
                f"Type {shown(value.lstrip('0') or '0')} if the number is meant; text has no place in {name}."
            )
            return rules.AMBIGUOUS_NUMBER.at(spot, message, hint)
    digits = "a whole number" if wanted == "integer" else "a number"
    return wrong(f"must be {digits}, not {_shape(value)}", f"Type digits only, such as {_example(schema)}.")


def _dashed(document: Document, route: Route, value: Any) -> str | None:
    """Return the one text behind dashes too many, the last of which may be its minus sign."""
    while isinstance(value, list) and len(value) == 1:
        span = document.source.spans.get(route)
        if span is None or not document.source.text.startswith("-", span.start):
            return None
        route, value = (*route, 0), value[0]
    return value if isinstance(value, str) else None


def _as_list(route: Route, value: Any) -> str:
    """Say how to make a list of a value; an item of a list has its own dash already."""
    if not isinstance(route[-1], int):
        return "Put a dash before each item."
    inside = f"{{{next(iter(value), '')}: …}}" if isinstance(value, dict) else shown(str(value))
    return f"Each item here is itself a list; put brackets around it: `- [{inside}]`."


def _text_with_colon(document: Document, route: Route, value: dict[str, Any]) -> Problem:
    name = _name(route)
    span = document.source.spans.get(route)
    if span and not document.source.text.startswith("{", span.start):
        key = next(iter(value))
        spot = Spot(document.path, (*route, key), on_key=True, find=":")
        written = shown(f"{key}: {value[key] or ''}" if isinstance(value[key], str | None) else f"{key}: …")
        message = f"a colon and a blank inside unquoted text start a new field; {name} is one text"
        return COLON_IN_TEXT.at(spot, message, f'Quote the whole value: "{written}".')
    return rules.WRONG_TYPE.at(
        Spot(document.path, route),
        f"{name} must be one text, not a group of fields",
        "Quote the whole value.",
    )


def _fields_of(schema: Schema) -> str:
    heads = schema.get("x-heads")
    if heads:
        names = [*heads["common"]["required"], *heads["heads"]]
    else:
        names = [*schema.get("required", ()), *schema.get("properties", ())]
    return names[0] if names else "name"


def _name(route: Route) -> str:
    """What a sentence calls the value at a route: its field, or item of a list."""
    if not route:
        return "this entry"
    if isinstance(route[-1], str):
        return f"`{shown(route[-1])}`"
    return f"item {route[-1] + 1} of {_name(route[:-1])}"


def _count(number: int) -> str:
    return {0: "no items", 1: "one item"}.get(number, f"{number} items")


def _example(schema: Schema) -> str:
    return str(schema.get("examples", ["…"])[0])


def _shape(value: Any) -> str:
    if isinstance(value, dict):
        return "a group of fields"
    return "a list" if isinstance(value, list) else f"`{shown(str(value))}`"


def _sentence(hint: str) -> str:
    return f"{hint[0].upper()}{hint[1:].rstrip('.')}{'' if hint.endswith('?') else '.'}"
