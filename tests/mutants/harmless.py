"""Changes that leave a procedure as safe as it was: the check must let every one of them pass."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tests.mutants.draft import Draft, Step
from tests.mutants.ground import Ground

Make = Callable[[Ground, Draft], Iterator[Draft]]


@dataclass(frozen=True)
class Kind:
    """One kind of harmless change."""

    name: str
    why: str
    make: Make


KINDS: list[Kind] = []


def harmless(why: str) -> Callable[[Make], Make]:
    """Add a kind, named like its function."""

    def add(make: Make) -> Make:
        KINDS.append(Kind(make.__name__.replace("_", " "), why, make))
        return make

    return add


def _some(draft: Draft, every: int, offset: int = 0) -> Iterator[int]:
    return iter(range(offset % every, len(draft.steps), every))


@harmless("Other words for the same thing.")
def reworded(ground: Ground, draft: Draft) -> Iterator[Draft]:
    changed = draft.copy()
    for step in changed.steps:
        step["do"] = f"With care: {step['do']}"
    yield changed


@harmless("One instruction said in two steps.")
def split(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 9):
        yield draft.copy().before(index, {"do": "Get ready for what comes next.", "minutes": "1 min"})


@harmless("A look more.")
def look_added(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 9, 4):
        yield draft.copy().before(index, {"do": "Look round.", "inspect": "Floor, pipes and cables"})


@harmless("More evidence is noted.")
def more_noted(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 11, 2):
        yield draft.copy().before(index, {"do": "Note it.", "record": ["readings", "state"]})


@harmless("Somebody more is told.")
def more_told(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 17, 5):
        yield draft.copy().before(index, {"do": "Tell them.", "inform": "Operator"})


def _loose(step: Step) -> bool:
    return not {"id", "outcomes", "go", "end", "hand_over"} & step.keys()


_COMMUTE = ("close_cover", "lock", "shut_valve", "record", "inspect")


@harmless("Two steps that do not depend on each other change places.")
def reordered(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in range(len(draft.steps) - 1):
        one, other = draft.steps[index : index + 2]
        if _loose(one) and _loose(other) and any(key in one and key in other for key in _COMMUTE):
            changed = draft.copy()
            changed.steps[index : index + 2] = [changed.steps[index + 1], changed.steps[index]]
            yield changed


@harmless("Other names for the steps.")
def steps_renamed(ground: Ground, draft: Draft) -> Iterator[Draft]:
    changed = draft.copy()
    for step in changed.steps:
        for holder in (step, *step.get("outcomes", ())):
            for key in ("id", "go"):
                if key in holder:
                    holder[key] = f"renamed-{holder[key]}"
        if step.get("next_step") and step.get("next", draft.name) == draft.name:
            step["next_step"] = f"renamed-{step['next_step']}"
    yield changed


@harmless("Evacuation is right from any step.")
def evacuation_added(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for end in draft.having("end", "evacuated")[:1]:
        for index in _some(draft, 7, 3):
            if index < end:
                changed = draft.copy()
                yield changed.ask_before(index, "Do you smell gas?", changed.name_of(end))


@harmless("A small alteration goes in and comes out on the only way.")
def muted_and_back(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 13, 6):
        if _loose(draft.steps[index]):
            changed = draft.copy().before(index + 1, {"do": "Alarm back on.", "undo": "quiet"})
            yield changed.before(index, {"do": "Mute the alarm.", "fit": "muted-alarm", "name": "quiet"})


@harmless("A look for voltage that should not be there, on a circuit that is off.")
def back_feed_looked_for(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("measure", "ohms"):
        look = {"do": "Volts first.", "measure": "volts", "at": "T27", "to": "T90", "reads": "0 V to 2 V"}
        yield draft.copy().before(index, look)


@harmless("Dead proved once more.")
def proved_twice(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("measure", "ohms"):
        proof = {"do": "Prove it once more.", "prove_dead": "control"}
        yield draft.copy().before(index, proof)


@harmless("A caution more before a step.")
def caution_added(ground: Ground, draft: Draft) -> Iterator[Draft]:
    changed = draft.copy()
    for step in changed.steps:
        step["cautions"] = [*step.get("cautions", ()), "hot-surfaces"]
    yield changed


@harmless("The supply is read once more before a reading.")
def supply_read_again(ground: Ground, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("measure", "volts"):
        step = draft.steps[index]
        # Not between a middle reading and its repeat: that is one reading.
        if step.get("meter") != "low-impedance" and step.get("leads", "held") == "held" and "at" in step:
            supply = {
                "do": "Read the supply.",
                "measure": "volts",
                "at": "T19",
                "to": "T90",
                "reads": "108 V to 132 V",
            }
            yield draft.copy().before(index, supply)
