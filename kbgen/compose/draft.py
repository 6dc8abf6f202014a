"""A page while it is written out: its lines, what each is reached with, the steps they write."""

from __future__ import annotations

from dataclasses import dataclass, field

from kbgen.compose.ledger import Ledger, Thing
from kbgen.compose.lines import Line, ways_of
from kbgen.compose.sheet import Step, Unfit
from kbgen.link.base import KnowledgeBase
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.position import Spot
from kbgen.problems import Problem


@dataclass(slots=True)
class Page:
    """One page while it is written out."""

    base: KnowledgeBase
    name: str
    path: str
    procedure: Procedure
    plant_id: str
    plant: Equipment
    lines: list[Line]
    arriving: dict[str, Ledger] = field(default_factory=dict)
    order: dict[Thing, int] = field(default_factory=dict)
    written: list[list[Step]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    @property
    def endings(self) -> frozenset[str]:
        """The endings of the plant."""
        return frozenset(each.id for each in self.plant.endings)

    def target(self, line: Line, name: str) -> str:
        """Return the label a name stands for: within an ending or another page its own lines come first."""
        inner = f"{line.scope}.{name}"
        return inner if line.scope and any(each.label == inner for each in self.lines) else name

    def tell(self, line: Line, unfit: Unfit) -> None:
        """Tell of a fault at the author's line; of one inside an ending at the line that names it."""
        inside = f"the ending `{line.ending}`, line {line.at + 1}: " if line.ending else ""
        first, *rest = unfit.field.split(".")
        inner = (first, *(int(part) if part.isdigit() else part for part in rest))
        route = ("steps", line.line, *(inner if not line.ending and first in line.data else ()))
        found = unfit.rule.at(Spot(self.path, route), f"{inside}{unfit.message}", unfit.hint)
        if found not in self.problems:
            self.problems.append(found)


def asks(step: Step) -> bool:
    """Whether a step goes on by its answers."""
    return "outcomes" in step or any(key != "go" for _, key, _ in ways_of(step))


def ends(step: Step) -> bool:
    """Whether the job ends with a step."""
    return "end" in step or "hand_over" in step
