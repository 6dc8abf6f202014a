"""One rule found broken at one step in one state."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Because
from kbgen.compute.walk.state import NOTHING, State
from kbgen.model.build import head_key
from kbgen.model.procedure import ProcedureStep
from kbgen.rule import Rule


@dataclass(frozen=True, slots=True)
class Finding:
    """A broken rule.

    Attributes:
        about: What it is about; of findings with one rule and one subject the nearest is reported.
        field: The field of the step to point at.
        grants: Facts the walk goes on with, as if the step were mended.
        clears: Facts the walk goes on without.
    """

    rule: Rule
    about: object
    field: str
    message: str
    hint: str
    because: tuple[Because, ...] = ()
    grants: State = NOTHING
    clears: State = NOTHING


@dataclass(frozen=True, slots=True)
class Moment:
    """A step about to be taken in a state."""

    plant: Plant
    state: State
    index: int

    @property
    def step(self) -> ProcedureStep:
        """The step."""
        return self.plant.procedure.steps[self.index]

    @property
    def blamed(self) -> bool:
        """Whether an answer of the step takes a reading short of full for a finding."""
        answers = self.plant.answers[self.index]
        return any(answer.verdict in ("none", "some", "outside") for answer in answers)

    @property
    def field(self) -> str:
        """The field of the step that says what is done; its text where that is all."""
        action = self.step.action
        return "do" if action is None else head_key(type(action))
