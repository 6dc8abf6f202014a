"""The data behind the helper on a circuit's page: every state worth choosing, worked out beforehand."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

from kbgen.compute.circuit.faults import device_of
from kbgen.compute.circuit.meter import MODES, allowance
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.sayings import (
    ANEW,
    CAUTION,
    ENDS,
    FIRST,
    FOREIGN,
    FOUND_NEXT,
    HANGS_ON,
    HANGS_THEN,
    MADE,
    MADE_BESIDE,
    MADE_NEXT,
    NO_MORE,
    REASONS,
    STOP,
    UNCOUNTED,
    UNEXPLAINED,
    WARNINGS,
)
from kbgen.compute.circuit.ship import browser_data
from kbgen.compute.circuit.state import State, judged_in
from kbgen.compute.circuit.study import Key, Study, option_sets
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Contact, parts
from kbgen.model.equipment import Variant as PlantVariant
from kbgen.ref import Kind, Ref
from kbgen.views.circuit_words import Ours, contact_name, fault_name, ours, where_device, where_is
from kbgen.views.verdict_words import as_meant, either_way

MOST_VARIANTS = 16
"""States that differ, of one circuit, up to which the page carries them."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One value of a dimension of the state.

    Attributes:
        ids: What it sets in the state.
        group: Values between which no reading differs have the same number.
    """

    ids: tuple[str, ...]
    title: str
    group: int = 0


@dataclass(frozen=True, slots=True)
class Dimension:
    """Something about the plant one is asked for: its size, its stage, what is fitted, what is shut or off.

    Attributes:
        judged: How many of the choices, the first ones, are stages in which the circuit is judged.
    """

    name: str
    title: str
    choices: tuple[Choice, ...]
    judged: int = 1


@dataclass(frozen=True, slots=True)
class Offer:
    """The states to choose from.

    Attributes:
        dimensions: Only those that make a difference.
        numbers: Variant by the product of the dimensions' groups, row by row; -1 where there is none.
        states: A state that stands for each variant.
    """

    dimensions: tuple[Dimension, ...]
    numbers: tuple[int, ...]
    states: tuple[State, ...]


def offer(study: Study, circuit_id: str) -> Offer:
    """Return the states of a circuit worth choosing between."""
    dimensions = tuple(_dimensions(study.base, circuit_id))
    keys = {
        at: study.key(circuit_id, _state(dimensions, at))
        for at in product(*[range(len(d.choices)) for d in dimensions])
    }
    kept = [_together(keys, axis, len(d.choices)) for axis, d in enumerate(dimensions)]
    numbers: dict[Key, int] = {}
    states: list[State] = []
    found = []
    for groups in product(*kept):
        at = tuple(group[0] for group in groups)
        if keys[at] not in numbers and len(states) < MOST_VARIANTS:
            numbers[keys[at]] = len(states)
            states.append(_state(dimensions, at))
        found.append(numbers.get(keys[at], -1))
    grouped = tuple(
        _grouped(d, groups) for d, groups in zip(dimensions, kept, strict=True) if len(groups) > 1
    )
    return Offer(grouped, tuple(found), tuple(states))


def helper_data(study: Study, circuit_id: str) -> str:
    """Return the helper's data as JSON."""
    return study.remembered(("helper", circuit_id), lambda: _data(study, circuit_id))


def _data(study: Study, circuit_id: str) -> str:
    base = study.base
    offered = offer(study, circuit_id)
    probings = [study.of(circuit_id, state).probing for state in offered.states]
    shipped = [_variant(base, probing) for probing in probings]
    labels = dict.fromkeys(label for probing in probings for label in probing.table.devices)
    circuit = base.circuit(circuit_id)
    data = {
        "circuit": circuit_id,
        "equipment": circuit.equipment if circuit else "",
        "dimensions": [
            {
                "name": d.name,
                "title": d.title,
                "asked": len({c.group for c in d.choices[: d.judged]}) > 1,
                "choices": [_choice(c) for c in d.choices],
            }
            for d in offered.dimensions
        ],
        "numbers": offered.numbers,
        # Field by field and not state by state: what states share lies side by side and packs to half.
        "variants": {field: [each[field] for each in shipped] for field in (shipped[0] if shipped else ())},
        "devices": {device: _device(base, device) for device in dict.fromkeys(map(device_of, labels))},
        "modes": {mode.id: mode.said for mode in MODES},
        "says": _said(
            {
                "caution": CAUTION,
                "warnings": WARNINGS,
                "first": FIRST,
                "foreign": FOREIGN,
                "stop": STOP,
                "made": MADE,
                "madeBeside": MADE_BESIDE,
                "madeNext": MADE_NEXT,
                "foundNext": FOUND_NEXT,
                "noMore": NO_MORE,
                "ends": ENDS,
                "hangsOn": HANGS_ON,
                "hangsThen": HANGS_THEN,
                "tickAnew": ANEW,
                "uncounted": UNCOUNTED,
                "unexplained": UNEXPLAINED,
                **REASONS,
                "back": "return",
            },
            ours(probings[0].table) if probings else str,
        ),
    }
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))


