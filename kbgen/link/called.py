"""Which device somebody's words mean, by the names that people call it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from kbgen.model.device import Device
from kbgen.model.head import Head

_ONE_WORD = 2
"""How many spaces one plain word stands between."""
_WORDS = re.compile(r"[^\W_]+")

Names = tuple[tuple[str, str], ...]
"""What devices are called, in plain words, and which it is, by its id."""


def names_of(devices: Iterable[tuple[str, Head, Device]], plants: Iterable[str]) -> Names:
    """Return what the devices of some families, and of no plant in particular, are called that have a job check of their own.

    Args:
        devices: Id, head and record of each.
        plants: Ids of families of plant.
    """
    found: list[tuple[str, str]] = []
    for name, head, device in devices:
        here = not device.equipment or not set(device.equipment).isdisjoint(plants)
        if here and device.guards != "demand" and device.independent_check is not None:
            found += [(_plain(each), name) for each in (head.title, *head.aliases)]
    return tuple(found)


def meant(words: str, names: Names) -> frozenset[str]:
    """Return the devices that some words name; several where they may mean each of them."""
    said = _plain(words)
    named = {name: device for name, device in names if name in said}
    if not named and said.count(" ") > _ONE_WORD:
        return frozenset(device for name, device in names if said in name)
    # A name within a longer one is not meant by it: the second outlet limit is no outlet limit.
    return frozenset(
        device
        for name, device in named.items()
        if not any(name != other and name in other for other in named)
    )


def _plain(text: str) -> str:
    return f" {' '.join(_WORDS.findall(text.casefold()))} "
