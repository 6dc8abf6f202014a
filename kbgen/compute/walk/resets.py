"""Resets, causes, settings."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.outcomes import NO, NOT_SURE, YES, meanings
from kbgen.compute.walk.state import CAUSE, LOCKED, OFF, RECORDED, RESET, STALE
from kbgen.model import action as act


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a reset, a check, or a change of setting."""
    match moment.step.action:
        case act.Reset(reset=name):
            yield from _reset(moment, name, "reset")
        case act.Restore(restore=source) if (OFF, source) in moment.state and source in moment.plant.control:
            following = moment.state - {(OFF, source), (LOCKED, source)}
            for memory in moment.plant.memory.values():
                # Where power clears a lockout, switching on lets the burner try again.
                if memory.power_resets and moment.plant.can_fire(following):
                    yield from _reset(moment, memory.id, "restore")
        case act.CheckReal(check_real=name):
            yield from _not_sure(moment, name)
        case act.Adjust(adjust=name):
            setting = moment.plant.settings.get(name)
            if setting is not None and setting.changed_by.casefold().startswith("nobody"):
                yield Finding(
                    "setting-nobody-changes",
                    moment.index,
                    "adjust",
                    f"{setting.title} is changed, which {setting.changed_by} may do",
                    "Leave it; a device that needs another setting is replaced.",
                )


def _reset(moment: Moment, name: str, field: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    memory = plant.memory.get(name)
    device = plant.device(memory.device if memory and memory.device else name)
    what = device.head.title if device else (memory.what if memory else name)
    evidence = "resets" if device else "display"
    noted = (RECORDED, evidence) in state and (STALE, "") not in state
    if not noted and (device is None or device.reset != "automatic"):
        yield Finding(
            "reset-before-evidence",
            moment.index,
            field,
            f"{what} is reset before {'its button or flag' if device else 'the display'} is noted",
            f"Put a step with `record: [{evidence}]` before it; the reset wipes it out.",
            grants=frozenset({(RECORDED, evidence)}),
            clears=frozenset({(STALE, "")}),
        )
    if device is not None and device.reset == "one-shot":
        yield Finding(
            "one-shot-reset",
            moment.index,
            field,
            f"{what} is a one-shot device; there is nothing to reset",
            "Find the cause, then replace it.",
        )
    caused = (CAUSE, name) in state or (memory is not None and (CAUSE, memory.device) in state)
    if caused:
        return
    if device is not None and device.role == "limit" and device.reset != "automatic":
        yield Finding(
            "reset-without-cause",
            moment.index,
            field,
            f"{what} is reset and the cause of the trip was not found",
            "Put a step with `find_cause:` before it, and stop where the cause is not found.",
            grants=frozenset({(CAUSE, name)}),
        )
    elif (RESET, name) in state:
        yield Finding(
            "second-reset",
            moment.index,
            field,
            f"{what} is reset again and the cause was not found",
            "After one reset, find the cause or stop and leave it safe.",
            grants=frozenset({(CAUSE, name)}),
        )


def _not_sure(moment: Moment, name: str) -> Iterator[Finding]:
    """Yield a check whose doubt leads where only a false trip may lead."""
    targets: dict[str, set[str]] = {YES: set(), NO: set(), NOT_SURE: set()}
    for outcome in moment.step.outcomes:
        for meaning in meanings(outcome) & targets.keys():
            targets[meaning].add(outcome.go)
    if targets[NOT_SURE] & targets[NO] and not targets[NOT_SURE] & targets[YES]:
        yield Finding(
            "doubt-taken-as-false",
            moment.index,
            "outcomes",
            f"not being sure about {moment.plant.title(name)} leads where a false trip leads",
            "Let it lead where a real trip leads.",
        )
