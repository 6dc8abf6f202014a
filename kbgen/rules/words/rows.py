"""Reads the lines in which a language writes its table."""

from __future__ import annotations

from collections.abc import Mapping

from kbgen.rules.words.inflect import plurals
from kbgen.rules.words.table import Deed, Way

_EVERY = "=verbs"


def words(text: str) -> frozenset[str]:
    """Return the words of a line."""
    return frozenset(text.split())


def deeds(text: str, lists: Mapping[str, frozenset[str]]) -> tuple[Deed, ...]:
    """Return rows of kind, verbs, particles, objects and exceptions with a bar between two columns.

    ``&`` parts two groups of objects; among verbs ``=name`` is a list, ``=verbs`` every verb that ends no alteration.

    Args:
        lists: What a name such as ``=things`` stands for.
    """
    lines = [tuple(column.strip() for column in line.split("|")) for line in text.strip().splitlines()]
    undoing = {verb for kind, verbs, *_ in lines if kind == "back" for verb in _verbs(verbs, lists)}
    every = dict.fromkeys(verb for _, verbs, *_ in lines if verbs != _EVERY for verb in _verbs(verbs, lists))
    rows = []
    for kind, verbs, particles, objects, not_with in lines:
        groups = tuple(_column(group, lists) for group in objects.split("&")) if objects else ()
        without = _column(not_with, lists)
        own = (
            [verb for verb in every if verb not in undoing | without]
            if verbs == _EVERY
            else _verbs(verbs, lists)
        )
        rows.append(Deed(kind, tuple(own), words(particles), groups, without))
    return tuple(rows)


def ways(text: str) -> dict[str, tuple[Way, ...]]:
    """Return the lines of each action: groups of words with ``&`` between two, a bar, and what must not stand by."""
    found: dict[str, tuple[Way, ...]] = {}
    for line in text.strip().splitlines():
        action, groups, without = (column.strip() for column in line.split("|"))
        first, *more = groups.split("&")
        way = Way((words(first), *map(words, more)), words(without), tuple(first.split()))
        found[action] = (*found.get(action, ()), way)
    return found


def verdicts(text: str) -> tuple[dict[str, frozenset[str]], ...]:
    """Return blocks of verdict and what says it, an empty line between two blocks."""
    blocks = (block.strip().splitlines() for block in text.strip().split("\n\n"))
    split = ([line.partition("|") for line in block] for block in blocks)
    return tuple({verdict.strip(): words(says) for verdict, _, says in lines} for lines in split)


def _verbs(column: str, lists: Mapping[str, frozenset[str]]) -> list[str]:
    named = (sorted(lists[word]) if word in lists else [word] for word in column.split())
    return list(dict.fromkeys(verb for each in named for verb in each))


def _column(text: str, lists: Mapping[str, frozenset[str]]) -> frozenset[str]:
    return frozenset().union(*(lists.get(word) or plurals((word,)) for word in text.split()))
