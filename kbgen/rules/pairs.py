"""Figures beside each other that contradict: one value in two units, one sentence of a list with two values."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.model.entry import Entry
from kbgen.position import Route, Spot
from kbgen.problems import Problem
from kbgen.quantity import DIMENSIONS, QuantityError, parse
from kbgen.rules.language import LANGUAGE
from kbgen.rules.material import EntryCheck, Material

PAIR_DIFFERS = LANGUAGE.warning(
    "pair-differs",
    "One reader goes by the one figure, the next by the other.",
    "stop_and_call: [The thermometer shows more than 95 °C (195 °F)]",
    "stop_and_call: [The thermometer shows more than 95 °C (203 °F)]",
)
SAID_TWICE = LANGUAGE.warning(
    "said-twice",
    "Two items that differ in one figure are what a merge leaves behind, and nobody knows which one holds.",
    "stop_and_call:\n  - The thermometer shows more than 95 °C\n  - The thermometer shows more than 85 °C",
    "stop_and_call:\n  - The thermometer shows more than 95 °C",
)
# Units of the metric and of the inch-pound system; two of one system beside each other tell two things.
_METRIC = {
    "temperature": ("°C", "ºC"),
    "pressure": ("bar", "mbar", "kPa", "Pa", "hPa", "MPa"),
    "length": ("m", "mm", "cm", "km"),
    "flow": ("l/min", "L/min", "m³/h", "m3/h", "l/s", "L/s", "l/h", "L/h"),
}
_OTHER = {
    "temperature": ("°F", "ºF"),
    "pressure": ("psi", "psig", "in wc", "in w.c.", "in WC", "in Hg", "inHg"),
    "length": ("ft", "in", "inch", "inches"),
    "flow": ("cfm", "CFM", "gpm", "GPM"),
}
_ROUNDED = 0.1
"""Both may be rounded to what a dial shows; 100 mm and 4 in are the same."""
_ROUNDED_DEGREES = 2.0
"""The same for temperatures, in degrees Celsius, whose zero is no nothing."""


def _of(units: dict[str, tuple[str, ...]]) -> str:
    spelt = "|".join(sorted(map(re.escape, sum(units.values(), ())), key=len, reverse=True))
    return rf"(?<![\w.,/–-])[-−]?\d+(?:\.\d+)?\s?(?:{spelt})(?![\w²³/])"


_PAIR = re.compile(
    rf"(?P<a>{_of(_METRIC)})\s?(?:\(|/\s?)(?P<b>{_of(_OTHER).replace('/–', '–')})"
    rf"|(?P<c>{_of(_OTHER)})\s?(?:\(|/\s?)(?P<d>{_of(_METRIC).replace('/–', '–')})"
)

_FIGURE = re.compile(
    r"(?<![\w.,:/-])\d+(?:\.\d+)?(?=\s?(?:[%°]|(?:m?bar|[kM]?Pa|psi|[mk]?V|[mµ]?A|k?W|Hz|[kM]?Ω|s|min|h|[mc]?m|ft|in|K)(?!\w)))"
)
_FEWEST_WORDS = 4
"""A shorter item may be a mark or a part, of which there are several."""


def _differing(material: Material, entry: Entry) -> Iterator[Problem]:
    for route, kind, text in material.texts(entry):
        for match in _PAIR.finditer(text) if kind != "code" else ():
            one, other = match["a"] or match["c"], match["b"] or match["d"]
            if not _same(one, other):
                spot = Spot(entry.path, route, find=one)
                message = f"`{one}` and `{other}` are not the same"
                yield PAIR_DIFFERS.at(spot, message, "Reckon it anew and correct the one that is wrong.")


def _twice(material: Material, entry: Entry) -> Iterator[Problem]:
    """Report items of one list that are the same but for the figure before a unit."""
    seen: dict[tuple[Route, str], str] = {}
    for route, kind, text in material.texts(entry):
        figures = _FIGURE.findall(text)
        words = " ".join(_FIGURE.sub("#", text).split()).casefold()
        if kind == "code" or not isinstance(route[-1], int) or len(figures) != 1:
            continue
        if words.count(" ") < _FEWEST_WORDS:
            continue
        other = seen.setdefault((route[:-1], words), figures[0])
        if other != figures[0]:
            message = f"an item above says the same with {other} in place of {figures[0]}"
            hint = "Keep the one that holds; if both do, say in words how they differ."
            yield SAID_TWICE.at(Spot(entry.path, route, find=figures[0]), message, hint)


def _same(one: str, other: str) -> bool:
    """Whether two texts may give one value; what is measured differently is no pair."""
    for dimension in _METRIC:
        try:
            a, b = parse(one, dimension).value, parse(other, dimension).value
        except QuantityError:
            continue
        if dimension != "temperature":
            return abs(a - b) <= _ROUNDED * max(abs(a), abs(b))
        # A difference of temperatures has no zero of its own: ± 3 °C (5 °F).
        rise = {text: parse(text, dimension).value - _zero(text) for text in (one, other)}
        return abs(a - b) <= _ROUNDED_DEGREES or abs(rise[one] - rise[other]) <= _ROUNDED * abs(rise[one])
    return True


def _zero(text: str) -> float:
    return DIMENSIONS["temperature"].offsets.get(text.lstrip("-−0123456789. "), 0.0)


ENTRY_CHECKS: tuple[EntryCheck, ...] = (_differing, _twice)
