"""Everything that can be wrong with a circuit, one fault at a time, and pairs of open contacts."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from kbgen.compute.circuit.network import Network


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault by its readable, stable id.

    Attributes:
        id: As in ``open:first-low-water``.
        kind: What stands before the colon; ``open-pair`` for two open contacts.
        where: The contact's label, the run, the load or the mark; both labels of a pair.
        device: Id of the device, empty where none is at fault; of a pair, the first.
    """

    id: str
    kind: str
    where: tuple[str, ...] = ()
    device: str = ""

    def to_json(self) -> dict[str, object]:
        """Return the fields every table of faults shows."""
        return {"fault": self.id, "kind": self.kind, "device": self.device or None}


HEALTHY = Fault("healthy", "healthy")
_TOGETHER = 2
"""Elements that may change at once."""
OPENS = ("open", "open-pair", "wire", "fuse", "no-supply", "return", "seal-in", "stalled")
"""Kinds of fault that leave a point without feed."""


def list_faults(network: Network, *, pairs: bool = True) -> tuple[Fault, ...]:
    """List the faults of a network: healthy first, then in the order of the path.

    Args:
        network: The circuit as this plant has it.
        pairs: Whether to add every pair of open contacts.
    """
    found = [
        HEALTHY,
        Fault("no-supply", "no-supply"),
        Fault("low-supply", "low-supply"),
        Fault("foreign", "foreign"),
    ]
    several = len(network.fuses) > 1
    found += [Fault(f"fuse:{f}" if several else "fuse", "fuse", (f,)) for f in network.fuses]
    labels = tuple(network.contacts)
    for kind in ("open", "stuck", "resistance", "jumper"):
        found += [Fault(f"{kind}:{label}", kind, (label,), device_of(label)) for label in labels]
    found += [
        Fault(f"seal-in:{relay}", "seal-in", group, relay)
        for relay, group in network.seals.items()
        if len(group) <= _TOGETHER
    ]
    found += [Fault(f"wire:{run}", "wire", (run,)) for run in network.runs]
    found += [
        Fault("load" if name == network.main_load else f"load:{name}", "load", (name,))
        for name in network.loads
    ]
    found += [Fault(f"bridged:{name}", "bridged", (name,)) for name in network.resistors]
    found += [
        Fault(f"stalled:{name}", "stalled", (name, *moved_by(network, name)), network.drives[name])
        for name in network.drives
        if moved_by(network, name)
    ]
    found.append(Fault("return", "return"))
    found += [Fault(f"ground:{mark}", "ground", (mark,)) for mark in network.points if mark != network.back]
    if pairs:
        found += [
            Fault(f"open:{a}+open:{b}", "open-pair", (a, b), device_of(a)) for a, b in combinations(labels, 2)
        ]
    return tuple(found)


def moved_by(network: Network, load: str) -> tuple[str, ...]:
    """Return the contact that a motor among the loads moves, in this circuit; empty without one."""
    device = network.drives.get(load)
    return tuple(label for label in network.contacts if device_of(label) == device)[:1]


def device_of(label: str) -> str:
    """Return the device's id out of a contact's label."""
    return label.partition("/")[0]
