"""Rules about the plant itself: stages that can be, covers that reach, figures that fit each other."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kbgen.compute.circuit.state import State, settle
from kbgen.compute.circuit.variant import blocked_at, fitted_path
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, Contact
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment, Setting, Stage
from kbgen.position import Route, Spot
from kbgen.problems import Problem, Related, Severity, error, warning
from kbgen.quantity import DIMENSIONS, Quantity, QuantityError, parse
from kbgen.rules.record import Check, Material, Rule

_LISTS = {"made": "must be made", "open": "must be open", "ignored": "is not looked at"}
_THREE_PHASE = re.compile(r"\bL3\b|\b(?:three|3)[- ]?phase\b|\b3~", re.IGNORECASE)
_FIRST_DIGIT = re.compile(r"-?[0-9].*")
_PLUS_MINUS = re.compile(r"(?:±|\+/-|\+-)\s*(.+)")


def _stages(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        drawn = any(circuit.equipment == entry.ref.id for _, circuit in material.base.of(Circuit))
        for stage in plant.sequence:
            twice = list(_twice(material.base, entry.path, stage))
            yield from twice or _strings(material.base, entry.path, plant, stage)
            if drawn and stage.firing and not stage.strings_made and not stage.made:
                yield warning(
                    "firing-without-string",
                    Spot(entry.path, (*stage.route, "firing")),
                    f"there may be a flame in this stage, and no string must be made: {stage.title}",
                    "List under `strings_made` the circuits that shut the fuel off when they open.",
                )


def _twice(base: KnowledgeBase, path: str, stage: Stage) -> Iterator[Problem]:
    first: dict[str, tuple[str, Route]] = {}
    for field, says in _LISTS.items():
        for index, name in enumerate(getattr(stage, field)):
            earlier, route = first.setdefault(name, (field, (*stage.route, field, index)))
            if earlier != field:
                device = base.device(name)
                yield error(
                    "stage-contradicts",
                    Spot(path, (*stage.route, field, index)),
                    f"{device.head.title if device else name} {_LISTS[earlier]} in this stage and {says} too",
                    "Take it out of one of the two lists.",
                    Related(Spot(path, route), "the other list"),
                )


def _strings(base: KnowledgeBase, path: str, plant: Equipment, stage: Stage) -> Iterator[Problem]:
    """Find strings that must be made in a stage and cannot, by what it says of their contacts."""
    options = frozenset(option.id for option in plant.options)
    sizes = stage.sizes or tuple(size.id for size in plant.sizes) or ("",)
    for index, name in enumerate(stage.strings_made):
        circuit = base.circuit(name)
        # Names that lead nowhere are told where they stand.
        if circuit is None or base.equipment(circuit.equipment) is not plant:
            continue
        known = [size for size in sizes if not size or size in {each.id for each in plant.sizes}]
        for state in (
            State(size=s, stage=stage.id, options=o) for s in known for o in (frozenset(), options)
        ):
            setting = settle(base, name, state)
            part = blocked_at(setting, fitted_path(setting, circuit))
            if part is None:
                continue
            where = "none of the parallel branches can"
            if isinstance(part, Contact):
                device = base.device(part.contact)
                says = _LISTS["ignored" if part.contact in stage.ignored else "open"]
                where = f"{device.head.title if device else part.contact} in it {says}"
            yield error(
                "string-cannot-make",
                Spot(path, (*stage.route, "strings_made", index)),
                f"{circuit.head.title} must be made in this stage, and {where}",
                "Take the string out, or say of the contact that it is made; list the others one by one under `made`.",
            )
            break


def _covers(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        places = {place.id: place.title for place in plant.places}
        for cover in plant.covers:
            for index, name in enumerate(cover.opens):
                device = material.base.device(name)
                if device and device.place in places and device.place != cover.place:
                    yield error(
                        "opens-elsewhere",
                        Spot(entry.path, (*cover.route, "opens", index)),
                        f"{device.head.title} is in another place than this cover: {places[device.place]}",
                        "Name the switch at this cover, or correct one of the two places.",
                    )


def _phases(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        for source in plant.sources:
            said = next(
                (f for f in ("title", "isolate", "prove") if _THREE_PHASE.search(getattr(source, f))), ""
            )
            if source.electric and source.phases != 3 and said:
                yield warning(
                    "phases-not-said",
                    Spot(entry.path, (*source.route, said)),
                    "this reads like three phases, and `phases` does not say so",
                    "Write `phases: 3`; then proving it dead asks for every conductor.",
                )


def _settings(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        for setting in plant.settings:
            yield from _tolerance(Spot(entry.path, (*setting.route, "tolerance")), setting)
            device = material.base.device(setting.device) if setting.device else None
            if device and setting.quantity != "other":
                yield from _range(Spot(entry.path, (*setting.route, "value")), setting, device)


def _range(spot: Spot, setting: Setting, device: Device) -> Iterator[Problem]:
    """Hold a setting against the ranges that the part is described with, such as ``50 Pa to 500 Pa``."""
    value = _quantity(setting.value, setting.quantity)
    pieces = (_FIRST_DIGIT.search(piece) for piece in re.split("[,;]", device.part))
    ranges = [found for piece in pieces if piece and (found := _quantity(piece.group(), setting.quantity))]
    ranges = [each for each in ranges if each.lo < each.hi and "to" in each.text]
    if value and ranges and not any(each.lo <= value.lo and value.hi <= each.hi for each in ranges):
        yield warning(
            "setting-out-of-range",
            spot,
            f"{device.head.title} goes from {ranges[0].text.strip()}; {setting.value} cannot be set",
            "Correct the value or its unit, or the range under `part` of the device.",
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
        yield error("tolerance-without-sense", spot, f"as a tolerance {fault.message}", fault.hint)
        return
    if not degrees and off.value > abs(value.value):
        message = f"a tolerance of {setting.tolerance} is more than the value itself, {setting.value}"
        yield error("tolerance-without-sense", spot, message, "Correct one of the two, or its unit.")


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
                    yield error(
                        "sensor-table",
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
                yield error(
                    "sensor-table",
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


def _rule(name: str, severity: Severity, why: str, before: str, after: str, check: Check | None) -> Rule:
    rests_on = "Plain logic: what excludes itself cannot be on the plant, so one of the two was typed wrong."
    return Rule(name, "Plant", severity, why, before, after, rests_on, check)


RULES: tuple[Rule, ...] = (
    _rule(
        "stage-contradicts",
        Severity.ERROR,
        "The reader is told of the same contact that it is right and that it is the fault.",
        "made: [air-switch]\nopen: [air-switch]",
        "open: [air-switch]",
        _stages,
    ),
    _rule(
        "string-cannot-make",
        Severity.ERROR,
        "The table of this stage shows the sound string as open, and a good contact is replaced.",
        "strings_made: [running]\nopen: [air-switch]  # stands in the running string",
        "strings_made: [running]",
        None,
    ),
    _rule(
        "firing-without-string",
        Severity.WARNING,
        "Whoever reads why the flame went out is shown no suspect.",
        "- {id: firing, title: Firing, firing: true}",
        "- {id: firing, title: Firing, firing: true, strings_made: [limits]}",
        None,
    ),
    _rule(
        "opens-elsewhere",
        Severity.ERROR,
        "The wrong contact counts as open with this cover, and the right one as made.",
        "- {id: unit-door, title: Unit door, place: roof, opens: [overload]}  # in the panel",
        "- {id: unit-door, title: Unit door, place: roof, opens: [door-switch]}",
        _covers,
    ),
    _rule(
        "phases-not-said",
        Severity.WARNING,
        "Proving it dead then asks for two conductors, and the third may be live.",
        "- {id: fan, title: Fan three-phase, energy: electric, isolate: Q1}",
        "- {id: fan, title: Fan three-phase, energy: electric, phases: 3, isolate: Q1}",
        _phases,
    ),
    _rule(
        "tolerance-without-sense",
        Severity.ERROR,
        "A limit is set by it.",
        "value: 60 °C\ntolerance: ± 2 Pa",
        "value: 60 °C\ntolerance: ± 2 °C",
        _settings,
    ),
    _rule(
        "sensor-table",
        Severity.ERROR,
        "A sound sensor is replaced because the row it is held against is wrong.",
        "reads:\n  - {at: 10 °C, is: 19.9 kΩ}\n  - {at: 20 °C, is: 125 kΩ}\n  - {at: 30 °C, is: 8.06 kΩ}",
        "reads:\n  - {at: 10 °C, is: 19.9 kΩ}\n  - {at: 20 °C, is: 12.5 kΩ}\n  - {at: 30 °C, is: 8.06 kΩ}",
        _sensors,
    ),
    _rule(
        "setting-out-of-range",
        Severity.WARNING,
        "Somebody turns the screw to its stop and believes that it is set.",
        "value: 1100 Pa  # part: Differential pressure switch, 50 Pa to 500 Pa",
        "value: 110 Pa",
        None,
    ),
)
