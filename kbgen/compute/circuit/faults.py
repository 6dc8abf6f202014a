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


def list_faults(network: Network, *, pairs: bool = True) -> tuple[Fault, ...]:
    """List the faults of a network: healthy first, then in the order of the path.

    Args:
        network: The circuit as this plant has it.
        pairs: Whether to add every pair of open contacts.
    """
    found = [HEALTHY, Fault("no-supply", "no-supply")]
    several = len(network.fuses) > 1
    found += [Fault(f"fuse:{f}" if several else "fuse", "fuse", (f,)) for f in network.fuses]
    labels = tuple(network.contacts)
    for kind in ("open", "stuck", "resistance", "jumper"):
        found += [Fault(f"{kind}:{label}", kind, (label,), device_of(label)) for label in labels]
    found += [Fault(f"wire:{run}", "wire", (run,)) for run in network.runs]
    found += [
        Fault("load" if name == network.main_load else f"load:{name}", "load", (name,))
        for name in network.loads
    ]
    found.append(Fault("return", "return"))
    found += [Fault(f"ground:{mark}", "ground", (mark,)) for mark in network.points if mark != network.back]
    if pairs:
        found += [
            Fault(f"open:{a}+open:{b}", "open-pair", (a, b), device_of(a)) for a, b in combinations(labels, 2)
        ]
    return tuple(found)


def device_of(label: str) -> str:
    """Return the device's id out of a contact's label."""
    return label.partition("/")[0]
