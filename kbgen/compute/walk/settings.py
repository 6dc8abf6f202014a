"""What a setting of the plant is for, who changes it, and which way a change goes."""

from __future__ import annotations

import re

from kbgen.link.base import KnowledgeBase
from kbgen.model.equipment import Setting
from kbgen.model.people import NOBODY
from kbgen.quantity import DIMENSIONS, Quantity, QuantityError, parse

_MIXTURE = frozenset({"gas", "air", "fuel", "damper", "manifold", "mixture", "regulator", "oil"})


def is_limit(base: KnowledgeBase, setting: Setting) -> bool:
    """Return whether a setting belongs to a device that trips when something is unsafe."""
    device = base.device(setting.device) if setting.device else None
    return device is not None and device.role != "operating"


def stands_over(base: KnowledgeBase, limit: Setting, control: Setting) -> bool:
    """Return whether a limit stands over a control: of the same quantity and above its value, as gas is not over steam."""
    one, other = _read(limit, limit.value), _read(control, control.value)
    alike = is_limit(base, limit) and limit.quantity == control.quantity
    return alike and one is not None and other is not None and one.lo >= other.hi


def is_mixture(setting: Setting) -> bool:
    """Return whether a setting changes how much gas or air burns."""
    # The temperature of the air that leaves a heater is what it is asked for, not what it burns with.
    if setting.device or setting.quantity in ("temperature", "time"):
        return False
    words = set(re.findall(r"[a-z]+", f"{setting.id} {setting.title}".casefold()))
    return bool(words & _MIXTURE)


def nobody_changes(setting: Setting) -> bool:
    """Return whether a setting is not to be changed on site by anybody."""
    return setting.changed_by == NOBODY


_FALL = re.compile(r"\b(?:fall|falls|below|under|less|lower|slower|drops|low)\b", re.IGNORECASE)
_RISE = re.compile(r"\b(?:rise|rises|above|over|more|hotter|higher|reaches|exceeds|high)\b", re.IGNORECASE)


def trips_on(base: KnowledgeBase, setting: Setting) -> str:
    """Return whether the device of a setting trips on a ``rise`` or a ``fall``; empty where nothing says so."""
    device = base.device(setting.device) if setting.device else None
    if setting.trips_on or device is None:
        return setting.trips_on
    for words in (device.opens_when, device.head.title, setting.title):
        fall, rise = _FALL.search(words), _RISE.search(words)
        if fall or rise:
            first = min((each for each in (fall, rise) if each), key=lambda each: each.start())
            return "fall" if first is fall else "rise"
    return ""


def at_its_value(setting: Setting, to: str) -> bool:
    """Return whether a setting is left at the plant's own value."""
    if _plain(setting.value) == _plain(to):
        return True
    value, new = _read(setting, setting.value), _read(setting, to)
    return value is not None and new is not None and value.lo <= new.lo and new.hi <= value.hi


def lets_more_through(base: KnowledgeBase, setting: Setting, to: str) -> bool | None:
    """Return whether a limit trips later at another value than at its own; ``None`` where nobody can tell."""
    value, new, side = _read(setting, setting.value), _read(setting, to), trips_on(base, setting)
    if value is None or new is None or not side:
        return None
    return new.hi > value.hi if side == "rise" else new.lo < value.lo


def raised(setting: Setting, to: str) -> bool:
    """Return whether a setting is left above its value; what cannot be read counts as raised."""
    value, new = _read(setting, setting.value), _read(setting, to)
    return value is None or new is None or new.hi > value.hi


def stops_before(setting: Setting, other: Setting, to: str) -> bool:
    """Return whether a limit trips below the value that another setting of its quantity is raised to."""
    limit, new = _read(setting, setting.value), _read(other, to)
    return setting.quantity == other.quantity and limit is not None and new is not None and limit.hi < new.lo


def _read(setting: Setting, text: str) -> Quantity | None:
    for dimension in (
        [setting.quantity] if setting.quantity in DIMENSIONS else ("pressure", "temperature", "length")
    ):
        try:
            return parse(text, dimension)
        except QuantityError:
            continue
    return None


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()
