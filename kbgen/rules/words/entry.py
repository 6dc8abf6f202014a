"""Words of a step against the entry of its device: what its own check calls real, and its figures."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.device import Device
from kbgen.model.procedure import ProcedureStep
from kbgen.problems import shown
from kbgen.rules.words.clauses import plain
from kbgen.rules.words.found import Found
from kbgen.rules.words.judge import WORDS_AGAINST_ACTION, WORDS_AGAINST_VERDICT
from kbgen.rules.words.table import Table

_WORDS = re.compile(r"[^\W\d_]+")
_FIGURE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(°\s?[CF]|psi|bar|mbar|in wc|kPa|kΩ|Ω|mA|A|V|W)(?![^\W_])")
_SHORT, _NEAR = 4, 3


def against_entry(
    base: KnowledgeBase, plant: str, step: ProcedureStep, do: str, table: Table
) -> Iterator[Found]:
    """Yield what a step says otherwise than the entry of the device that it is about.

    Args:
        do: Its instruction.
    """
    match step.action:
        case act.CheckReal(check_real=name):
            device = base.device(name)
            if device is not None and device.independent_check is not None:
                yield from _real(step, device, table)
        case act.Replace(replace=name):
            device = base.device(name)
            if device is not None:
                yield from _figures(base, plant, name, device, do)


def _real(step: ProcedureStep, device: Device, table: Table) -> Iterator[Found]:
    """Yield answers that call faulty what the device's own check calls real."""
    check = device.independent_check
    if check is None:
        return
    own = _stems(check.real) - _stems(check.false)
    for index, outcome in enumerate(step.outcomes):
        if not any(word == "faulty" for word, _ in outcome.ways):
            continue
        said = (_stems(outcome.when, table) & own) - table.leads - table.articles - table.conditions
        if said:
            yield Found(
                WORDS_AGAINST_VERDICT,
                ("outcomes", index, "faulty"),
                f"`{min(said)}` stands in what the entry of {device.head.title} calls real: `{shown(plain(check.real))}`",
                "Give this answer `real`, or mend the device's own check.",
            )


def _stems(text: str, table: Table | None = None) -> frozenset[str]:
    """Return the longer words of a text in their stem; with a table only those that nothing denies."""
    words = _WORDS.findall(plain(text).lower())
    denying = table.negators | table.no if table else frozenset()
    return frozenset(
        word.removesuffix("ly")
        for at, word in enumerate(words)
        if len(word) >= _SHORT and denying.isdisjoint(words[max(0, at - _NEAR) : at])
    )


def _figures(base: KnowledgeBase, plant: str, name: str, device: Device, do: str) -> Iterator[Found]:
    """Yield a new part of another figure than the plant has."""
    equipment = base.equipment(plant)
    settings = [each.value for each in equipment.settings if each.device == name] if equipment else []
    texts = [device.head.title, device.opens_when, device.part, *settings]
    own = {(unit.replace(" ", ""), figure) for text in texts for figure, unit in _FIGURE.findall(plain(text))}
    for figure, unit in _FIGURE.findall(plain(do)):
        known = sorted(value for of, value in own if of == unit.replace(" ", ""))
        if known and figure not in known:
            yield Found(
                WORDS_AGAINST_ACTION,
                ("do",),
                f"the new part is said to be of {figure} {unit}, and the entry of {device.head.title} says {known[0]} {unit}",
                "Fit the same rating; write the figure of the entry, or leave it out.",
            )
            return
