"""The right spelling of a quantity that is written in another usual way, for the hint beside the fault."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

# What people write for a unit, where it is more than another case.
_ALSO = {
    **dict.fromkeys(("hrs", "hr.", "hrs.", "std"), "h"),
    **dict.fromkeys(("mins", "min.", "mins.", "minuto", "minutos"), "min"),
    **dict.fromkeys(("secs", "sec.", "secs.", "segundos"), "s"),
    **dict.fromkeys(("msec", "msecs"), "ms"),
    **dict.fromkeys(
        ("degc", "deg c", "deg. c", "degrees c", "degree c", "celsius", "degrees celsius", "° c"), "°C"
    ),
    **dict.fromkeys(
        ("degf", "deg f", "deg. f", "degrees f", "degree f", "fahrenheit", "degrees fahrenheit", "° f"), "°F"
    ),
    **dict.fromkeys(
        ("inch wc", "inches wc", "inches w.c.", "inwg", "in wg", "in. wg", '"wc', '" wc', '"w.c.', "iwc"),
        "in wc",
    ),
    **dict.fromkeys(("volts dc", "volt dc"), "V DC"),
    **dict.fromkeys(("volts ac", "volt ac"), "V AC"),
    **dict.fromkeys(("milliamps", "milliamp"), "mA"),
    **dict.fromkeys(("millivolts", "millivolt"), "mV"),
    **dict.fromkeys(("metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("foot", "feet", "ft."), "ft"),
    **dict.fromkeys(("in.", "ins"), "in"),
    **dict.fromkeys(("lbs", "lb", "pounds"), "psi"),
    **dict.fromkeys(("hertz", "cycles"), "Hz"),
    **dict.fromkeys(("watt", "watts"), "W"),
    **dict.fromkeys(("pct", "per cent"), "%"),
}
# Another case of the m makes it a thousandth or a million: which of them is meant, nobody but the author knows.
_MILLI_OR_MEGA = frozenset(("ma", "mv", "mw", "mpa", "mohm", "mω"))
_ONE_BY_ONE = re.compile(
    r"([-+]?[0-9]{1,12}(?:\.[0-9]{1,12})?)\s*([^\d\s±+–—…,;/-][^\d±+–—…;]*?)?\s*(\bto\b|–|—|…|-|±|\+/-|\Z|(?=\d))\s*"
)
_FRACTION = re.compile(
    r"(?:([0-9]{1,6})[\s-]+)?([0-9]{1,4})/([0-9]{1,4})(?![0-9/])|([0-9]{1,6})?\s?([½¼¾⅛⅜⅝⅞⅕⅖⅗⅘])"
)
_POWER = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,6})?[eE][-+]?[0-9]")


def respelt(text: str, units: Mapping[str, float], *, adds: bool) -> str:
    """Return the text in the spelling that is read, or nothing where it is not clear what is meant.

    Args:
        text: A quantity that cannot be read.
        units: Factor to the base unit by spelling, of its dimension.
        adds: Whether parts add up, as in ``1 h 10 min``.

    >>> respelt("24v", {"V": 1, "mV": 1e-3}, adds=False), respelt("1 h 10 MIN", {"h": 3600, "min": 60}, adds=True)
    ('24 V', '70 min')
    """
    # The blank between a sign and its number says nothing.
    text = re.sub(r"^([-+])\s+(?=[0-9])", r"\1", text.rstrip("."))
    plain = _POWER.sub(lambda found: f"{float(found[0]):.12g}", _FRACTION.sub(_decimal, text))
    parts: list[tuple[str, str, str]] = []
    at = 0
    while at < len(plain):
        found = _ONE_BY_ONE.match(plain, at)
        # A tolerance may be a share of its value.
        shares = {"%": 0.01} if parts and parts[-1][2] in ("±", "+/-") else {}
        unit = _unit(found[2] or "", {**units, **shares}) if found else None
        if found is None or unit is None:
            return ""
        parts.append((found[1], unit, found[3]))
        at = found.end()
    if len(parts) > 1 and adds and not any(between for _, _, between in parts):
        return _sum(parts, units)
    return "".join(_part(*part) for part in parts).strip()


def _unit(typed: str, units: Mapping[str, float]) -> str | None:
    """Return how a unit is spelt; ``None`` when none is meant, or one of two."""
    if not typed or typed in units:
        return typed
    folded = " ".join(typed.casefold().split())
    if folded in _MILLI_OR_MEGA:
        return None
    if (also := _ALSO.get(folded)) in units:
        return also
    same = [unit for unit in units if unit.casefold() == folded]
    return same[0] if same and len({units[unit] for unit in same}) == 1 else None


def _decimal(found: re.Match[str]) -> str:
    whole, over, under, before, sign = found.groups()
    if sign:
        value = int(before or 0) + unicodedata.numeric(sign)
    elif int(under) == 0:
        return found[0]
    else:
        value = int(whole or 0) + int(over) / int(under)
    # A third has no end; it is for the author to round.
    return f"{value:g}" if round(value, 4) == value else found[0]


def _sum(parts: list[tuple[str, str, str]], units: Mapping[str, float]) -> str:
    factors = [units.get(unit, 0.0) for _, unit, _ in parts]
    if 0.0 in factors or factors != sorted(set(factors), reverse=True):
        return ""
    total = sum(float(number) * factor for (number, _, _), factor in zip(parts, factors, strict=True))
    return f"{total / factors[-1]:g} {parts[-1][1]}"


def _part(number: str, unit: str, between: str) -> str:
    return f"{number} {unit}".rstrip() + (f" {between} " if between else "")
