"""Which readings of a hunt are taken in one reach into the panel: the supply, and what would be asked for next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kbgen.compute.walk.nodes import Nodes
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.circuit import reach
from kbgen.model.procedure import Procedure

MOST = 4
"""Readings in one reach: as many as a person keeps in mind until the hands are out."""


def reaches(
    base: KnowledgeBase, procedure: Procedure, steps: Sequence[Mapping[str, Any]], nodes: Nodes
) -> dict[int, list[int]]:
    """Return for steps of a hunt the steps whose readings are taken in one reach with theirs: the supply's first.

    All lie at one place behind one cover, are read to one return in one mode of the meter, change nothing and have no
    caution of their own. Those that a full or an empty reading leads to come before those further on.
    """
    where = [_place(base, procedure, number, step) for number, step in enumerate(steps)]
    onward: dict[int, list[int]] = {}
    for place in nodes.places:
        answers = steps[place.step].get("answers", [])
        for answer, to in zip(answers, place.ways, strict=False):
            if to >= 0 and answer[1] in ("full", "none"):
                following = onward.setdefault(place.step, [])
                if (step := nodes.places[to].step) not in following:
                    following.append(step)
    found: dict[int, list[int]] = {}
    supply: int | None = None
    for number, place_ in enumerate(where):
        if place_ is None:
            continue
        if "sup" in steps[number]["volts"]:
            supply = number
        if supply is None or where[supply] != place_:
            continue
        listed = list(dict.fromkeys((supply, number)))
        marks = {steps[each]["volts"]["p"] for each in listed}
        for each in (waiting := [number]):
            for to in onward.get(each, ()):
                if len(listed) == MOST or where[to] != place_ or "cautions" in steps[to]:
                    continue
                # One mark is read once in a reach, whichever steps ask for it.
                if (mark := steps[to]["volts"]["p"]) not in marks:
                    marks.add(mark)
                    listed.append(to)
                    waiting.append(to)
        if len(listed) > 1:
            found[number] = listed
    return found


def beyond(step: Mapping[str, Any]) -> list[str]:
    """Return what a step says beyond its meter's mode and its point, which the screen of a reach says of all its points.

    >>> beyond({"meter": "high impedance", "volts": {"p": "M1"}, "do": ["Meter in high impedance. Red probe on `M1`."]})
    []
    >>> beyond({"meter": "high impedance", "volts": {"p": "M1"}, "do": ["Red probe on `M1`. Wait until it is still."]})
    ['Wait until it is still.']
    """
    covered = (f"Meter in {step['meter']}.", f"Red probe on `{step['volts']['p']}`.")
    found = []
    for line in step["do"]:
        for sentence in covered:
            line = line.replace(sentence, "")  # noqa: PLW2901 - what is left of it
        found.append(" ".join(line.split()))
    return [line for line in found if line]


def _place(
    base: KnowledgeBase, procedure: Procedure, number: int, step: Mapping[str, Any]
) -> tuple[str, ...] | None:
    """Return circuit, return, place and cover of a reading that may be one of several; nothing for any other step."""
    action = procedure.steps[number].action
    limits = step.get("volts", {})
    if (
        not isinstance(action, act.Measure)
        or action.meter == "low-impedance"
        or "sag" not in limits
        or "is" in limits
        or not ("place" in limits or limits["n"][0] > 0)
        or step.get("asks")
    ):
        return None
    circuit = base.circuit(limits["of"])
    lies = {part.point: lies for part, lies in reach(circuit.path).items()} if circuit else {}
    return (limits["of"], action.to, *lies[action.at]) if action.at in lies and action.to in lies else None
