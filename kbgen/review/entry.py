"""What differs between two versions of an entry's own fields, in sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import fields
from typing import Any

from kbgen.compute.walk.settings import is_limit, lets_more_through, trips_on
from kbgen.link.base import KnowledgeBase
from kbgen.model.device import Device
from kbgen.model.entry import RECORDS
from kbgen.model.equipment import Setting
from kbgen.model.shop import AFTER_GAS_WORK, ShopSettings
from kbgen.ref import Kind, Ref
from kbgen.review import change as c
from kbgen.review import data, texts
from kbgen.review.change import Change, Weight, sentence
from kbgen.review.fields import ELSEWHERE, Field, called, row_of
from kbgen.review.where import Where
from kbgen.schemas import Schema

_PLAIN = re.compile(r"-?\d+(?:[.,]\d+)?")


def differences(
    schema: Schema,
    ref: Ref | None,
    entries: tuple[Mapping[str, Any], Mapping[str, Any]],
    bases: tuple[KnowledgeBase, KnowledgeBase],
    where: tuple[Where, Where],
) -> Iterator[Change]:
    """Yield what differs in the fields of an entry; ``None`` for the settings of the shop."""
    kind = str(ref.kind) if ref else "kb"
    for each in data.differences(schema, *(_filled(ref, each) for each in entries)):
        if f"{kind}.{each.path[0]}" in ELSEWHERE:
            continue
        row = row_of(kind, each.path, each.leaf)
        weight, said = _told(row, each, ref, bases)
        what = (
            c.Kind.ADDED if each.before is None else c.Kind.REMOVED if each.after is None else c.Kind.CHANGED
        )
        places = where[0].at(ref, each.routes[0]), where[1].at(ref, each.routes[1])
        yield Change(weight, what, ref, sentence(said), *places, quiet=row.quiet)


def _filled(ref: Ref | None, entry: Mapping[str, Any]) -> dict[str, Any]:
    """Return an entry with what goes for the fields that it leaves out."""
    record = RECORDS[ref.kind] if ref else ShopSettings
    usual: dict[str, Any] = {} if ref else {"after_gas_work": list(AFTER_GAS_WORK)}
    usual |= {
        each.name: each.default for each in fields(record) if isinstance(each.default, str | int | float)
    }
    return {**{name: value for name, value in usual.items() if value not in ("", False)}, **entry}


def _told(
    row: Field, other: data.Other, ref: Ref | None, bases: tuple[KnowledgeBase, KnowledgeBase]
) -> tuple[Weight, str]:
    names = ("who may sign", *other.names[1:]) if ref is None and other.path[0] == "people" else other.names
    name = ", ".join(dict.fromkeys(names))
    if other.order:
        before, after = (
            c.listed([data.called(each) for each in side], 8) for side in (other.before, other.after)
        )
        return row.order, f"{name}: in another order: {after}. It was: {before}"
    was, now = _shown(other, other.before, bases[0]), _shown(other, other.after, bases[1])
    if isinstance(other.before or other.after, bool):
        weight = row.changed("no", "yes") if now == "yes" else row.changed("yes", "no")
        return weight, f"{name}: {now or 'no'}, was {was or 'no'}"
    if other.before is None:
        weight = row.new(now) if callable(row.new) else row.new
        return weight, f"{name}: now {_brief(now)}"
    if other.after is None:
        weight = row.gone(was) if callable(row.gone) else row.gone
        if isinstance(other.before, dict) and other.before.keys() & {"contact", "fuse"}:
            weight = Weight.LESS_SAFE  # what opens the string is no longer in it
        return weight, f"{name}: no longer {_brief(was)}"
    weight = _weighed(row, other, ref, bases)
    if other.path[-1] == "who":
        was, now = called(was), called(now)
    if texts.same_words(was, now):
        return Weight.WORDS, f"{name}: only written otherwise: {_brief(now)}"
    return weight, texts.told(f"{name}:", was, now)


def _brief(text: str) -> str:
    return text if len(text) < 60 and "\n" not in text else texts.quoted(text, 120)


def _shown(other: data.Other, value: Any, base: KnowledgeBase) -> str:
    """Return a value as a person reads it: an entry by its title."""
    text = data.words_of(value)
    if isinstance(value, dict) and "contact" in value:
        ref = Ref(Kind.DEVICE, str(value["contact"]))
        return f"contact of {base.title(ref)}" if ref in base.entries else text
    kind = other.leaf.get("x-reference")
    if kind and isinstance(value, str):
        ref = Ref(Kind(kind), value)
        return base.title(ref) if ref in base.entries else value
    return text


def _weighed(
    row: Field, other: data.Other, ref: Ref | None, bases: tuple[KnowledgeBase, KnowledgeBase]
) -> Weight:
    """Weigh another value: where it says at which value a limit trips, by the side to which it moved."""
    was, now = data.words_of(other.before), data.words_of(other.after)
    if ref is not None and ref.kind is Kind.DEVICE and other.path == ("opens_when",):
        return _limit(was, now, ref, bases[1]) or row.changed(was, now)
    if ref is not None and ref.kind is Kind.EQUIPMENT and other.path == ("settings", "value"):
        return _setting(other, ref, bases[0], now) or row.changed(was, now)
    return row.changed(was, now)


def _limit(was: str, now: str, ref: Ref, base: KnowledgeBase) -> Weight | None:
    device = base.device(ref.id)
    one, two = _PLAIN.findall(was), _PLAIN.findall(now)
    if not isinstance(device, Device) or len(one) != 1 or len(two) != 1 or device.role == "operating":
        return None
    side = trips_on(base, Setting("", "", device=ref.id))
    if not side or one == two or texts.compared(was, now) is not Weight.FIGURE:
        return None
    more = float(two[0].replace(",", ".")) > float(one[0].replace(",", "."))
    return Weight.LESS_SAFE if more == (side == "rise") else Weight.SAFER


def _setting(other: data.Other, ref: Ref, base: KnowledgeBase, now: str) -> Weight | None:
    plant = base.equipment(ref.id)
    index = other.routes[0][1] if len(other.routes[0]) > 1 else None
    if plant is None or not isinstance(index, int) or index >= len(plant.settings):
        return None
    setting = plant.settings[index]
    if not is_limit(base, setting):
        return None
    more = lets_more_through(base, setting, now)
    return None if more is None else Weight.LESS_SAFE if more else Weight.SAFER
