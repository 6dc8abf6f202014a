"""Quantities with their unit, shown as typed and computed with in base units.

``24 V``, ``20 V to 28 V``, ``20–28 V``, ``120 V ± 10 %`` and ``24 V +10 % -15 %`` are quantities;
``24`` is not where a unit is needed. Factors are those of the International System of Units and, for
inch-pound units, the international yard and pound agreement of 1959.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from kbgen.nearest import one_of
from kbgen.problems import shown
from kbgen.respelt import respelt


class QuantityError(ValueError):
    """Text that is no quantity.

    Attributes:
        message: What is wrong.
        hint: What to type instead.
    """

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value or a range of values.

    Attributes:
        value: The value, or the middle of a range, in the base unit of its dimension.
        lo: Least value, in the base unit; the value itself when no range is given.
        hi: Greatest value, in the base unit.
        unit: The unit as typed.
        text: The whole as typed.
    """

    value: float
    lo: float
    hi: float
    unit: str
    text: str


@dataclass(frozen=True, slots=True)
class Dimension:
    """What can be measured, and in which units.

    Attributes:
        name: What a sentence calls it.
        units: Factor to the base unit by spelling; the first of them are named in hints.
        offsets: What is added after the factor, for temperatures.
        bare: Whether a number without a unit is complete.
        signed: Whether it can be less than nothing, as a temperature can and a time cannot.
        least: Nothing is below it, in the base unit.
        most: Nothing at a plant is above it, in the base unit.
    """

    name: str
    units: Mapping[str, float]
    offsets: Mapping[str, float]
    bare: bool = False
    signed: bool = False
    least: float = -math.inf
    most: float = math.inf


# Water and mercury columns: conventional values at 4 °C and 0 °C under standard gravity.
_UNITS: dict[str, tuple[tuple[str, float], ...]] = {
    "voltage": (("V|Vac|Vdc|V AC|V DC|VAC|VDC|volt|volts", 1), ("mV", 1e-3), ("kV", 1e3)),
    "current": (("A|amp|amps", 1), ("mA", 1e-3), ("µA|uA", 1e-6), ("nA", 1e-9)),
    "resistance": (
        ("Ω|ohm|ohms|Ohm|R", 1),
        ("kΩ|kohm|kOhm|k", 1e3),
        ("MΩ|Mohm|MOhm", 1e6),
        ("mΩ|mohm", 1e-3),
    ),
    "capacitance": (("nF", 1e-9), ("µF|uF", 1e-6), ("pF", 1e-12), ("F", 1)),
    "time": (
        ("s|sec|second|seconds", 1),
        ("min|minute|minutes", 60),
        ("h|hr|hour|hours", 3600),
        ("ms", 1e-3),
        ("d|day|days", 86400),
    ),
    "pressure": (
        ("bar", 1e5),
        ("mbar", 100),
        ("kPa", 1e3),
        ("Pa", 1),
        ("psi|psig|PSI", 6894.757),
        ("in wc|in w.c.|in WC|in. w.c.|in. wc|inwc|in H2O|inH2O|in H₂O", 249.08891),
        ("hPa", 100),
        ("MPa", 1e6),
        ("mm wc|mm w.c.|mm H2O|mmH2O|mm H₂O", 9.80665),
        ("in Hg|inHg", 3386.389),
    ),
    "temperature": (("°C|C|ºC|℃", 1), ("°F|F|ºF|℉", 5 / 9)),
    "length": (
        ("m", 1),
        ("mm", 1e-3),
        ("cm", 1e-2),
        ("ft|'", 0.3048),
        ('in|inch|inches|"', 0.0254),
        ("km", 1e3),
    ),
    "frequency": (("Hz", 1), ("kHz", 1e3)),
    "power": (
        ("W", 1),
        ("VA", 1),
        ("kW", 1e3),
        ("kVA", 1e3),
        ("MW", 1e6),
        ("hp", 745.69987),
        ("Btu/h|BTU/h", 0.29307107),
    ),
    "percent": (("%|percent", 1),),
    "flow": (
        ("l/min|L/min", 1 / 60000),
        ("m³/h|m3/h", 1 / 3600),
        ("l/s|L/s", 1e-3),
        ("cfm|CFM", 0.0004719474),
        ("gpm|GPM", 6.309020e-5),
        ("l/h|L/h", 1 / 3.6e6),
        ("m³/s|m3/s", 1),
    ),
    "count": (("times|×|x", 1),),
}
_BARE = ("count",)
_ADDS = ("time", "length")
"""Where parts add up, as in ``1 h 10 min``."""
_SIGNED = ("voltage", "current", "pressure", "temperature", "length", "percent", "flow")
"""Readings have a sign, and so have levels below a mark, deviations and what flows back."""
# Absolute zero and an empty vessel are the least there is; the most is far above anything at a plant, and
# below what a slip of the finger makes: a figure typed twice, milli for mega.
_LEAST = {"temperature": -273.15, "pressure": -101_325.0}
_MOST = {
    "voltage": 1e6,
    "current": 1e6,
    "resistance": 1e13,
    "capacitance": 1e3,
    "time": 100 * 366 * 86400.0,
    "pressure": 1e9,
    "temperature": 4000.0,
    "length": 1e5,
    "frequency": 1e9,
    "power": 1e10,
    "percent": 1e4,
    "flow": 1e3,
    "count": 1e6,
}
_DEGREES_F = dict.fromkeys(("°F", "F", "ºF", "℉"), -32 * 5 / 9)

