"""Figures that contradict each other: what one place says another denies, so one of the two was typed wrong."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator

from kbgen.model import action as act
from kbgen.model.caution import Caution
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment, Setting
from kbgen.model.procedure import Procedure
from kbgen.position import Route, Spot
from kbgen.problems import Problem, Related
from kbgen.quantity import Quantity, QuantityError, parse
from kbgen.ref import Kind, Ref
from kbgen.rules.circuits import CIRCUITS
from kbgen.rules.material import Check, Material
from kbgen.rules.plant import PLANT
from kbgen.schemas import leaves

_CURRENT = re.compile(r"(?<![A-Za-z])(?:V|[kmµ]V|volts?|A|mA|amps?)?\s?(AC|DC)(?![A-Za-z])", re.IGNORECASE)
_VOLTS = re.compile(r"(?<![\w.])-?[0-9]+(?:\.[0-9]+)?\s?(?:V|Vac|Vdc|VAC|VDC|volts?)(?![A-Za-z])")
_FIGURE = re.compile(r"(?<![\w.,-])-?[0-9]+(?:\.[0-9]+)?\s?[^\s\d,;()]+(?:\s(?:wc|w\.c\.|H2O|Hg))?")
_ABOVE_SUPPLY = 1.15
"""What a transformer gives without load lies within it."""
_SAME = 0.02

CURRENT_CONTRADICTS = CIRCUITS.error(
    "current-contradicts",
    "The meter is set to AC on a DC circuit and reads nothing: live looks dead.",
    "supply: {voltage: 24 V DC, current: AC}",
    "supply: {voltage: 24 V, current: DC}",
    rests_on="Words of current in the texts of the circuit, beside `current` of its supply.",
)


def _currents(material: Material) -> Iterator[Problem]:
    """Hold what stands behind the volts of a circuit, and of readings on it, against its current."""
    for entry, circuit in material.base.of(Circuit):
        said = circuit.supply.current
        for route, leaf, text in leaves(material.schemas.of(entry.ref.kind), entry.data):
            if "x-quantity" in leaf and isinstance(text, str):
                yield from _current(
                    Spot(entry.path, route), text, said, Spot(entry.path, ("supply", "current"))
                )
        plant = material.base.equipment(circuit.equipment)
        for source in plant.sources if plant else ():
            if source.id == circuit.supply.source and source.voltage:
                here = Spot(entry.path, ("supply", "current"))
                there = material.base.entries[Ref(Kind.EQUIPMENT, circuit.equipment)].path
                yield from _current(here, source.voltage.text, said, Spot(there, (*source.route, "voltage")))
    for path, route, circuit, reads in _readings(material):
        yield from _current(Spot(path, route), reads, circuit.supply.current, None)


def _current(spot: Spot, text: str, said: str, other: Spot | None) -> Iterator[Problem]:
    for found in _CURRENT.finditer(text):
        if found[1].upper() != said:
            related = [Related(other, "the other one")] if other else []
            message = f"`{text}` says {found[1].upper()}, and the circuit is fed with {said}"
            yield CURRENT_CONTRADICTS.at(spot, message, "Correct one of the two.", *related)
            return


READS_ABOVE_SUPPLY = CIRCUITS.error(
    "reads-above-supply",
    "Whoever waits for a reading that cannot come takes the sound string for open.",
    "reads: 216 V to 264 V  # on a circuit of 24 V",
    "reads: 21.6 V to 26.4 V",
    rests_on="Volts in the texts, beside the supply of the circuit they name.",
)


def _above(material: Material) -> Iterator[Problem]:
    for path, route, circuit, reads in _readings(material):
        most = circuit.supply.voltage.hi * _ABOVE_SUPPLY
        figures = [(found.group(), _quantity(found.group(), "voltage")) for found in _VOLTS.finditer(reads)]
        too_much = [text for text, volts in figures if volts and abs(volts.value) > most]
        if too_much:
            message = f"`{too_much[0]}` cannot be read on a circuit of {circuit.supply.voltage.text}"
            hint = "Correct the reading, or name the circuit it is taken on with `circuit`."
            yield READS_ABOVE_SUPPLY.at(Spot(path, route, find=too_much[0]), message, hint)


def _readings(material: Material) -> Iterator[tuple[str, Route, Circuit, str]]:
    """Yield what a step expects at the points of a circuit, with its path and route and that circuit."""
    for entry, procedure in material.base.of(Procedure):
        for step in procedure.steps:
            action = step.action
            if isinstance(action, act.Measure | act.Watch) and action.reads and (action.at or action.across):
                name = action.circuit or procedure.circuit
                circuit = material.base.circuit(name) if name else None
                quantity = action.measure if isinstance(action, act.Measure) else action.watch
                if circuit and quantity.startswith("volt"):
                    yield entry.path, (*step.route, "reads"), circuit, action.reads


# No error: a title may carry the plate's figure, and what opens a device may be said from another setting
# ("10 psi above the operating pressure"). Only a person can tell such a page from a slip.
SETTING_CONTRADICTS = PLANT.warning(
    "setting-contradicts",
    "One page says 60, the other 75, and somebody turns the screw.",
    "value: 75 °C  # title of the device: Outlet limit 60 °C",
    "value: 60 °C",
    rests_on="Figures in the texts, beside the plant's `settings`.",
)
DELAY_CONTRADICTS = PLANT.error(
    "delay-contradicts",
    "Whoever waits ten minutes for a timer of five takes it for broken.",
    "{title: Start delay, device: start-timer, quantity: time, value: 10 min}  # delay: 290 s to 310 s",
    "{title: Start delay, device: start-timer, quantity: time, value: 5 min}",
    rests_on="Minutes and seconds in the texts, beside `delay` of the device.",
)


def _settings(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        of_device: defaultdict[tuple[str, str], list[Setting]] = defaultdict(list)
        for setting in plant.settings:
            if setting.device and setting.quantity != "other":
                of_device[setting.device, setting.quantity].append(setting)
        for (name, quantity), settings in of_device.items():
            device = material.base.device(name)
            values = [(each, value) for each in settings if (value := _quantity(each.value, quantity))]
            if device is not None and values:
                yield from _delay(entry.path, device, quantity, values)
                yield from _said(entry.path, device, quantity, values)


def _delay(
    path: str, device: Device, quantity: str, values: list[tuple[Setting, Quantity]]
) -> Iterator[Problem]:
    delay = device.delay
    if delay is None or quantity != "time":
        return
    if not any(value.lo <= delay.hi and delay.lo <= value.hi for _, value in values):
        message = f"{values[0][0].value} here, and {device.head.title} takes {delay.text}"
        spot = Spot(path, (*values[0][0].route, "value"))
        yield DELAY_CONTRADICTS.at(spot, message, "Correct this value, or `delay` of the device.")


def _said(
    path: str, device: Device, quantity: str, values: list[tuple[Setting, Quantity]]
) -> Iterator[Problem]:
    """Hold the settings of a device against the figures in its title and in what opens it."""
    for text in (device.head.title, device.opens_when):
        said = [
            (found.group(), value)
            for found in _FIGURE.finditer(text)
            if (value := _quantity(found.group().rstrip(".:"), quantity))
        ]
        if said and not any(_agree(value, other) for _, value in values for _, other in said):
            message = (
                f"{values[0][0].value} here, and of {device.head.title} it says {said[0][0].rstrip('.:')}"
            )
            spot = Spot(path, (*values[0][0].route, "value"))
            yield SETTING_CONTRADICTS.at(spot, message, "Correct the one that is wrong.")
            return


VOLTAGE_CONTRADICTS = PLANT.warning(
    "voltage-contradicts",
    "The meter is set, and the clothes are chosen, by the title that everybody reads.",
    "title: Mains 230 V\nvoltage: 120 V",
    "title: Mains 230 V\nvoltage: 230 V",
    rests_on="Volts in titles and texts, beside `voltage` of the source or circuit.",
)
_NOMINAL = 0.1
"""A supply called 230 V may be one of 220 V or 240 V."""


def _titles(material: Material) -> Iterator[Problem]:
    """Hold the volts in the title of a source or circuit against its voltage."""
    for entry, plant in material.base.of(Equipment):
        for source in plant.sources:
            if source.voltage:
                yield from _titled(Spot(entry.path, (*source.route, "voltage")), source.title, source.voltage)
    for entry, circuit in material.base.of(Circuit):
        yield from _titled(
            Spot(entry.path, ("supply", "voltage")), circuit.head.title, circuit.supply.voltage
        )


def _titled(spot: Spot, title: str, voltage: Quantity) -> Iterator[Problem]:
    said = [(text, volts) for text in _VOLTS.findall(title) if (volts := _quantity(text, "voltage"))]
    room = _NOMINAL * abs(voltage.value)
    # Of a supply with a neutral, or of a transformer, a title tells two.
    if (
        said
        and "/" not in title
        and not any(volts.lo - room <= voltage.hi and voltage.lo <= volts.hi + room for _, volts in said)
    ):
        message = f"`{voltage.text}` here, and the title says {said[0][0]}"
        yield VOLTAGE_CONTRADICTS.at(spot, message, "Correct the one that is wrong.")


SIGNAL_CONTRADICTS = PLANT.warning(
    "signal-contradicts",
    "A notice is about plant only, and whoever reads one does not think of their hands.",
    "signal: NOTICE\nconsequence: Moving parts can maim a hand",
    "signal: WARNING\nconsequence: Moving parts can maim a hand",
    rests_on="`signal` of the caution, and words of injury in its `hazard` and `consequence`.",
)
_BODY = (
    "you|somebody|someone|anybody|anyone|whoever|people|persons?|hands?|fingers?|arms?|face|eyes?|skin|lungs"
)
_HARM = re.compile(
    rf"\b(?:injur(?:e|es|y|ies)|maims?|scalds?)\b"
    rf"|\b(?:kill|burn|hurt|shock|crush|cut|wound|suffocate|poison)s?\b[^.;]*?\b(?:{_BODY})\b",
    re.IGNORECASE,
)
_DENIED = re.compile(r"\b(?:no|not|nobody|none|never|without|cannot)\b", re.IGNORECASE)


def _signals(material: Material) -> Iterator[Problem]:
    """Hold the signal word of a caution against what it says of people."""
    for entry, caution in material.base.of(Caution):
        for sentence in re.split(r"[.;]\s", caution.consequence) if caution.signal == "NOTICE" else ():
            if (harm := _HARM.search(sentence)) and not _DENIED.search(sentence):
                message = f"a NOTICE is about plant only, and here a person is harmed: `{harm.group()}`"
                hint = "Use CAUTION, WARNING or DANGER, by how badly; or say what happens to the plant."
                spot = Spot(entry.path, ("consequence",), find=harm.group())
                yield SIGNAL_CONTRADICTS.at(spot, message, hint)
                break


DANGER_LOWERED = PLANT.error(
    "danger-lowered",
    "DANGER is kept for what kills if it is not avoided; below it people weigh whether to hurry.",
    "signal: WARNING\nconsequence: It has no smell and will kill.",
    "signal: DANGER\nconsequence: It has no smell and will kill.",
    rests_on="`signal` of the caution, and words of death in its `hazard` and `consequence`; not what can or may kill.",
)
_DEATH = re.compile(r"\b(?:kills?|(?:is|are|be) (?:fatal|deadly|lethal))\b", re.IGNORECASE)
_PERHAPS = re.compile(
    r"\b(?:can|could|may|might|would|if)\b[^,;]*$|\b(?:nearly|almost|nobody|none|never|not|cannot)\s+(?:\w+\s+)?$",
    re.IGNORECASE,
)
_NOBODY = re.compile(r"\s+(?:nobody|no one|none)\b", re.IGNORECASE)


def _lowered(material: Material) -> Iterator[Problem]:
    """Tell of a caution that says it kills and is not called DANGER."""
    for entry, caution in material.base.of(Caution):
        for field in () if caution.signal == "DANGER" else ("hazard", "consequence"):
            killing = next(filter(None, map(_kills, re.split(r"[.;]\s", getattr(caution, field)))), "")
            if killing:
                yield DANGER_LOWERED.at(
                    Spot(entry.path, ("signal",)),
                    f"this is a {caution.signal}, and its {field} says that it kills: `{killing}`",
                    "Use DANGER; or say that it can kill, where that is what happens.",
                    Related(Spot(entry.path, (field,), find=killing), "what it says"),
                )
                break


def _kills(sentence: str) -> str:
    death = _DEATH.search(sentence)
    if death is None or _PERHAPS.search(sentence[: death.start()]) or _NOBODY.match(sentence, death.end()):
        return ""
    return death.group()


JUMPER_CONTRADICTS = PLANT.error(
    "jumper-contradicts",
    "A page can say one of the two. Whoever reads that a jumper is allowed never learns why it must not be.",
    "may_jump: {reason: To see the burner light}\nnever_because: The coil boils dry",
    "never_because: The coil boils dry",
    rests_on="`may_jump` and `never_because` of one device.",
)


def _jumpers(material: Material) -> Iterator[Problem]:
    for entry, device in material.base.of(Device):
        if device.may_jump is not None and device.never_because:
            yield JUMPER_CONTRADICTS.at(
                Spot(entry.path, ("may_jump",), on_key=True),
                f"{device.head.title} may be jumped here, and `never_because` says why it is never",
                "Take one of the two out. In doubt take out `may_jump`.",
                Related(Spot(entry.path, ("never_because",)), "the other one"),
            )


def _agree(one: Quantity, other: Quantity) -> bool:
    room = _SAME * max(abs(one.value), abs(other.value))
    return one.lo - room <= other.hi and other.lo - room <= one.hi


def _quantity(text: str, dimension: str) -> Quantity | None:
    try:
        return parse(text, dimension)
    except QuantityError:
        return None


CHECKS: tuple[Check, ...] = (_currents, _above, _settings, _titles, _signals, _lowered, _jumpers)
