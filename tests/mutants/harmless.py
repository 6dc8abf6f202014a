"""Changes that leave a procedure as safe as it was: the check must let every one of them pass."""

from __future__ import annotations

from collections.abc import Iterator

from tests.mutants.draft import Draft, Step
from tests.mutants.kinds import Kinds
from tests.mutants.moves import live_volts, ohms
from tests.mutants.site import Site

KINDS = Kinds()


def _some(draft: Draft, every: int, offset: int = 0) -> Iterator[int]:
    # Before an evacuation nothing more is done: who is told to leave leaves.
    steps = range(offset % every, len(draft.steps), every)
    return (index for index in steps if draft.steps[index].get("end") != "evacuated")


@KINDS.add("Other words for the same thing.")
def reworded(site: Site, draft: Draft) -> Iterator[Draft]:
    changed = draft.copy()
    for step in changed.steps:
        step["do"] = f"With care: {step['do']}"
    yield changed


@KINDS.add("One instruction said in two steps.")
def split(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 9):
        yield draft.copy().before(index, {"do": "Get ready for what comes next.", "minutes": "1 min"})


@KINDS.add("A look more.")
def look_added(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 9, 4):
        if "evacuated" in [each.get("end") for each in draft.steps[index : index + 3]]:
            continue  # who leaves in danger looks at nothing first
        yield draft.copy().before(index, {"do": "Look round.", "inspect": "Floor, pipes and cables"})


@KINDS.add("More evidence is noted.")
def more_noted(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 11, 2):
        yield draft.copy().before(index, {"do": "Note it.", "record": ["readings", "state"]})


@KINDS.add("Somebody more is told.")
def more_told(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 17, 5):
        yield draft.copy().before(index, {"do": "Tell them.", "inform": "Operator"})


def _not_dead(draft: Draft, index: int) -> str:
    """Return where the proof before a step leads what is not dead; nobody leaves an open box that is live."""
    for step in reversed(draft.steps[:index]):
        if "prove_dead" in step:
            ways = [step, *step.get("outcomes", ())]
            found = [way["live"] for way in ways if "live" in way]
            found += [way["go"] for way in ways if way.get("is") == "live"]
            if found:
                return str(found[0])
    return _stop(draft)


def _stop(draft: Draft) -> str:
    """Return an end that is right in any state, adding one where the page has none."""
    ends = draft.having("end", "evacuated")
    if not ends:
        draft.steps.append({"do": "Leave now.", "end": "evacuated"})
        ends = [len(draft.steps) - 1]
    return draft.name_of(ends[0])


def _loose(step: Step) -> bool:
    return not {"id", "outcomes", "go", "end", "hand_over"} & step.keys()


_COMMUTE = ("close_cover", "lock", "shut_valve", "record", "inspect")


@KINDS.add("Two steps that do not depend on each other change places.")
def reordered(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in range(len(draft.steps) - 1):
        one, other = draft.steps[index : index + 2]
        if _loose(one) and _loose(other) and any(key in one and key in other for key in _COMMUTE):
            changed = draft.copy()
            changed.steps[index : index + 2] = [changed.steps[index + 1], changed.steps[index]]
            yield changed


@KINDS.add("Other names for the steps.")
def steps_renamed(site: Site, draft: Draft) -> Iterator[Draft]:
    changed = draft.copy()
    for step in changed.steps:
        for holder in (step, *step.get("outcomes", ())):
            for key in ("id", "go"):
                if key in holder:
                    holder[key] = f"renamed-{holder[key]}"
        if step.get("next_step") and step.get("next", draft.name) == draft.name:
            step["next_step"] = f"renamed-{step['next_step']}"
    yield changed


@KINDS.add("Evacuation is right from any step.")
def evacuation_added(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in draft.having("end", "evacuated")[:1]:
        for index in _some(draft, 7, 3):
            if index < end:
                changed = draft.copy()
                yield changed.ask_before(index, "Do you smell gas?", changed.name_of(end), in_danger=True)


@KINDS.add("A small alteration goes in and comes out on the only way.")
def muted_and_back(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in _some(draft, 13, 6):
        if _loose(draft.steps[index]):
            changed = draft.copy().before(index + 1, {"do": "Alarm back on.", "undo": "quiet"})
            yield changed.before(index, {"do": "Mute the alarm.", "fit": "muted-alarm", "name": "quiet"})


@KINDS.add("A look for voltage that should not be there, on a circuit that is off.")
def back_feed_looked_for(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        circuit = site.circuit_of(draft, draft.steps[index])
        ends = {"at": site.supply(circuit)[-1], "to": site.returns(circuit), "circuit": circuit}
        look = {"do": "Volts first.", "measure": "volts", **ends, "reads": "0 V to 2 V"}
        yield draft.copy().before(index, look)


@KINDS.add("Dead proved once more.")
def proved_twice(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ohms(draft):
        changed = draft.copy()
        # Whoever hands over tells of what is fitted by then: a proof that may end there is no small change.
        fits = {step["name"] for step in draft.steps[:index] if "fit" in step}
        if fits - {step["undo"] for step in draft.steps[:index] if "undo" in step}:
            continue
        back = changed.name_of(index)
        answers = [
            {"when": "Dead", "is": "dead", "go": f"{back}-again"},
            {"when": "Live", "is": "live", "go": _not_dead(changed, index)},
        ]
        proof = {
            "do": "Prove it once more.",
            "prove_dead": site.control,
            "ask": "Is it dead?",
            "outcomes": answers,
        }
        changed.before(index, proof)
        changed.steps[index + 1]["id"] = f"{back}-again"
        yield changed


@KINDS.add("A caution more before a step.")
def caution_added(site: Site, draft: Draft) -> Iterator[Draft]:
    changed = draft.copy()
    for step in changed.steps:
        step["cautions"] = [*step.get("cautions", ()), "hot-surfaces"]
    yield changed


@KINDS.add("The supply is read once more before a reading.")
def supply_read_again(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in live_volts(draft):
        step = draft.steps[index]
        circuit = site.circuit_of(draft, step)
        # Not between a middle reading and its repeat: that is one reading.
        if step.get("meter") == "low-impedance" or step.get("leads", "held") != "held":
            continue
        supply = {
            "do": "Read the supply.",
            "measure": "volts",
            "circuit": circuit,
            "at": site.supply(circuit)[0],
            "to": site.returns(circuit),
            "reads": site.circuits[circuit].supply.voltage.text,
        }
        yield draft.copy().before(index, supply)


def _asked(draft: Draft, *answers: str) -> Iterator[Draft]:
    """Put an own question in the place of each proof's, with these answers for its two words."""
    for index, step in enumerate(draft.steps):
        outcomes = step.get("outcomes", ())
        words = list(dict.fromkeys(each["is"] for each in outcomes if "is" in each))
        if (
            len(words) == 2
            and len(outcomes) == sum("is" in each for each in outcomes)
            and "measure" not in step
        ):
            changed = draft.copy()
            changed.steps[index]["ask"] = "Is it so?"
            for word, answer in zip(words, answers, strict=True):
                told = next(each for each in changed.steps[index]["outcomes"] if each["is"] == word)
                told["when"] = answer
            yield changed


@KINDS.add("A proof asked so that yes is good.")
def asked_for_the_good(site: Site, draft: Draft) -> Iterator[Draft]:
    yield from _asked(draft, "Yes", "No")


@KINDS.add("The same proof asked so that yes is bad.")
def asked_for_the_bad(site: Site, draft: Draft) -> Iterator[Draft]:
    yield from _asked(draft, "No", "Yes")
