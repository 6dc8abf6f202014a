"""Readings: whether they are safe to take, and whether they tell anything."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.deciding import undecided
from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import LIVE_WORK, READINGS
from kbgen.compute.walk.ohms import comes_back, dead, lifted_at
from kbgen.compute.walk.plant import DEAD, ELECTRIC, expects_nothing
from kbgen.compute.walk.state import COVER, DEMAND, MOVING, NOTHING_READ, OFF, RUNNING, SHUT, names
from kbgen.compute.walk.strings import devices, has_load
from kbgen.model import action as act
from kbgen.model.circuit import Contact, Point


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a reading, or with what is made of an earlier one."""
    action = moment.step.action
    if isinstance(action, act.Measure | act.Watch):
        quantity = action.measure if isinstance(action, act.Measure) else action.watch
        if quantity in DEAD and isinstance(action, act.Measure):
            yield from dead(moment, action)
        elif quantity in ELECTRIC:
            yield from _live(moment, action, quantity)
    elif isinstance(action, act.Restore) and (OFF, action.restore) in moment.state:
        yield from comes_back(moment, action.restore)
    yield from undecided(moment)


VOLTS_WHILE_OFF = READINGS.hazard(
    "volts-while-off",
    "With the supply off every point reads zero, and a good contact is called open.",
    "- do: Switch Q2 off.\n  isolate: control\n- do: Read X3:5 to N.\n  measure: volts",
    "- do: Read X3:5 to N.\n  measure: volts\n- do: Switch Q2 off.\n  isolate: control",
    rests_on="`source` of the circuit and the state of that source at the reading.",
)
LIVE_READING_WITHOUT_CAUTION = READINGS.on(
    "Safety messages stand directly before the step they belong to."
).hazard(
    "live-reading-without-caution",
    "Live terminals in plant that starts by itself, and not a word about it.",
    "- do: Read X3:5 to N.\n  measure: volts",
    "- do: Read X3:5 to N.\n  cautions: [starts-by-itself]\n  measure: volts",
    rests_on="The cautions of step and page; what they say is their author's word.",
)


