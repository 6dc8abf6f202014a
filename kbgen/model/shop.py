"""The shop's own settings, from ``kb.yaml``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any

from kbgen.model.build import Long, Voltage
from kbgen.model.head import Acceptance


@dataclass(frozen=True, slots=True)
class Call:
    """An office or duty, and how it is reached."""

    who: str
    reach: str


@dataclass(frozen=True, slots=True)
class Emergency:
    """What the shop adds to the leave-now page."""

    words: tuple[str, ...] = ()
    first: Long = ()
    number: str = ""


@dataclass(frozen=True, slots=True)
class Site:
    """A place where the shop works; what the leave-now page says of it."""

    id: str
    title: str
    address: str = ""
    muster: str = ""
    gas_shut_off: str = ""
    keys: str = ""
    emergency: str = ""


@dataclass(frozen=True, slots=True)
class Person:
    """Who may sign, by initials: a claim, not an identity.

    Attributes:
        may: Licences.
        up_to: The highest voltage of the electrical one; ``None`` for what may be touched.
        until: Last day on which this person may sign, in ISO 8601; empty for none.
    """

    initials: str
    may: tuple[str, ...] = ()
    up_to: Voltage | None = None
    until: str = ""

    @property
    def volts(self) -> float:
        """The highest voltage of the electrical licence, in volts."""
        return TOUCHABLE if self.up_to is None else self.up_to.value


@dataclass(frozen=True, slots=True)
class HouseWord:
    """A word the shop does not say, what it says for it, and phrases in which the word is right."""

    not_: str
    but: str
    except_: tuple[str, ...] = ()


TOUCHABLE = 50.0
"""So many volts ask for no electrical licence where a shop says nothing; extra-low voltage ends there (IEC 61140)."""


AFTER_GAS_WORK = ("flue-gas", "air-supply", "gas-rate", "purge")
"""What may be outstanding once the gas train was opened; a region's rules ask for all of it or for a part."""


@dataclass(frozen=True, slots=True)
class ShopSettings:
    """Whose knowledge base it is."""

    shop: str
    key: str
    language: str = "en"
    regions: tuple[str, ...] = ()
    paper: str = "a6"
    review_months: int = 12
    walk_months: int = 0
    scheme: str = ""
    house_words: tuple[HouseWord, ...] = ()
    people: tuple[Person, ...] = ()
    compare_days: int = 7
    call: tuple[Call, ...] = ()
    emergency: Emergency = Emergency()
    sites: tuple[Site, ...] = ()
    notice: Long = ()
    accept: tuple[Acceptance, ...] = ()
    most_starts: int = 3
    most_resets: int = 1
    after_gas_work: tuple[str, ...] = AFTER_GAS_WORK


class KeptShop(ShopSettings):
    """Settings that say which of them were asked for.

    Args:
        note: Is told the name of each.
    """

    __slots__ = ("_note", "_shop")
    _note: Callable[[str], None]
    _shop: ShopSettings

    def __init__(self, shop: ShopSettings, note: Callable[[str], None]) -> None:
        object.__setattr__(self, "_shop", shop)
        object.__setattr__(self, "_note", note)

    def asked(self, name: str) -> Any:
        """Return one of them."""
        self._note(name)
        return getattr(self._shop, name)

    def __reduce__(self) -> tuple[type[ShopSettings], tuple[object, ...]]:
        return ShopSettings, tuple(self.asked(each.name) for each in fields(ShopSettings))


def _asks(name: str) -> property:
    def value(self: KeptShop) -> Any:
        return self.asked(name)

    return property(value)


for _field in fields(ShopSettings):
    setattr(KeptShop, _field.name, _asks(_field.name))
