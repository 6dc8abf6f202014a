"""Which plants of a family have the same circuit; apart, because it loads the arithmetic of circuits."""

from __future__ import annotations

from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study, alike
from kbgen.views.blocks import Fits
from kbgen.views.fitting import fits


def kinds_of(
    study: Study, circuit_id: str, stage: str = "", sizes: tuple[str, ...] = ()
) -> tuple[tuple[Fits | None, State], ...]:
    """Return the plants whose circuit is the same, with a state that stands for each kind.

    Args:
        stage: Id of the stage it is asked in; empty when every contact is to be taken as made.
        sizes: Ids of the sizes asked about; empty for all.
    """
    circuit = study.base.circuit(circuit_id)
    plant = study.base.equipment(circuit.equipment) if circuit else None
    if plant is None:
        return ((None, State(stage=stage)),)
    found: list[tuple[Fits | None, State]] = [
        (fits(plant, () if each.every else each.sizes, each.fitted, each.missing), each.state)
        for each in alike(study, circuit_id, stage, sizes)
    ]
    return tuple(found) if len(found) > 1 else ((None, found[0][1]),)
