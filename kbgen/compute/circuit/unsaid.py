"""What was not said of the plant although the answer hangs on it."""

from __future__ import annotations

from dataclasses import replace

from kbgen.compute.circuit.state import Setting, State, settle
from kbgen.compute.circuit.variant import make_variant


def unsaid(setting: Setting) -> tuple[str, ...]:
    """Return what has to be asked: ``size`` or ``stage``, where two of them differ and none was given."""
    found = []
    state = setting.state
    if not setting.asked.size and _differ(setting, [replace(state, size=s.id) for s in setting.plant.sizes]):
        found.append("size")
    if not setting.asked.stage and _differ(setting, [replace(state, stage=each) for each in setting.stages]):
        found.append("stage")
    return tuple(found)


def _differ(setting: Setting, states: list[State]) -> bool:
    variants = [make_variant(settle(setting.base, setting.circuit_id, state)) for state in states]
    return len({(variant.path, tuple(variant.closed.items())) for variant in variants}) > 1
