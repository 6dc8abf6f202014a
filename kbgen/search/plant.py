"""The plant a query names: it is chosen, and its name is no word of the fault."""

from __future__ import annotations

from collections.abc import Sequence

from .language import Language
from .normalise import Atom, atoms
from .stem import stem

Names = dict[str, list[tuple[tuple[str, ...], str]]]
"""Under the first stem of a name: all its stems, and the plant's id; the longest name first."""


def name_table(plants: Sequence[tuple[str, Sequence[str]]], language: Language) -> Names:
    """Return the names of plants ready to be looked for."""
    table: dict[str, dict[tuple[str, ...], str]] = {}
    for plant, names in plants:
        for name in names:
            stems = tuple(stem(atom.text, language) for atom in atoms(name))
            if stems:
                table.setdefault(stems[0], {}).setdefault(stems, plant)
    return {first: sorted(names.items(), key=lambda each: -len(each[0])) for first, names in table.items()}


def named(query: Sequence[Atom], names: Names, language: Language) -> tuple[str | None, set[int]]:
    """Return the only plant that a query names, and the places of the words that name it.

    A name before a word such as "room" names a place: who is in the boiler room may stand at any plant.
    """
    stems = [stem(atom.text, language) for atom in query]
    found: dict[str, set[int]] = {}
    at = 0
    while at < len(stems):
        for name, plant in names.get(stems[at], ()):
            end = at + len(name)
            if tuple(stems[at:end]) == name and not (end < len(query) and query[end].text in language.places):
                found.setdefault(plant, set()).update(range(at, end))
                at = end - 1
                break
        at += 1
    if len(found) != 1:
        return None, set()
    ((plant, places),) = found.items()
    return plant, places