DIMENSIONS: dict[str, Dimension] = {
    name: Dimension(
        name,
        {spelling: factor for spellings, factor in units for spelling in spellings.split("|")},
        _DEGREES_F if name == "temperature" else {},
        name in _BARE,
        name in _SIGNED,
        _LEAST.get(name, -math.inf),
        _MOST[name],
    )
    for name, units in _UNITS.items()
}
"""The dimensions a schema can name, by name."""

_SPELLINGS = frozenset(spelling for kind in DIMENSIONS.values() for spelling in kind.units) | {"K"}
"""Every unit a text may speak of; a kelvin is what differences are given in, never a setting."""

_NUMBER = r"[-+]?[0-9]{1,12}(?:\.[0-9]{1,12})?"
_UNIT = r"(?:H2O|m3|[^0-9])*?"
_SINGLE = re.compile(rf"({_NUMBER})\s*(.*)")
_RANGE = re.compile(
    rf"({_NUMBER})\s*({_UNIT})\s*(?:\bto\b|–|—|…|\.\.\.?|(?<=[0-9\sA-Za-zΩ%])-)\s*({_NUMBER})\s*([^0-9].*)?"
)
_TOLERANCE = re.compile(rf"(.*?)\s*(?:±|\+/-|\+-)\s*({_NUMBER})\s*(.*)")
_TWO_SIDED = re.compile(
    r"(.*?)\s*\+\s*([0-9]{1,12}(?:\.[0-9]+)?)\s*([^0-9+-]*?)\s*[/,]?\s*-\s*([0-9]{1,12}(?:\.[0-9]+)?)\s*(.*)"
)
_MANY_NUMBERS = re.compile(r"[0-9],[0-9]")
# Signs that look the same and are typed by different keyboards.
_SAME = str.maketrans(
    {"\u03bc": "\u00b5", "\u2126": "\u03a9", "\u2212": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " "}
)


@lru_cache(maxsize=4096)
def parse(text: str, dimension: str) -> Quantity:
    """Read a quantity.

    Args:
        text: As typed, e.g. ``20 V to 28 V``.
        dimension: A name out of ``DIMENSIONS``.

    Raises:
        QuantityError: With a message and a hint when the text is no quantity of this dimension.
    """
    kind = DIMENSIONS[dimension]
    plain = text.translate(_SAME).strip()
    if not plain:
        raise QuantityError("there is no value", _hint(kind))
    if _MANY_NUMBERS.search(plain):
        message = f"`{shown(text)}` has a comma between digits, which some read as a decimal point and some as thousands"
        raise QuantityError(message, "Write a decimal point, and no mark between thousands.")
    try:
        lo, value, hi, unit = _read(plain, text, kind)
    except QuantityError as fault:
        right = respelt(plain, kind.units, adds=kind.name in _ADDS)
        if not right or right == plain or not _reads(right, kind):
            raise
        raise QuantityError(fault.message, f"Write `{right}`.") from fault
    if lo > hi:
        raise QuantityError(
            f"`{shown(text)}` runs from the greater to the smaller value", "Put the smaller value first."
        )
    if lo < 0 and not kind.signed:
        raise QuantityError(f"`{shown(text)}` is less than nothing", "Write it without the minus sign.")
    if lo < kind.least or max(hi, -lo) > kind.most:
        raise QuantityError(
            f"no {kind.name} is as {'low' if lo < kind.least else 'large'} as `{shown(text)}`",
            "Correct the number or its unit.",
        )
    return Quantity(value, lo, hi, unit, text)