def _live(moment: Moment, action: act.Measure | act.Watch, quantity: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    circuit = plant.circuit_of(action)
    field = "measure" if isinstance(action, act.Measure) else "watch"
    if plant.off(state, circuit):
        if quantity == "volts" and not expects_nothing(action.reads):
            yield VOLTS_WHILE_OFF.finding(
                moment.index,
                field,
                "voltage is measured while the supply is off; every zero would look like an open contact",
                "Measure before the isolation, or say with `reads: 0 V` that you look for what should not be there.",
            )
        return
    yield from _hands(moment, action)
    if quantity == "volts":
        yield from _behind_nothing(moment, action)
    yield from _opened_on_purpose(moment, action, field)
    yield from _at_rest(moment, action, field)
    if quantity == "volts":
        if isinstance(action, act.Measure) and action.meter == "low-impedance":
            yield from _low_impedance(moment, action)
    else:
        yield from _ammeter(moment, action, field)
    if quantity == "volts" and action.across and plant.answers[moment.index]:
        yield from _across(moment, action, field)
    if not plant.warned[moment.index]:
        yield LIVE_READING_WITHOUT_CAUTION.finding(
            "caution",
            field,
            "the first live reading stands without a caution that the plant may start by itself",
            "Name the caution in `cautions`, or give one `applies_to: [live-measurement]`.",
        )


HELD_LEADS_WHILE_FIRING = READINGS.on(LIVE_WORK).hazard(
    "held-leads-while-firing",
    "A hand slips when the fan starts or the burner lights.",
    "- do: Hold the probe at X3:5.\n  measure: volts",
    "- do: Shut the burner cock.\n  shut_valve: burner-cock\n- do: Hold the probe at X3:5.\n  measure: volts",
    rests_on="`leads` of the reading, and what may start or fire while it is taken.",
)
CLIPPED_ON_LIVE = READINGS.on(LIVE_WORK).hazard(
    "clipped-on-live",
    "A clip that is put on live is a slip away from a short.",
    "measure: volts\nleads: clipped-dead  # nothing was dead before",
    "- do: Clip the leads on.\n  clip: meter-1\n  at: X3:5\n  to: N\n# release, switch on\n- do: Read.\n"
    "  measure: volts\n  at: X3:5\n  to: N\n  leads: clipped-dead",
    rests_on="`clip` before the reading, and the state of the supply when the leads went on.",
)


def _hands(moment: Moment, action: act.Measure | act.Watch) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    if action.leads == "held" and plant.can_fire(state):
        yield HELD_LEADS_WHILE_FIRING.finding(
            moment.index,
            "measure" if isinstance(action, act.Measure) else "watch",
            "leads are held at live terminals while the burner can light and the fan can start",
            "Shut the burner's fuel valve first, or clip the leads on dead (`leads: clipped-dead`) and keep clear.",
        )
    here = {action.at, action.to} - {""}
    if action.leads == "clipped-dead" and not any(
        plant.lie_at(clip, action) for _, clip in plant.clipped(state)
    ):
        where = f" at {' and '.join(sorted(here))}" if here else f" across {plant.title(action.across)}"
        yield CLIPPED_ON_LIVE.finding(
            moment.index,
            "leads" if isinstance(action, act.Measure) else "watch",
            f"the leads are to be clipped on dead, and no step on this way clips them on{where}",
            "Isolate, lock, prove dead, clip on (`clip`), then release and switch on again.",
        )


COVER_OPENS_CONTACT = READINGS.hazard(
    "cover-opens-contact",
    "The door that is opened for the reading opens the very string that is read.",
    "- do: Open the unit door.\n  open_cover: unit-door\n- do: Read behind it.\n  measure: volts",
    "- do: Read at the terminal outside, door closed.\n  measure: volts",
    rests_on="`opens` of the covers and the covers open at the reading.",
)
VALVE_OPENS_CONTACT = READINGS.hazard(
    "valve-opens-contact",
    "A shut upstream cock opens the low gas pressure contact, and it is found open.",
    "shut_valve: plant-cock\n# then volts behind the low gas pressure contact",
    "shut_valve: burner-cock\n# then volts behind the low gas pressure contact",
    rests_on="`opens` of the fuel valves and the valves shut at the reading.",
)


READ_BEHIND_NOTHING = READINGS.hazard(
    "read-behind-nothing",
    "Behind the first zero every terminal reads zero; whoever goes on there finds a good part.",
    "- id: x5\n  do: Read X3:5 to N.\n  measure: volts\n  none: x6  # further from the supply",
    "- id: x5\n  do: Read X3:5 to N.\n  measure: volts\n  none: found\n  full: x6",
    rests_on="The circuit's `path` and the readings with `none` on every way.",
)


def _behind_nothing(moment: Moment, action: act.Measure | act.Watch) -> Iterator[Finding]:
    """Yield a reading behind a terminal that read nothing and was not read again since."""
    if not moment.blamed or not action.at:
        return
    before = {part.point for part in moment.plant.upstream(action) if isinstance(part, Point)} - {action.at}
    for name in names(moment.state, NOTHING_READ):
        mark, return_ = name.split(" ", 1)
        if mark in before and return_ == action.to:
            yield READ_BEHIND_NOTHING.finding(
                (moment.index, mark),
                "at",
                f"{mark} read nothing on this way, and {action.at} lies behind it: it reads nothing too, whatever is wrong",
                f"Lead `none` at {mark} to what lies before it; read on behind it only where it read `full`.",
                clears=frozenset({(NOTHING_READ, name)}),
            )


OPEN_AT_REST = READINGS.hazard(
    "open-at-rest",
    "Behind an air switch nothing reads full while the fan stands, and a good device is taken for the fault.",
    "- do: Read behind the air switch.  # the plant stands\n  measure: volts\n  none: found",
    "- do: Turn the burner switch on.\n  start_demand: Burner switch on\n- do: Read behind the air switch.\n"
    "  measure: volts\n  none: found",
    rests_on="`sequence` of the plant (`made`, `open`, `strings_made`), `stage` of the reading and what was started.",
)


def _at_rest(moment: Moment, action: act.Measure | act.Watch, field: str) -> Iterator[Finding]:
    """Yield a reading behind a contact that only running plant makes, taken while it stands."""
    plant, state = moment.plant, moment.state
    if {(RUNNING, ""), (MOVING, ""), (DEMAND, "")} & state or _in_hand(moment) or not moment.blamed:
        return
    before = [(part.contact, part.which) for part in plant.upstream(action) if isinstance(part, Contact)]
    for name, which in sorted({*before, *([(action.across, "")] if action.across else [])}):
        device = plant.device(name)
        if device is not None and device.open_at_rest(which):
            yield OPEN_AT_REST.finding(
                (moment.index, name),
                "at" if action.at else field,
                f"{plant.title(name)} is open while the plant stands; what is read behind it tells nothing",
                "See the plant run first (`observe: start`, with `seen`), let it start (`start_demand`), or measure before that contact.",
            )


def _in_hand(moment: Moment) -> bool:
    """Return whether something of the plant was put in hand: a switch at HAND, a drive, a damper."""
    fitted = (fit for _, fit in moment.plant.fitted(moment.state))
    return any(
        fit.fit in ("hand-drive", "damper-in-hand") or (fit.fit == "changed-setting" and not fit.over)
        for fit in fitted
    )


def _opened_on_purpose(moment: Moment, action: act.Measure | act.Watch, field: str) -> Iterator[Finding]:
    """Yield readings in a string that an open cover or a shut valve has opened."""
    plant, state = moment.plant, moment.state
    before = devices(plant.upstream(action)) | ({action.across} if action.across else set())
    covers = [plant.covers[name] for name in names(state, COVER) if name in plant.covers]
    for cover in {each.id: each for each in (*covers, *plant.cover_of(action))}.values():
        opened = sorted(before & set(cover.opens))
        if opened:
            yield COVER_OPENS_CONTACT.finding(
                (moment.index, cover.id),
                "at" if action.at else field,
                f"{cover.title} is open for this reading and opens {plant.title(opened[0])} in the same string",
                "Measure at a terminal outside it with the cover closed, or dead.",
            )
    for name in names(state, SHUT):
        valve = plant.valves.get(name)
        opened = sorted(before & set(valve.opens)) if valve else []
        if valve and opened:
            yield VALVE_OPENS_CONTACT.finding(
                (moment.index, name),
                "at" if action.at else field,
                f"{valve.title} is shut and opens {plant.title(opened[0])} in the string that is measured",
                "Shut a valve behind that contact in its place, such as the burner's own cock.",
            )


AMMETER_ACROSS = READINGS.hazard(
    "ammeter-across",
    "An ammeter is a piece of wire: across a contact it is a jumper, to the return it is a short "
    "circuit in somebody's hands.",
    "measure: amps\nacross: high-limit",
    "# proved dead:\nfit: lifted-wire\nname: wire-1\nat: X3:7\n# then, clipped into its place:\n"
    "measure: amps\nat: X3:7\nto: X3:8\nleads: clipped-dead",
    rests_on="The circuit's `path` and the meter's mode in the step.",
)


def _ammeter(moment: Moment, action: act.Measure | act.Watch, field: str) -> Iterator[Finding]:
    """Yield an ammeter that lies over parts of the string instead of in the place of a lifted wire."""
    plant = moment.plant
    marks = {action.at, action.to} - {""}
    if marks & lifted_at(moment) or not (action.across or len(marks) == 2):
        return
    spanned = plant.spanned(action)
    between = devices(spanned) if spanned is not None else frozenset({action.across} - {""})
    what = plant.title(min(between)) if between else f"{action.at} and {action.to}"
    yield AMMETER_ACROSS.finding(
        moment.index,
        field,
        f"an ammeter lies across {what}: it is a piece of wire"
        if between
        else f"an ammeter lies between {what}: it is a short circuit",
        "Lift a wire dead and clip the meter into its place, use a clamp, or measure volts.",
    )


LOW_IMPEDANCE_JUMPER = READINGS.hazard(
    "low-impedance-jumper",
    "A low-impedance meter across an open contact passes enough current to make the string.",
    "measure: volts\nacross: first-low-water\nmeter: low-impedance",
    "measure: volts\nat: X3:8\nto: N\nmeter: low-impedance",
    rests_on="`low_impedance` of the meter's mode and of what stands between the two points.",
)


def _low_impedance(moment: Moment, action: act.Measure) -> Iterator[Finding]:
    plant = moment.plant
    spanned = plant.spanned(action)
    to_return = spanned is not None and (has_load(spanned) or not devices(spanned))
    if not action.across and (spanned is None or to_return):
        return
    across = sorted(devices(spanned) if spanned is not None else {action.across})
    forbidden = [name for name in across if not _allows_low(moment, name)]
    if forbidden or (plant.burns and not plant.fuel_shut(moment.state)):
        why = "which does not allow it" if forbidden else "while fuel can reach the burner"
        yield LOW_IMPEDANCE_JUMPER.finding(
            moment.index,
            "meter",
            f"a low-impedance meter lies across {plant.title((forbidden or across)[0])}, {why}: it is a jumper",
            "Measure in low impedance from the terminal to the return.",
        )


def _allows_low(moment: Moment, name: str) -> bool:
    device = moment.plant.device(name)
    return device is not None and device.low_impedance


ACROSS_WITHOUT_UPSTREAM = READINGS.hazard(
    "across-without-upstream",
    "Nothing across a contact is a closed contact, or no voltage in front of it.",
    "measure: volts\nacross: first-low-water",
    "measure: volts\nat: X3:6\nto: N\n# full? then across first-low-water",
    rests_on="A reading in front of the contact before, on every way.",
)


def _across(moment: Moment, action: act.Measure | act.Watch, field: str) -> Iterator[Finding]:
    """Yield a reading across a contact whose upstream side was not read full."""
    if not any(answer.verdict in ("full", "none") for answer in moment.plant.answers[moment.index]):
        return
    parts = moment.plant.upstream(action)
    read = {name.split(" ", 1)[0] for name in names(moment.state, "read full")}
    near = False
    for part in parts:
        if isinstance(part, Point) and part.point in read:
            near = True
        elif devices([part]):
            near = False
    if not near:
        yield ACROSS_WITHOUT_UPSTREAM.finding(
            moment.index,
            field,
            f"a reading across {moment.plant.title(action.across)} tells nothing while its upstream side was not read full",
            "Read the terminal before it to the return first.",
        )
