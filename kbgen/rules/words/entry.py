"""Words of a step against the entry of its device: what its own check calls real, and its figures."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import ProcedureStep
from kbgen.problems import shown
from kbgen.rules.words.clauses import plain, telling
from kbgen.rules.words.figures import figures
from kbgen.rules.words.found import Found
from kbgen.rules.words.judge import WORDS_AGAINST_ACTION, WORDS_AGAINST_VERDICT
from kbgen.rules.words.table import Table
from kbgen.rules.words.told import Reader

_WORDS = re.compile(r"[^\W\d_]+")
_FIGURE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(°\s?[CF]|psi|bar|mbar|in wc|kPa|kΩ|Ω|mA|A|V|W)(?![^\W_])")
_SHORT, _NEAR = 4, 3
_SWITCHES = frozenset(("demand", "motor", "damper"))
"""What a device guards that is made to trip by a switch: what it turns on or drives stops, and the device sees that."""


def against_entry(
    base: KnowledgeBase, plant: str, step: ProcedureStep, do: str, reader: Reader
) -> Iterator[Found]:
    """Yield what a step says otherwise than the entry of the device that it is about.

    Args:
        do: Its instruction.
        reader: Reads it.
    """
    match step.action:
        case act.CheckReal(check_real=name):
            device = base.device(name)
            if device is not None and device.independent_check is not None:
                yield from _real(step, device, reader.table)
        case act.Replace(replace=name):
            device = base.device(name)
            if device is not None:
                yield from _figures(base, plant, name, device, do, reader.table)

        case act.ProveTrip(prove_trip=name):
            device = base.device(name)
            if device is not None and device.guards not in _SWITCHES:
                yield from _switched_off(device, do, reader)
        case act.Adjust() as adjust:
            yield from _set_to(base.equipment(plant), adjust, do, reader.table)


def _switched_off(device: Device, do: str, reader: Reader) -> Iterator[Found]:
    """Yield a trip that is made by a switch: it stops the burner whatever the device does."""
    for told in reader.told(do):
        # "At 128 psi turn it off" says where the trial is broken off.
        broken_off = _FIGURE.search(told.words) is not None
        if (
            told.kind == "off"
            and not told.if_so
            and not broken_off
            and reader.table.switches & set(told.tokens)
        ):
            yield Found(
                WORDS_AGAINST_ACTION,
                ("do",),
                f"`{shown(told.words)}` stops the burner by itself; that {device.head.title} trips is seen by nobody",
                "Make it trip by its own quantity, with every switch left on; what is switched off before is a step of its own.",
            )
            return


def _set_to(plant: Equipment | None, adjust: act.Adjust, do: str, table: Table) -> Iterator[Found]:
    """Yield a setting whose words give another figure than its action.

    Where it stood and the figure of its own name ("the 60 °C limit") say where it is turned, not where to.
    """
    setting = next((each for each in plant.settings if each.id == adjust.adjust), None) if plant else None
    named = _read_figures(f"{adjust.from_} {setting.title if setting else ''}")
    wanted = _read_figures(adjust.to)
    said = {
        (match[2].replace(" ", ""), match[1])
        for match in _FIGURE.finditer(plain(do))
        if (match[2].replace(" ", ""), match[1]) not in named or _before(do, match.start()) in table.toward
    }
    units = {unit for unit, _ in wanted} & {unit for unit, _ in said}
    if units and not wanted & said:
        figure = next(value for unit, value in sorted(said) if unit in units)
        yield Found(
            WORDS_AGAINST_ACTION,
            ("do",),
            f"the words say {figure}, and the action sets it to `{adjust.to}`",
            "Write the same figure in both.",
        )


def _read_figures(text: str) -> set[tuple[str, str]]:
    return {(unit.replace(" ", ""), figure) for figure, unit in _FIGURE.findall(plain(text))}


def _before(text: str, at: int) -> str:
    """Return the word before a place in a text."""
    words: list[str] = _WORDS.findall(plain(text)[:at].lower())
    return words[-1] if words else ""


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


def _figures(
    base: KnowledgeBase, plant: str, name: str, device: Device, do: str, table: Table
) -> Iterator[Found]:
    """Yield a new part of another figure than the plant has."""
    equipment = base.equipment(plant)
    settings = [each.value for each in equipment.settings if each.device == name] if equipment else []
    texts = [device.head.title, device.opens_when, device.part, *settings]
    own = {(each.kind, each.value) for text in texts for each in figures(text, table)}
    for clause in telling(do, table):
        for figure in figures(" ".join(clause.words), table) if table.stays.isdisjoint(clause.tokens) else ():
            known = any(kind == figure.kind for kind, _ in own)
            if known and (figure.kind, figure.value) not in own:
                yield Found(
                    WORDS_AGAINST_ACTION,
                    ("do",),
                    f"the new part is said to be of {figure.shown}, and the entry of {device.head.title} says otherwise",
                    "Fit the same rating; write the figure of the entry, or leave it out.",
                )
                return
