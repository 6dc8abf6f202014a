"""A boiler is fed and fired only by somebody who has seen its water: a glass that nobody looked at may hide dry tubes."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.compute.walk.graph import Graph, make_graph
from kbgen.compute.walk.hazard import LEAVING
from kbgen.link.base import KnowledgeBase
from kbgen.model.action import (
    CheckReal,
    End,
    HandOver,
    Inspect,
    Isolate,
    Observe,
    ProveGone,
    ProveTrip,
    Restore,
)
from kbgen.model.answers import Answer, answers, question
from kbgen.model.device import Device
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.rules.material import Check, Material
from kbgen.text import words

FED_UNSEEN = LEAVING.on(
    "Boiler practice: the glass is looked at, and the water in it seen, before anything feeds the boiler."
).hazard(
    "fed-unseen",
    "The boiler stopped for low water and is hot; cold water on its dry tubes flashes to steam.",
    "- do: Switch the feed pump on.\n  restore: feed-water\n- do: Look at the glass.\n  inspect: Gauge glass",
    "- do: Look at the glass.\n  inspect: Gauge glass\n  ask: Is water in sight?\n  outcomes:\n"
    "    - {when: 'Yes', go: feed}\n    - {when: No or not sure, go: stop-here}\n"
    "- id: feed\n  do: Switch the feed pump on.\n  restore: feed-water",
    rests_on="`with` under `independent_check` of the devices that guard the water level, the steps that inspect that "
    "and ask for the water or for cold metal, `prove_gone` of heat, and `restore` of a source of water that is needed to fire.",
)


FIRED_UNSEEN = LEAVING.on(
    "Boiler practice: the glass is looked at, and the water in it seen, before the burner is lit."
).hazard(
    "fired-unseen",
    "The burner is lit under a boiler that nobody looked at; with its tubes dry they tear.",
    "- do: Turn the switch to ON.\n  start_demand: Burner switch to ON",
    "- do: Look at the glass.\n  inspect: Gauge glass\n  ask: Is water in sight?\n  outcomes:\n"
    "    - {when: 'Yes', go: light}\n    - {when: No or not sure, go: stop-here}\n"
    "- id: light\n  do: Turn the switch to ON.\n  start_demand: Burner switch to ON",
    rests_on="`with` under `independent_check` of the devices that guard the water level, the steps that inspect that "
    "and ask for the water, the words of their answers, and `observe: firing` or `full-cycle`.",
)

_WATER = re.compile(
    r"\b(?:water|line|level|in sight|visible|stands?|full|empty|dry|low)\b|\d\s*(?:in|mm|cm)\b", re.IGNORECASE
)
"""What a question asks for that asks for the water in the glass, and not for the glass."""
_EITHER = re.compile(r"\bor\s+(?:did|does|do|has|have|was|were|is|are|can|could)\b", re.IGNORECASE)
"""A second question in the same breath: whoever says yes to the weaker one has not seen the line."""
_COLD = re.compile(
    r"thermometer|°|\bcold\b.*\b(?:touch|hand|metal)|\b(?:touch|hand|metal)\b.*\bcold\b", re.IGNORECASE
)
"""What shows that the metal is cold; no pressure and some hours do not."""
_UNSEEN = re.compile(
    r"\b(?:empty|dry|full|flooded|foam\w*|brimful|overfull|out of sight|nothing in (?:it|sight)|too high|"
    r"(?:no|without(?: an?)?) (?:line|level|water)|"
    r"(?:not|never|nor|n['’]t)(?: \w+)? (?:in sight|seen|visible)|invisible|"
    r"(?:to|at|up to|over|above|past|beyond) (?:the|its) (?:very )?(?:top|upper (?:end|fitting|nut|edge))|"
    r"(?:below|under|beneath) (?:the|its) (?:glass|bottom|lower (?:fitting|nut|edge)|visible))\b",
    re.IGNORECASE,
)
"""Words of an answer that tell of a glass without a line: empty and full look alike, and either hides the water."""
_TAKEN_BACK = re.compile(
    r"(?:\b(?:not|never|neither|nor|no longer|half|third|quarters?|nearly|almost)|n['’]t|%)[\w ]{0,14}$",
    re.IGNORECASE,
)


def _tells_of_no_water(answer: Answer, asks: str) -> bool:
    """Return whether an answer says that no line stands in the glass, or denies it plainly.

    >>> tells = lambda when: _tells_of_no_water(Answer(when, "on"), "Is there a line in the glass?")
    >>> tells("Water up to the top fitting, no line"), tells("No"), tells("A line at half, never out of sight")
    (True, True, False)
    """
    plain = answer.when.casefold().strip(" .")
    return _without_line(answer.when) or plain == ("yes" if _without_line(asks) else "no")


def _without_line(text: str) -> bool:
    """Return whether words speak of a glass without a line, and do not deny it.

    >>> _without_line("Is the glass full?"), _without_line("Is it never out of sight?")
    (True, False)
    """
    return any(_TAKEN_BACK.search(text[: found.start()]) is None for found in _UNSEEN.finditer(text))


def _feeding(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        page = _Page(material.base, procedure, material.graph(entry, procedure))
        if not page.devices or not page.waters or not page.feeds | page.fires:
            continue
        before = {
            trips: _seen_before(material.base, procedure, entry.ref.id, trips=trips)
            for trips in (False, True)
        }
        # A float chamber that is blown down trips the burner and leaves the boiler its water: it is lit again at once.
        for index in sorted(page.fires & page.unseen(seen=before[False], trips=False))[:1]:
            yield FIRED_UNSEEN.at(
                Spot(entry.path, (*procedure.steps[index].route, "observe")),
                f"step {index + 1} sees the boiler fire, and on a way here nobody has looked at {page.glass} since the "
                "page began or the feed went off",
                f"Put a step with `inspect: {page.glass}` and a question for the water before it; who does not see its line, "
                "sees the glass full or empty, or is not sure, is led away.",
            )
        for index in sorted(page.feeds & page.unseen(seen=before[True], trips=True)):
            step = procedure.steps[index]
            yield FED_UNSEEN.at(
                Spot(entry.path, (*step.route, "do")),
                f"step {index + 1} feeds the boiler, and on a way here nobody has looked at {page.glass} since the page "
                "began, the feed went off, or the water was lowered",
                f"Put a step with `inspect: {page.glass}` and a question for the water before it; who does not see its line, "
                "or is not sure, is led away. A dry boiler is filled once its metal is cold by the thermometer "
                "(`prove_gone` of its heat); 0 psi and hours say nothing of it.",
            )


class _Page:
    """A page, what feeds the boiler on it and what shows its water."""

    def __init__(self, base: KnowledgeBase, procedure: Procedure, graph: Graph) -> None:
        plants = [plant for each in procedure.equipment if (plant := base.equipment(each))]
        self.steps = procedure.steps
        self.devices = {
            entry.ref.id: device
            for entry, device in base.of(Device)
            if device.guards == "water-level"
            and (not device.equipment or set(device.equipment) & set(procedure.equipment))
        }
        checks = [each.independent_check for each in self.devices.values() if each.independent_check]
        self.shown = {check.with_.casefold() for check in checks}
        self.glass = checks[0].with_ if checks else "the gauge glass"
        self.waters = {
            source.id
            for plant in plants
            for source in plant.sources
            if source.energy == "water" and source.needed_to_fire
        }
        self.heats = {source.id for plant in plants for source in plant.sources if source.energy == "heat"}
        self.feeds = {
            index
            for index, step in enumerate(self.steps)
            if isinstance(step.action, Restore) and step.action.restore in self.waters
        }
        self.fires = {
            index
            for index, step in enumerate(self.steps)
            if isinstance(step.action, Observe) and step.action.observe in ("firing", "full-cycle")
        }
        self._graph = graph

    def _looks(self, step: ProcedureStep, *, cold_will_do: bool) -> bool:
        """Return whether a step looks at what shows the water, or at the trip's own check.

        Args:
            cold_will_do: Cold tubes may be filled, and are not fired dry.
        """
        match step.action:
            case CheckReal(check_real=device):
                return device in self.devices
            case ProveGone(prove_gone=source):
                return cold_will_do and source in self.heats
            case Inspect(inspect=what) if any(each in what.casefold() for each in self.shown):
                # "Is a line in it, or did water come at the drain cock?"; "is it out of sight, or is it full?" denies both.
                either = _EITHER.split(question(step))
                if len(either) > 1 and not all(map(_without_line, either)):
                    return False
                asks = " ".join((question(step), *(answer.when for answer in answers(step))))
                return _WATER.search(asks) is not None or (
                    cold_will_do and _COLD.search(f"{words(step.do)} {asks}") is not None
                )
        return False

    def _unsettles(self, step: ProcedureStep, *, trips: bool) -> bool:
        """Return whether the water may stand lower after a step than it was seen."""
        match step.action:
            case Isolate(isolate=name):
                return name in self.waters
            case ProveTrip(prove_trip=name):
                return trips and name in self.devices
        return False

    def unseen(self, *, seen: bool, trips: bool) -> set[int]:
        """Return the steps that are reached with the water unseen.

        Args:
            seen: Whether it was seen before the page begins.
            trips: Whether the trip of a device that guards the level counts as water let down: the next fire comes at
                once, and feeding it may not. What is fed may be dry and cold as well.
        """
        waiting = [] if seen else [0]
        waiting += [
            edge.target
            for index, step in enumerate(self.steps)
            if self._unsettles(step, trips=trips)
            for edge in self._graph.edges[index]
        ]
        found: set[int] = set()
        while waiting:
            index = waiting.pop()
            if index in found:
                continue
            found.add(index)
            step = self.steps[index]
            asked = answers(step) if self._looks(step, cold_will_do=trips) else ()
            asks = question(step)
            unseen = [
                answer.doubt or (not answer.verdict and _tells_of_no_water(answer, asks)) for answer in asked
            ]
            doubtful = {answer.go for answer, none in zip(asked, unseen, strict=True) if none}
            for edge in self._graph.edges[index]:
                answer = asked[edge.answer] if asked and edge.answer is not None else None
                # Only an answer that leads apart from doubt, and from an empty or full glass, tells that somebody saw the water.
                if answer is None or answer.go in doubtful or not doubtful:
                    waiting.append(edge.target)
        return found


def _seen_before(base: KnowledgeBase, procedure: Procedure, name: str, *, trips: bool) -> bool:
    """Return whether who goes on himself from the page before saw the water on every way of it."""
    before = base.procedure(procedure.after) if procedure.after else None
    if before is None:
        return False
    ends = {
        index
        for index, step in enumerate(before.steps)
        if isinstance(step.action, End | HandOver) and step.action.next == name
    }
    mine = {index for index in ends if isinstance(before.steps[index].action, End)}
    page = _Page(base, before, make_graph(before, procedure.after))
    if any(isinstance(step.action, Isolate) and step.action.isolate in page.waters for step in before.steps):
        return False  # with the feed locked the level only sinks, and nobody says how long that was
    return bool(ends) and ends == mine and not mine & page.unseen(seen=False, trips=trips)


PAGE_CHECKS: tuple[Check, ...] = (_feeding,)
