"""What a public host may tell: no place where the shop works, and no machine it met."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from kbgen.model.entry import Entry
from kbgen.model.shop import ShopSettings
from kbgen.ref import Kind


def without_places(shop: ShopSettings, entries: Iterable[Entry]) -> tuple[ShopSettings, tuple[Entry, ...]]:
    """Return the settings and entries without sites and machines.

    A field note that names a machine stays as it was signed; what leads to an entry that is not there is shown nowhere.
    """
    return replace(shop, sites=()), tuple(entry for entry in entries if entry.ref.kind is not Kind.PLANT)
