"""What is asked before anything is done: danger first, whoever comes and wherever on a page they begin."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import MAKING_SAFE
from kbgen.compute.walk.state import DANGER_ASKED
from kbgen.model import action as act

_GOES_IN = (
    *(act.Restore, act.OpenValve, act.StartDemand, act.TryStart, act.Reset, act.Unlock),
    *(act.OpenCover, act.ProveDead, act.WorkIn, act.Replace, act.Clip, act.Unclip, act.Fit, act.OpenGasTrain),
    act.StopDemand,
)
"""What nobody does in a room with gas in it; to shut, lock and read what shows itself harms nobody."""

DANGER_NOT_ASKED = MAKING_SAFE.on(
    "Fuel-gas practice: smell, listen and look before anything is switched."
).hazard(
    "danger-not-asked",
    "The room smells of gas, and a switch that is thrown lights it.",
    "- do: Switch Q2 on.\n  restore: control",
    "- do: Stop at the door. Smell, listen.\n  ask: Gas, smoke or an alarm?\n  outcomes:\n"
    "    - {when: 'No', go: on}\n    - {when: Yes or not sure, go: leave-now}\n"
    "- id: on\n  do: Switch Q2 on.\n  restore: control",
    rests_on="A question with an answer that leads out (`end: evacuated`) before the first deed, where kb.yaml has an "
    "`emergency` page or the plant's entry asks for danger under `arrive`; what is asked is the author's word.",
)


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield a deed at plant where nobody asked for danger since they came."""
    if not moment.plant.danger_first or not (
        isinstance(moment.step.action, _GOES_IN) or _switches_off(moment)
    ):
        return
    if (DANGER_ASKED, "") not in moment.state:
        yield DANGER_NOT_ASKED.finding(
            "danger",
            moment.field,
            "nobody asked for gas, smoke or an alarm before this is done",
            "Put a question before it (`ask`), best as the first step; who smells, hears or sees it, or is not sure, goes to "
            "`end: evacuated`.",
            grants=frozenset({(DANGER_ASKED, "")}),
        )


def _switches_off(moment: Moment) -> bool:
    """Return whether a supply is switched off, which sparks as it does on; a cock or a plate that is shut does not."""
    action, sources = moment.step.action, moment.plant.sources
    return isinstance(action, act.Isolate) and action.isolate in sources and sources[action.isolate].electric
