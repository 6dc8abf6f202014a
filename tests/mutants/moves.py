"""Steps that many changes put in, and the places that many of them look for."""

from __future__ import annotations

from tests.mutants.draft import Draft, Step


def volts(draft: Draft) -> list[int]:
    """Return the steps that read a voltage at a terminal."""
    return [i for i in draft.having("measure", "volts") if "at" in draft.steps[i]]


def live_volts(draft: Draft) -> list[int]:
    """Return the readings that expect a voltage; the others look for what should not be there."""
    return [i for i in volts(draft) if not draft.steps[i].get("reads", "").startswith("0 ")]


def ohms(draft: Draft) -> list[int]:
    """Return the steps that measure resistance."""
    return draft.having("measure", "ohms")


def ends(draft: Draft, how: str) -> list[int]:
    """Return the ends of one kind."""
    return draft.having("end", how)


def undead(draft: Draft) -> Draft:
    """Let it begin with the plant as found, evidence apart."""
    return draft.start_from(*(each for each in draft.starts() if each == "evidence-recorded"))


def fit(kind: str, name: str, **more: str) -> Step:
    """Make a step that fits an alteration."""
    return {"do": f"Fit `{name}`.", "fit": kind, "name": name, **more}


def undo(name: str) -> Step:
    """Make the step that takes it out."""
    return {"do": f"Take `{name}` out.", "undo": name}


def jumped(draft: Draft, index: int, **where: str) -> Draft:
    """Put a jumper in before a step and take it out again at once."""
    return draft.copy().before(index, fit("jumper", "mutant", **where), undo("mutant"))


def decides(draft: Draft, target: str) -> bool:
    """Whether a step leads straight to an end that names what was found, or to another reading."""
    last = list(draft.chain(draft.find(target)))[-1]
    step = draft.steps[last]
    return step.get("end") == "found" or "measure" in step


def answers(draft: Draft, index: int, answer: str, leads_like: str) -> Draft | None:
    """Let one outcome of a question lead where another one leads; ``None`` where that changes nothing."""
    changed = draft.copy()
    one, other = changed.outcome(index, answer), changed.outcome(index, leads_like)
    if one is None or other is None or one["go"] == other["go"]:
        return None
    one["go"] = other["go"]
    return changed
