"""Warnings about what a green rests on: protection that nobody relies on, and pages on which nothing counts."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.hazard import LEAVING
from kbgen.model import action as act
from kbgen.model.build import head_key
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.rules.material import Check, Material

_PROTECT = (
    *(act.Isolate, act.Lock, act.ProveDead, act.ProveGone, act.TryStart, act.ShutValve, act.Undo),
    *(act.CloseCover, act.LeakCheck, act.ProveTrip, act.Cap, act.Guard, act.Unclip, act.Adjust),
)
_FEW = 3
"""A page of fewer steps has nothing to rest on."""

PROTECTS_NOTHING = LEAVING.warning(
    "protects-nothing",
    "A proof that no later step asks for: the work that it is for stands in words, and the walk does not know it.",
    "- do: Prove the fan dead.\n  prove_dead: fan\n- do: Feel the belt.  # words only",
    "- do: Prove the fan dead.\n  prove_dead: fan\n- do: Feel the belt.\n  work_in: fan-housing",
    rests_on="The proofs of the page and the steps behind each that ask for one.",
)
NOTHING_COUNTS = LEAVING.warning(
    "nothing-counts",
    "The walk finds nothing because the page tells it nothing: a green without anything behind it.",
    "- do: Switch Q2 off and lock it.\n- do: Change the switch.\n- do: Go.\n  end: left-safe",
    "- do: Switch Q2 off.\n  isolate: control\n- do: Lock Q2.\n  lock: control\n- do: Go.\n  end: left-safe",
    rests_on="The actions of the page; where there is none, nothing was walked.",
)


def _resting(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        walk = material.walks.get(entry.ref)
        if walk is None or walk.violations or not walk.complete:
            continue
        ends = act.End | act.HandOver
        done = [
            i for i, step in enumerate(procedure.steps) if step.action and not isinstance(step.action, ends)
        ]
        if len(procedure.steps) > _FEW and set(done) <= set(walk.rests.idle):
            yield NOTHING_COUNTS.at(
                Spot(entry.path, ("steps",), on_key=True),
                "no rule and no end relies on anything that this page does",
                "Give the steps their actions (`kbgen explain isolate` and the like), or let it be a first look at a symptom.",
            )
            continue
        for index in walk.rests.idle:
            step = procedure.steps[index]
            if isinstance(step.action, _PROTECT):
                yield PROTECTS_NOTHING.at(
                    Spot(entry.path, (*step.route, head_key(type(step.action)))),
                    f"no rule and no end after step {index + 1} asks for what its `{head_key(type(step.action))}` brings about; nobody "
                    "can tell whether it comes in time",
                    "Give the work that it is for its action (`work_in`, `replace`, `clip`, `open_cover`); a proof before hands stays in.",
                )


PAGE_CHECKS: tuple[Check, ...] = (_resting,)
