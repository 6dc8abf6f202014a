"""The wiring between test points, and what a run of it is called."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from kbgen.model.circuit import AnyPart, Coil, Contact, Load, parts


@dataclass(slots=True)
class Run:
    """Wiring since a test point; ``end`` stays empty until the next one is met.

    Attributes:
        live: Whether it lies in one cable with a core that is live.
    """

    start: str
    branch: str = ""
    end: str = ""
    wires: list[tuple[int, int]] = field(default_factory=list)
    metres: tuple[float, float] = (0.0, 0.0)
    live: bool = False


def branch_name(branch: tuple[AnyPart, ...], number: int) -> str:
    """Name a branch by the first device in it; by its number where there is none."""
    for part in parts(branch):
        match part:
            case Contact():
                return part.contact
            case Coil():
                return part.coil
            case Load():
                return part.load
            case _:
                continue
    return f"branch-{number}"


def named_runs(runs: Sequence[Run], wires: Mapping[int, tuple[int, ...]]) -> dict[str, tuple[int, ...]]:
    """Name runs by the marks at their ends; side by side, by the first device in them too."""
    ended = [run for run in runs if run.start and run.end and run.wires]
    plain = [f"{run.start}-{run.end}" for run in ended]
    named: dict[str, tuple[int, ...]] = {}
    for run, name in zip(ended, plain, strict=True):
        label = f"{name}/{run.branch}" if plain.count(name) > 1 and run.branch else name
        named[label] = (*named.get(label, ()), *wires[id(run)])
    return named
