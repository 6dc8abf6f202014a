"""A hazard is a rule of the walk: it protects somebody's life, and is found at a step."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.compute.walk.finding import Finding
from kbgen.compute.walk.result import Because
from kbgen.compute.walk.state import NOTHING, State
from kbgen.problems import Severity
from kbgen.rule import Family, Rule


@dataclass(frozen=True, slots=True, eq=False)
class Hazard(Rule):
    """A rule of the walk."""

    def finding(
        self,
        about: object,
        field: str,
        message: str,
        hint: str,
        because: tuple[Because, ...] = (),
        grants: State = NOTHING,
        clears: State = NOTHING,
    ) -> Finding:
        """Make the finding of what breaks this rule; its attributes are those of ``Finding``."""
        return Finding(self, about, field, message, hint, because, grants, clears)


@dataclass(frozen=True, slots=True)
class Hazards(Family):
    """Hazards under one heading."""

    def hazard(self, name: str, why: str, before: str, after: str, *, rests_on: str) -> Hazard:
        """Make a hazard."""
        return Hazard(name, self, Severity.ERROR, why, before, after, rests_on, safety=True)


LOTO = "Control of hazardous energy: identify, isolate, lock, prove dead, release in order."
LIVE_WORK = (
    "Electrical work practice: prove dead with a meter that is proved before and after; "
    "live work only where it is needed."
)
METER = "Troubleshooting practice with high-impedance meters: ghost voltage, lost return, dead readings."
BYPASS = (
    "Burner and boiler safety standards: safety devices are not bypassed; "
    "temporary bypasses are controlled and removed."
)
GAS = "Fuel-gas codes: qualified person, isolation, tightness test before gas is turned on."
BURNER = "Burner safeguard standards: proven purge before ignition, limited resets, cause before reset."
EVIDENCE = "Fault-finding practice: note what the plant remembers before it is erased."
RETURN = "Commissioning practice: covers, locks, settings and trips in order, and a full cycle seen."

MAKING_SAFE = Hazards("Making safe", LOTO, follows_names=True)
READINGS = Hazards("Readings", METER, follows_names=True)
ALTERATIONS = Hazards("Temporary alterations", BYPASS, follows_names=True)
GAS_WORK = Hazards("Gas", GAS, follows_names=True)
RESETS = Hazards("Resets and starts", BURNER, follows_names=True)
LEAVING = Hazards("Leaving", RETURN, follows_names=True)