def _said(texts: Mapping[str, Any], say: Ours) -> dict[str, Any]:
    """Return texts of ours as the plant's region says them."""

    def each(value: Any) -> Any:
        if isinstance(value, str):
            return say(value)
        return (
            {key: say(text) for key, text in value.items()} if isinstance(value, dict) else [*map(say, value)]
        )

    return {key: each(value) for key, value in texts.items()}


def _choice(choice: Choice) -> dict[str, Any]:
    return {"id": "+".join(choice.ids), "title": choice.title, "group": choice.group}


def _variant(base: KnowledgeBase, probing: Probing) -> dict[str, Any]:
    table = probing.table
    shipped: dict[str, Any] = dict(browser_data(probing))
    faults = shipped["faults"]
    shipped["faults"] = [
        {**row, "name": fault_name(base, fault, ours(table))}
        for row, fault in zip(faults, table.faults, strict=True)
    ]
    shipped["eitherWay"] = either_way(base, table)
    shipped["asMeant"] = as_meant(base, table)
    shipped["back"] = table.network.back
    shipped["within"] = allowance(table.bands.volts[1], table.bands.volts[1])
    shipped["names"] = [*table.points, *[contact_name(base, label) for label in table.devices]]
    shipped["where"] = [
        *[where_is(table, mark) for mark in table.points],
        *[where_device(table, label) for label in table.devices],
    ]
    shipped["across"] = {
        label: {"minutes": probe.minutes, "needs": sum(1 << need for need in probe.needs)}
        for label, probe in probing.across.items()
    }
    return shipped


def _device(base: KnowledgeBase, device_id: str) -> dict[str, Any]:
    device = base.device(device_id)
    check = device.independent_check if device else None
    causes = device.opening_causes if device else ()
    return {
        "title": base.title(Ref(Kind.DEVICE, device_id)),
        "known": device is not None,
        "check": {"with": check.with_, "real": check.real, "false": check.false} if check else None,
        "sometimes": [
            {"cause": c.cause, "appears": ", ".join(c.appears).replace("-", " "), "look_for": c.look_for}
            for c in causes
            if c.appears and c.appears != ("always",)
        ],
    }


def _dimensions(base: KnowledgeBase, circuit_id: str) -> Iterator[Dimension]:
    circuit = base.circuit(circuit_id)
    plant = base.equipment(circuit.equipment) if circuit else None
    if circuit is None or plant is None:
        return
    devices = {part.contact for part in parts(circuit.path) if isinstance(part, Contact)}
    sizes = tuple(Choice((size.id,), size.title) for size in plant.sizes)
    yield Dimension("size", "Size", sizes or (Choice(("",), ""),))
    judged = judged_in(circuit_id, circuit, plant, "")
    ordered = sorted(plant.sequence, key=lambda stage: stage.id not in judged)
    stages = tuple(Choice((stage.id,), stage.title) for stage in ordered)
    unsaid = () if judged else (Choice(("",), "Not given: all contacts made"),)
    yield Dimension("stage", "Stage", (*unsaid, *stages), max(len(judged), 1))
    yield Dimension("options", "What is fitted", tuple(_fitted(each) for each in option_sets(plant.options)))
    opened = [
        Choice((f"{kind}:{part.id}",), f"{what}: {part.title}")
        for kind, what, listed in (("shut", "Shut", plant.fuel_valves), ("off", "Off", plant.covers))
        for part in listed
        if devices.intersection(part.opens)
    ]
    yield Dimension("opened", "Valves and covers", (Choice((), "Valves open, covers on"), *opened))


def _fitted(options: tuple[PlantVariant, ...]) -> Choice:
    return Choice(
        tuple(option.id for option in options),
        " and ".join(option.title for option in options) or "None of the options",
    )


def _state(dimensions: Sequence[Dimension], at: tuple[int, ...]) -> State:
    size, stage, options, opened = (d.choices[k].ids for d, k in zip(dimensions, at, strict=True))
    return State(
        size=size[0],
        stage=stage[0],
        options=frozenset(options),
        valves_shut=frozenset(o.removeprefix("shut:") for o in opened if o.startswith("shut:")),
        covers_off=frozenset(o.removeprefix("off:") for o in opened if o.startswith("off:")),
    )


def _together(keys: dict[tuple[int, ...], Key], axis: int, count: int) -> list[list[int]]:
    """Put the values of a dimension together between which nothing else makes a difference."""
    found: dict[Key, list[int]] = {}
    for k in range(count):
        found.setdefault(tuple(key for at, key in keys.items() if at[axis] == k), []).append(k)
    return list(found.values())


def _grouped(dimension: Dimension, groups: list[list[int]]) -> Dimension:
    number = {k: at for at, group in enumerate(groups) for k in group}
    return replace(
        dimension, choices=tuple(replace(c, group=number[k]) for k, c in enumerate(dimension.choices))
    )
