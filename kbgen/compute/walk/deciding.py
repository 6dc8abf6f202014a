"""Decisions, and the readings they rest on."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import READINGS
from kbgen.compute.walk.plant import BRIDGING
from kbgen.compute.walk.state import MIDDLE, ZERO, names
from kbgen.model import action as act
from kbgen.model.circuit import Contact

_DECIDING = (act.CheckReal, act.FindCause, act.Reset, act.Adjust)
_DECIDING_ENDS = ("found", "returned-to-service", "not-reproduced")

MIDDLE_READING_DECIDES = READINGS.hazard(
    "middle-reading-decides",
    "A ghost voltage reads half on an open wire; a part is replaced for nothing.",
    "- {when: In between, go: found}",
    "- {when: In between, go: repeat-low}",
    rests_on="The reading's outcomes and the meter's mode; whether a wire lies beside a live one is `beside_live`.",
)
ZERO_WITHOUT_SUPPLY = READINGS.hazard(
    "zero-without-supply",
    "With the return open every point reads zero, and the first contact is called open.",
    "# first reading of all\nmeasure: volts\nat: X3:5\nto: N",
    "# first\nmeasure: volts\nat: X3:1\nto: N\n# full? then X3:5",
    rests_on="A reading of supply and return of the same circuit before, on every way.",
)


def undecided(moment: Moment) -> Iterator[Finding]:
    """Yield decisions that rest on a middle reading or on a zero without supply."""
    action = moment.step.action
    deciding = (
        isinstance(action, _DECIDING)
        or (isinstance(action, act.End) and action.end in _DECIDING_ENDS)
        or (isinstance(action, act.Fit) and action.fit in BRIDGING)
    )
    another = isinstance(action, act.Measure) and action.measure == "volts"
    if isinstance(action, act.Measure) and another:
        yield from _taken_for_nothing(moment, action)
    for name in names(moment.state, MIDDLE):
        at, to = name.split(" ", 1)
        repeats = isinstance(action, act.Measure) and another and (action.at, action.to) == (at, to)
        if (deciding or another) and not (repeats and action.meter == "low-impedance"):  # type: ignore[union-attr]
            yield MIDDLE_READING_DECIDES.finding(
                name,
                moment.field,
                f"the middle reading at {at} was not repeated in low impedance",
                f"Lead it to a step that measures {at} to {to} again with `meter: low-impedance`.",
                clears=frozenset({(MIDDLE, name)}),
            )
    if not deciding:
        return
    for name in names(moment.state, ZERO):
        at, to = name.split(" ", 1)
        yield ZERO_WITHOUT_SUPPLY.finding(
            name,
            moment.field,
            f"the zero at {at} counts although nothing upstream was read full to {to}",
            f"Read the supply to {to} first, on every way here; an open return reads zero everywhere.",
            clears=frozenset({(ZERO, name)}),
        )


def _taken_for_nothing(moment: Moment, action: act.Measure) -> Iterator[Finding]:
    """Yield a middle reading behind contacts that leads to the next reading as if nothing had been read: it is a bad joint."""
    contacts = any(isinstance(part, Contact) for part in moment.plant.upstream(action))
    if not action.to or action.meter == "low-impedance" or not contacts:
        return
    # Where a middle reading decides nothing yet, what follows is held to it.
    answers = [
        each for each in moment.plant.answers[moment.index] if not moment.plant.unsettled(action, each)
    ]
    readings = {step.id for step in moment.plant.procedure.steps if isinstance(step.action, act.Measure)}
    nothing = {answer.go for answer in answers if answer.verdict == "none"} & readings
    if any(answer.verdict == "some" and not answer.doubt and answer.go in nothing for answer in answers):
        yield MIDDLE_READING_DECIDES.finding(
            (moment.index, "nothing"),
            moment.field,
            f"a middle reading at {action.at} leads on to the reading that nothing leads to",
            "Let it lead to a step of its own: repeat it in low impedance, or name the bad joint before it.",
        )