_FIRST_NUMBER = re.compile(r"\s*[0-9]+(?:[.,/][0-9]+)?\s*")


def begins_with_quantity(text: str) -> bool:
    """Whether a text begins with a number that has a unit, or stands alone, as a reading does.

    >>> begins_with_quantity(" 24 V at T19"), begins_with_quantity(" 3 short flashes")
    (True, False)
    """
    found = _FIRST_NUMBER.match(text)
    if found is None:
        return False
    behind = text[found.end() :].translate(_SAME)
    return not behind[:1].isalpha() or any(
        behind.startswith(unit) and not behind[len(unit) : len(unit) + 1].isalpha() for unit in _SPELLINGS
    )


def _read(plain: str, text: str, kind: Dimension) -> tuple[float, float, float, str]:
    if (match := _TOLERANCE.fullmatch(plain)) or (match := _TWO_SIDED.fullmatch(plain)):
        value, unit = _single(match.group(1), text, kind)
        groups = match.groups()
        up, up_unit = float(groups[1]), groups[2]
        down, down_unit = (float(groups[3]), groups[4]) if len(groups) == 5 else (up, up_unit)
        if up < 0 or down < 0:
            raise QuantityError(f"`{shown(text)}` has a negative tolerance", "Write ± and a positive number.")
        above = _width(value, up, up_unit or down_unit or unit, text, kind)
        below = _width(value, down, down_unit or unit, text, kind)
        return value - below, value, value + above, unit
    if match := _RANGE.fullmatch(plain):
        first, first_unit, second, second_unit = match.groups()
        unit = (second_unit or first_unit or "").strip()
        lo = _to_base(float(first), (first_unit or unit).strip(), text, kind)
        hi = _to_base(float(second), unit, text, kind)
        return lo, (lo + hi) / 2, hi, unit
    value, unit = _single(plain, text, kind)
    return value, value, value, unit


def _reads(plain: str, kind: Dimension) -> bool:
    try:
        _read(plain, plain, kind)
    except QuantityError:
        return False
    return True


def _single(plain: str, text: str, kind: Dimension) -> tuple[float, str]:
    match = _SINGLE.fullmatch(plain)
    if not match:
        raise QuantityError(f"`{shown(text)}` does not start with a number", _hint(kind))
    unit = match.group(2).strip()
    return _to_base(float(match.group(1)), unit, text, kind), unit


def _width(value: float, width: float, unit: str, text: str, kind: Dimension) -> float:
    unit = unit.strip()
    if unit in ("%", "percent") and kind.name != "percent":
        return abs(value) * width / 100
    # A tolerance is a difference: degrees take their factor, not their offset.
    return _to_base(width, unit, text, kind) - kind.offsets.get(unit, 0.0)


def _to_base(number: float, unit: str, text: str, kind: Dimension) -> float:
    if not unit:
        if kind.bare:
            return number
        raise QuantityError(f"`{shown(text)}` has no unit", _hint(kind))
    factor = kind.units.get(unit)
    if factor is None:
        raise QuantityError(f"`{shown(unit)}` is not a unit of {kind.name}", _hint(kind))
    return number * factor + kind.offsets.get(unit, 0.0)


def _hint(kind: Dimension) -> str:
    if kind.bare:
        return "Write a number."
    main = [spellings.split("|")[0] for spellings, _ in _UNITS[kind.name][:6]]
    return f"Write a number and its unit: {one_of(main)}."
