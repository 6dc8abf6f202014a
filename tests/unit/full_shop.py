"""Documents that hold every text field there is, grown from the schemas themselves.

Whoever adds a field to a schema, or an action to the table, adds it here by that: every field of every map
stands in them, once for every head that an item can have. They are no sound plant; only what is shown of a text
is asked of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fnmatch import fnmatchcase
from typing import Any, NamedTuple

from kbgen.model.routine import BY_NAME as ROUTINES
from kbgen.position import Route
from kbgen.ref import Kind
from kbgen.schemas import Schema, Schemas, heads_in, variant

Slot = str
"""One text field of a schema, e.g. ``procedure.steps.<end>.label``; ``<>`` is an item without a head."""

APART_FROM_ALL = ("say", "withdrawn")
"""What an answer says first, only on pages that are written out; and what takes every other text off its page."""
FULL, APART = "full", "full-apart"
"""Ids of the entries: with every field, and with those that shut another one out."""
_SHUTS_OUT = {Kind.DEVICE: ("may_jump", "never_because"), Kind.SYMPTOM: ("look_alikes", "no_look_alike")}
"""The first shuts the second out, so that two entries are needed to hold both."""
_NOT_FREE = ("x-reference", "x-quantity", "x-date", "x-every", "enum", "pattern")
_CHOSEN = {"quantity": "other"}
"""Words to take in place of the first example: only a setting of another quantity may say anything."""


class Waiver(NamedTuple):
    """Text fields that stand in some output nowhere, and why that is right.

    Attributes:
        slots: A pattern of text fields.
        outputs: Of ``page``, ``guide`` and ``export``.
    """

    slots: str
    outputs: tuple[str, ...]
    why: str


WAIVERS = (
    Waiver("kb.*", ("export",), "the export holds entries, and these are the settings of the shop"),
    Waiver("kb.people.initials", ("page", "guide"), "the pages show the initials of who signed"),
    Waiver("kb.house_words.*", ("page", "guide"), "words that the check holds every text against"),
    Waiver("kb.emergency.words", ("page", "guide"), "words that people type; the search answers them"),
    Waiver(
        "*accept.reason", ("page", "guide"), "said to whoever reviews the entry, not to whoever works by it"
    ),
    Waiver("*.asked", ("page", "guide"), "what people typed; the search answers it"),
    Waiver("*accept.by", ("page", "guide"), "as its reason"),
    Waiver("*photos.alt", ("guide",), "stands for a picture, and print shows the picture"),
    Waiver("field-note.*", ("guide",), "print counts the jobs and does not tell them one by one"),
    Waiver("plant.*", ("guide",), "a booklet is of a family; a machine has a page, and the tablet offers it"),
    *(
        Waiver(
            slots,
            ("page", "guide"),
            "routines write it into the pages of procedures; tests/unit/compose holds it",
        )
        for slots in (
            *("equipment.arrive.*", "equipment.endings.*", "equipment.routines.*", "equipment.train_tests.*"),
            *("equipment.firing.*", "equipment.telling.*"),
            *(
                "equipment.*.words.*",
                "equipment.*.handle",
                "equipment.sources.wait_for",
                "equipment.sources.also_dead",
            ),
            *("equipment.known_source", "equipment.memory.press.*", "equipment.leak_check.*"),
            *(
                "device.trip.*",
                "device.found_open",
                "procedure.steps.<fit>.back",
                "procedure.steps.<fit>.back_expect",
            ),
        )
    ),
    *(
        Waiver(slots, ("page", "guide"), "said in short for the booklet; tests/unit/booklet holds it")
        for slots in ("*.in_short", "caution.never_line", "device.*_in_short")
    ),
    Waiver("procedure.steps.<reset>.reset", ("page", "guide"), "the name of a device, memory or fuse"),
    Waiver(
        "procedure.steps.<find_cause>.find_cause", ("page", "guide"), "the name of a device, memory or fuse"
    ),
)


def waived(slot: Slot, output: str) -> bool:
    """Whether a text field need not stand in an output."""
    return any(output in each.outputs and fnmatchcase(slot, each.slots) for each in WAIVERS)


def free(leaf: Mapping[str, Any]) -> bool:
    """Whether a leaf of a schema is a text that may say anything: no id, quantity, day or fixed word."""
    return leaf.get("type") == "string" and not any(word in leaf for word in _NOT_FREE)


def slots(schemas: Schemas) -> set[Slot]:
    """Return every text field of every schema; parts inside parts count to the third time they are met."""
    kinds: tuple[Kind | None, ...] = (None, *Kind)
    return {slot for kind in kinds for slot, leaf in _slots(schemas.of(kind), _root(kind), ()) if free(leaf)}


def _root(kind: Kind | None) -> Slot:
    return str(kind or "kb")


def _slots(schema: Schema, slot: Slot, heads: tuple[str, ...]) -> Iterator[tuple[Slot, Schema]]:
    if "x-heads" in schema:
        for head, inner in _heads(schema, heads):
            yield from _slots(inner, f"{slot}.<{head}>", (*heads, head))
    elif schema.get("type") == "array":
        yield from _slots(schema["items"], slot, heads)
    elif schema.get("type") == "object":
        for name, inner in schema["properties"].items():
            if name not in APART_FROM_ALL:
                yield from _slots(inner, f"{slot}.{name}", heads)
    else:
        yield slot, schema


def _heads(schema: Schema, around: tuple[str, ...]) -> list[tuple[str, Schema]]:
    """Every head of an item, none of them inside itself, and the item without a head where there may be one."""
    own = schema["x-heads"]
    # A line with a routine stands for steps, and these are what is published.
    written = {head: inner for head, inner in own["heads"].items() if head not in ROUTINES}
    found = [(head, inner) for head, inner in written.items() if head not in around]
    return found if own["required"] else [*found, ("", own["common"])]


def slot_of(schemas: Schemas, kind: Kind | None, data: Any, route: Route) -> Slot:
    """Return the text field that a route of a document is one of."""
    schema, slot = schemas.of(kind), _root(kind)
    for step in route:
        if isinstance(step, str):
            schema, slot = schema["properties"][step], f"{slot}.{step}"
        else:
            schema = schema["items"]
        data = data[step]
        if "x-heads" in schema:
            schema, slot = variant(schema, data), f"{slot}.<{next(iter(heads_in(schema, data)), '')}>"
    return slot


def grown(schemas: Schemas, beside: Mapping[str, Any]) -> dict[str, Any]:
    """Return settings and entries that hold every text field, by path.

    Args:
        beside: The shop they come into; what refers to an entry of its own kind refers to one of these.
    """
    others = {path.split("/")[0]: path for path in beside}
    ids = {folder: path.split("/")[-1].removesuffix(".yaml") for folder, path in others.items()}
    shop = {"kb.yaml": _grown(schemas.of(None), (), (), dict.fromkeys(Kind, FULL))}
    for kind in Kind:
        names = {each: ids[each.folder] if each is kind else FULL for each in Kind}
        whole = _grown(schemas.of(kind), (), (), names) | {"status": "approved"}
        if kind is Kind.CIRCUIT:
            # Parts that all hang on a size and an option make no circuit by themselves.
            whole["path"] = [*beside[others[kind.folder]]["path"], *whole["path"]]
        if kind is Kind.PROCEDURE:
            # The steps that the examples lead to.
            whole["steps"] += [{"id": step, "do": "Go on."} for step in ("leave-safe", "close-up")]
        if kind in _SHUTS_OUT:
            shutting, shut = _SHUTS_OUT[kind]
            shop[f"{kind.folder}/{APART}.yaml"] = {
                key: whole[key] for key in whole if key not in (shutting, "former_ids")
            }
            whole = {key: whole[key] for key in whole if key != shut}
        shop[f"{kind.folder}/{FULL}.yaml"] = whole
    return shop


def _grown(schema: Schema, route: Route, heads: tuple[str, ...], names: Mapping[Kind, str]) -> Any:
    if schema.get("type") == "array":
        items = schema["items"]
        if "x-heads" in items:
            return [
                _grown(inner, (*route, head), (*heads, head), names) for head, inner in _heads(items, heads)
            ]
        return [_grown(items, (*route, number), heads, names) for number in range(schema.get("minItems", 1))]
    if schema.get("type") == "object":
        return {
            name: _grown(inner, (*route, name), heads, names)
            for name, inner in schema["properties"].items()
            if name not in APART_FROM_ALL
        }
    if "x-reference" in schema:
        return names[Kind(schema["x-reference"])]
    if route[-1] == "id" and route[-2] in heads:
        return str(route[-2]).replace("_", "-") or schema["examples"][0]
    return _CHOSEN.get(str(route[-1]), schema["examples"][0])
