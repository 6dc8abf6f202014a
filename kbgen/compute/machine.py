"""What falls due on one machine, by the days of the proofs that were made at it."""

from __future__ import annotations

from kbgen.compute.due import DueOn, due_on
from kbgen.link.base import KnowledgeBase
from kbgen.model.plant import Machine, Proved
from kbgen.model.proof import Proof


def asked_of(base: KnowledgeBase, machine: Machine, proved: Proved) -> tuple[Proof, ...]:
    """Return what the shop's scheme asks of what was proved: of the device, or of the whole machine."""
    found = base.device(proved.device) if proved.device else base.equipment(machine.equipment)
    return found.proofs if found is not None else ()


def proof_of(base: KnowledgeBase, machine: Machine, proved: Proved) -> Proof | None:
    """Return the line of the scheme that a proof counts for; of a device with one line it need not be said."""
    asked = asked_of(base, machine, proved)
    if proved.proof:
        return next((each for each in asked if each.id == proved.proof), None)
    return asked[0] if proved.device and len(asked) == 1 else None


def falls_due(base: KnowledgeBase, machine: Machine) -> tuple[DueOn, ...]:
    """Return what the shop has to prove at a machine, the day that comes first first; what operators do is left out.

    What never was proved, as far as is known, comes before all that has a day.
    """
    newest: dict[tuple[str, str], str] = {}
    for proved in machine.proofs:
        if (proof := proof_of(base, machine, proved)) is not None:
            key = (proved.device or machine.equipment, proof.id)
            newest[key] = max(proved.on, newest.get(key, ""))
    found = due_on(base, machine.equipment, machine.size, newest)
    theirs = (each for each in found if each.due.proof.who != ("operator",))
    return tuple(sorted(theirs, key=lambda each: (each.due.proof.every.at_season_start, each.next)))
