"""Rules about the figures of plant and devices: tolerances, adjusting ranges, sensor tables, delays."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kbgen.model.device import Device
from kbgen.model.equipment import Equipment, Setting
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.quantity import DIMENSIONS, Quantity, QuantityError, parse
from kbgen.rules.material import Check, Material
from kbgen.rules.plant import PLANT

_FIRST_DIGIT = re.compile(r"-?[0-9].*")
_PLUS_MINUS = re.compile(r"(?:±|\+/-|\+-)\s*(.+)")


def _settings(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        for setting in plant.settings:
            yield from _tolerance(Spot(entry.path, (*setting.route, "tolerance")), setting)
            device = material.base.device(setting.device) if setting.device else None
            if device and setting.quantity != "other":
                yield from _range(Spot(entry.path, (*setting.route, "value")), setting, device)


SETTING_OUT_OF_RANGE = PLANT.warning(
    "setting-out-of-range",
    "Somebody turns the screw to its stop and believes that it is set.",
    "value: 1100 Pa  # part: Differential pressure switch, 50 Pa to 500 Pa",
    "value: 110 Pa",
    rests_on="`value` of the setting and the range its device says.",
)


def _range(spot: Spot, setting: Setting, device: Device) -> Iterator[Problem]:
    """Hold a setting against the ranges that the part is described with, such as ``50 Pa to 500 Pa``."""
    value = _quantity(setting.value, setting.quantity)
    pieces = (_FIRST_DIGIT.search(piece) for piece in re.split("[,;]", device.part))
    ranges = [found for piece in pieces if piece and (found := _quantity(piece.group(), setting.quantity))]
    ranges = [each for each in ranges if each.lo < each.hi and "to" in each.text]
    if value and ranges and not any(each.lo <= value.lo and value.hi <= each.hi for each in ranges):
        yield SETTING_OUT_OF_RANGE.at(
            spot,
            f"{device.head.title} goes from {ranges[0].text.strip()}; {setting.value} cannot be set",
            "Correct the value or its unit, or the range under `part` of the device.",
        )


TOLERANCE_WITHOUT_SENSE = PLANT.error(
    "tolerance-without-sense",
    "A limit is set by it.",
    "value: 60 °C\ntolerance: ± 2 Pa",
    "value: 60 °C\ntolerance: ± 2 °C",
    rests_on="`value` and `tolerance` of the setting.",
)


def _tolerance(spot: Spot, setting: Setting) -> Iterator[Problem]:
    typed = _PLUS_MINUS.fullmatch(setting.tolerance.strip())
    if not typed or setting.quantity == "other":
        return
    width = typed.group(1)
    degrees = setting.quantity == "temperature"
    if width.endswith("%") or (degrees and width.endswith("K")):
        return
    try:
        value, off = parse(setting.value, setting.quantity), parse(width, setting.quantity)
    except QuantityError as fault:
        yield TOLERANCE_WITHOUT_SENSE.at(spot, f"as a tolerance {fault.message}", fault.hint)
        return
    if not degrees and off.value > abs(value.value):
        message = f"a tolerance of {setting.tolerance} is more than the value itself, {setting.value}"
        yield TOLERANCE_WITHOUT_SENSE.at(spot, message, "Correct one of the two, or its unit.")


SENSOR_TABLE = PLANT.error(
    "sensor-table",
    "A sound sensor is replaced because the row it is held against is wrong.",
    "reads:\n  - {at: 10 °C, is: 19.9 kΩ}\n  - {at: 20 °C, is: 125 kΩ}\n  - {at: 30 °C, is: 8.06 kΩ}",
    "reads:\n  - {at: 10 °C, is: 19.9 kΩ}\n  - {at: 20 °C, is: 12.5 kΩ}\n  - {at: 30 °C, is: 8.06 kΩ}",
    rests_on="`reads` of the sensor, in its own order.",
)


def _sensors(material: Material) -> Iterator[Problem]:
    for entry, device in material.base.of(Device):
        reads = device.sensor.reads if device.sensor else ()
        columns = (("at", [pair.at for pair in reads]), ("is", [pair.is_ for pair in reads]))
        values = {}
        for field, texts in columns:
            dimension = next((name for name in DIMENSIONS if texts and _quantity(texts[0], name)), "")
            values[field] = [_quantity(text, dimension) if dimension else None for text in texts]
            for pair, value in zip(reads, values[field], strict=True):
                if dimension and value is None:
                    yield SENSOR_TABLE.at(
                        Spot(entry.path, (*pair.route, field)),
                        "this is no quantity of the kind that stands in the first row",
                        f"Write it like the first one, {texts[0]}.",
                    )
        rows = zip(reads, values["at"], values["is"], strict=True)
        table = sorted(
            ((at.value, is_.value, pair) for pair, at, is_ in rows if at and is_), key=lambda r: r[0]
        )
        rising = len(table) > 1 and table[-1][1] > table[0][1]
        for (at, before, _), (then, after, pair) in pairwise(table):
            if at == then or (after > before) != rising:
                yield SENSOR_TABLE.at(
                    Spot(entry.path, (*pair.route, "is")),
                    "the readings neither rise all through the table nor fall all through it",
                    "Correct this row or the one beside it; a factor of ten is easily lost.",
                )
                break


def _quantity(text: str, dimension: str) -> Quantity | None:
    try:
        return parse(text, dimension)
    except QuantityError:
        return None


TIMER_WITHOUT_DELAY = PLANT.warning(
    "timer-without-delay",
    "A timer that takes ten minutes for five looks sound to whoever does not know the five.",
    "title: Start timer\ntype: timer",
    "title: Start timer\ntype: timer\ndelay: 290 s to 310 s",
    rests_on="`type` and `delay` of the device.",
)


def _delays(material: Material) -> Iterator[Problem]:
    for entry, device in material.base.of(Device):
        if device.type == "timer" and device.delay is None:
            yield TIMER_WITHOUT_DELAY.at(
                Spot(entry.path, ("type",)),
                "nothing says how long the timer takes",
                "Give `delay`, least to most, for example `delay: 290 s to 310 s`.",
            )


CHECKS: tuple[Check, ...] = (_settings, _sensors, _delays)
