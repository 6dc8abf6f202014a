"""The machines a tablet offers at the start of a job, and what it asks where none of them is it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import Any

from kbgen.link.base import KnowledgeBase
from kbgen.model.equipment import Equipment
from kbgen.model.plant import Machine

MARKS = 3
"""Numbers from which the one on a plate is picked."""


def machines_data(base: KnowledgeBase) -> list[dict[str, Any]]:
    """Return the machines, by their number.

    Fields:
        ``id``, ``number``, ``title``, ``equipment``, ``size``, ``site``: as in the entry; ``options``: yes or no by
        option, and nothing where it is not known; ``asOf``: the day up to which it is known; ``outstanding``: words;
        ``settings``: title, as left, in the data, day; ``marks``: three numbers, its own among them, that are picked
        from at its plates.
    """
    found = [_machine(base, entry.ref.id, entry.title, machine) for entry, machine in base.of(Machine)]
    for each in found:
        if len(marks := _marks(each, found)) == MARKS:
            each["marks"] = marks
    return sorted(found, key=lambda each: str(each["number"]))


def _marks(machine: Mapping[str, Any], machines: Iterable[Mapping[str, Any]]) -> list[str]:
    """Return the number of a machine among those of two others, the likest ones first; in an order of no meaning."""

    def mixed(other: Mapping[str, Any]) -> str:
        return sha256(f"{machine['id']} {other['number']}".encode()).hexdigest()

    def far(other: Mapping[str, Any]) -> tuple[bool, bool, bool, str]:
        return (
            other is not machine,
            other["equipment"] != machine["equipment"],
            other["site"] != machine["site"],
            mixed(other),
        )

    return [str(each["number"]) for each in sorted(sorted(machines, key=far)[:MARKS], key=mixed)]


def _machine(base: KnowledgeBase, machine_id: str, title: str, machine: Machine) -> dict[str, Any]:
    family = base.equipment(machine.equipment)
    known = {each.id: each for each in family.settings if each.id} if family else {}
    return {
        "id": machine_id,
        "number": machine.number,
        "title": title,
        "equipment": machine.equipment,
        "size": machine.size,
        "options": dict.fromkeys(machine.options, "yes") | dict.fromkeys(machine.without, "no"),
        "site": machine.site,
        "asOf": machine.as_of,
        "outstanding": [f"{each.what}, since {each.since}" for each in machine.outstanding],
        "settings": [
            [known[left.setting].title, left.value, known[left.setting].with_tolerance, left.on]
            for left in machine.settings
            if left.setting in known
        ],
    }


def families_data(base: KnowledgeBase) -> dict[str, dict[str, Any]]:
    """Return the families with their sizes and options, for a machine that has no entry."""
    return {
        entry.ref.id: {
            "title": entry.title,
            "sizes": [[each.id, each.title] for each in family.sizes],
            "options": [[each.id, each.title] for each in family.options],
        }
        for entry, family in base.of(Equipment)
    }
