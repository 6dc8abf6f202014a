"""Settings that are changed, and test buttons that are held."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import BYPASS, RESETS
from kbgen.compute.walk.settings import (
    at_its_value,
    is_limit,
    lets_more_through,
    nobody_changes,
    raised,
    stands_over,
    stops_before,
)
from kbgen.compute.walk.state import TRIP_SEEN
from kbgen.model import action as act
from kbgen.model.equipment import Setting
from kbgen.model.people import may_change

SETTING_NOBODY_CHANGES = RESETS.hazard(
    "setting-nobody-changes",
    "A setting that nobody may change is changed.",
    "adjust: second-low-opens  # changed_by: nobody",
    "# leave it; replace the device",
    rests_on="`changed_by` of the setting.",
)
SETTING_BY_ANOTHER = RESETS.hazard(
    "setting-by-another",
    "A limit is turned by somebody who was never shown what it holds back.",
    "who: technician\n# adjust: high-steam-opens, changed_by: licensed-gas",
    "who: licensed-gas",
    rests_on="`changed_by` of the setting and `who` of the page.",
)
SETTING_OF_ANOTHER_SIZE = RESETS.hazard(
    "setting-of-another-size",
    "The small boiler is set to the pressure of the large one.",
    "sizes: [sb-1]\n# adjust: high-gas-opens-large",
    "sizes: [sb-1]\n# adjust: high-gas-opens-small",
    rests_on="`sizes` of the setting and of the page.",
)
LIMIT_LET_THROUGH = RESETS.on(BYPASS).hazard(
    "limit-let-through",
    "A limit above its setting lets through what it is there to stop.",
    "adjust: high-steam-opens\nfrom: 125 psi\nto: 160 psi",
    "adjust: high-steam-opens\nfrom: 125 psi\nto: 100 psi  # and back after it tripped",
    rests_on="`trips_on` of the setting and the value it is set to.",
)
CONTROL_ABOVE_LIMIT = RESETS.on(BYPASS).hazard(
    "control-above-limit",
    "The control no longer stops the burner, and nobody knows whether the limit does.",
    "- adjust: operating-opens\n  from: 100 psi\n  to: 140 psi",
    "- prove_trip: high-steam  # opens at 125 psi\n- adjust: operating-opens\n  from: 100 psi\n  to: 140 psi\n"
    "  gauge: Test gauge at the header",
    rests_on="The settings of control and limit of the same quantity.",
)
HELD_TOO_LONG = RESETS.on(BYPASS).hazard(
    "held-too-long",
    "A button that is held bridges the low water for as long as it is held.",
    "hold: second-low-water\nfor: 5 min  # hold_at_most: 20 s",
    "hold: second-low-water\nfor: 20 s",
    rests_on="`hold_at_most` of the device, and the minutes of the step.",
)


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a change of a setting, or with holding a test button."""
    match moment.step.action:
        case act.Adjust(adjust=name) as action:
            setting = moment.plant.settings.get(name)
            if setting is not None:
                yield from _may(moment, setting)
                yield from _limit(moment, setting, action)
                yield from _control(moment, setting, action)
        case act.Hold() as action:
            yield from _held(moment, action)


def _may(moment: Moment, setting: Setting) -> Iterator[Finding]:
    procedure = moment.plant.procedure
    if nobody_changes(setting):
        yield SETTING_NOBODY_CHANGES.finding(
            moment.index,
            "adjust",
            f"{setting.title} is changed, which nobody may do",
            "Leave it; a device that needs another setting is replaced.",
        )
    elif not may_change(setting.changed_by, procedure.who):
        yield SETTING_BY_ANOTHER.finding(
            moment.index,
            "adjust",
            f"{setting.title} is changed on a page for {procedure.who}, and its entry says `changed_by: "
            f"{setting.changed_by}`",
            f"Set `who: {setting.changed_by}` on the page, or lead to a page for them with `hand_over` and `next`.",
        )
    if setting.sizes and not (procedure.sizes and set(procedure.sizes) <= set(setting.sizes)):
        yield SETTING_OF_ANOTHER_SIZE.finding(
            moment.index,
            "adjust",
            f"{setting.title} is that of {', '.join(setting.sizes)}, and the page is not for these sizes alone",
            "List under `sizes` of the page only those that the setting is of.",
        )


def _limit(moment: Moment, setting: Setting, action: act.Adjust) -> Iterator[Finding]:
    if not is_limit(moment.plant.base, setting) or nobody_changes(setting):
        return
    if at_its_value(setting, action.to):
        return
    more = lets_more_through(moment.plant.base, setting, action.to)
    if more is not False:
        yield LIMIT_LET_THROUGH.finding(
            moment.index,
            "to",
            f"{setting.title} is {setting.value}, and `{action.to}` lets more through"
            if more
            else f"nobody can tell whether {setting.title} at `{action.to}` lets more through than at {setting.value}",
            "Move it only to the side on which it trips earlier, see it trip, and put it back."
            if more
            else "Write the value with its unit, and `trips_on` at the setting in the equipment entry.",
        )


def _control(moment: Moment, setting: Setting, action: act.Adjust) -> Iterator[Finding]:
    plant = moment.plant
    device = plant.device(setting.device) if setting.device else None
    if device is None or device.role != "operating" or at_its_value(setting, action.to):
        return
    if not raised(setting, action.to):
        return
    below = (each for each in plant.settings.values() if stands_over(plant.base, each, setting))
    proved = any(
        stops_before(each, setting, action.to) and (TRIP_SEEN, each.device) in moment.state for each in below
    )
    if not proved or not action.gauge:
        yield CONTROL_ABOVE_LIMIT.finding(
            moment.index,
            "to",
            f"{setting.title} is raised from {setting.value} to `{action.to}` and "
            + ("no second gauge is named" if proved else "no limit below that was proved on this way"),
            "Name the gauge that is watched (`gauge`)."
            if proved
            else "Prove the limit that trips below it first (`prove_trip`), or leave the control where it is.",
        )


def _held(moment: Moment, action: act.Hold) -> Iterator[Finding]:
    device = moment.plant.device(action.hold)
    most = device.hold_at_most if device else None
    if device is None:
        return
    if most is None:
        yield HELD_TOO_LONG.finding(
            moment.index,
            "hold",
            f"{device.head.title} is held, and its entry does not say how long its button may be held",
            "Hold the device that has the button; or write `hold_at_most` in the entry of this one.",
        )
    elif action.for_ is None or action.for_.hi > most.hi:
        yield HELD_TOO_LONG.finding(
            moment.index,
            "for" if action.for_ else "hold",
            f"{device.head.title} may be held for {most.text} at most, and "
            + (f"is held for {action.for_.text}" if action.for_ else "nothing says for how long"),
            f"Write `for: {most.text}`, or less.",
        )
