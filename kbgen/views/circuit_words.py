"""Faults and readings of a circuit in a technician's words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from kbgen.compute.circuit.bands import FULL, NONE, OVER, SOME
from kbgen.compute.circuit.faults import Fault, device_of
from kbgen.compute.circuit.meter import HIGH_Z, ROW, allowance
from kbgen.compute.circuit.reading import supply_mark
from kbgen.compute.circuit.readings import Table
from kbgen.compute.circuit.unsaid import unsaid
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import reach
from kbgen.model.wording import of_circuit
from kbgen.ref import Kind, Ref

_ONE = {NONE: "none", SOME: "some", FULL: "full", OVER: "over"}
CALLED = {
    bits: "anything"
    if bits == NONE | SOME | FULL | OVER
    else " or ".join(word for bit, word in _ONE.items() if bits & bit)
    for bits in range(1, 16)
}
"""How a set of words is said."""
OUTCOMES = {name: name for name in ("none", "some", "full", "over", "open", "closed")}
"""What a test shows, in the order in which it is told."""


def contact_name(base: KnowledgeBase, label: str) -> str:
    """Name a contact by its device, and by which of its contacts where it has several here."""
    device, _, which = label.partition("/")
    title = base.title(Ref(Kind.DEVICE, device))
    return f"{title}, contact {which}" if which else title


Ours = Callable[[str], str]
"""Says a text of ours as the region of a plant says it."""


def ours(table: Table) -> Ours:
    """Return what says a text of ours about a circuit in the words of its plant's region."""
    setting = table.variant.setting
    return partial(of_circuit, region=setting.plant.region, earthing=setting.circuit.supply.earthing)


def fault_name(base: KnowledgeBase, fault: Fault, say: Ours = str) -> str:
    """Say what is wrong."""
    names = [contact_name(base, label) for label in fault.where]
    what = fault.where[0] if fault.where else ""
    said = {
        "healthy": "nothing that a voltmeter can show",
        "no-supply": "no supply",
        "low-supply": "supply too low",
        "foreign": "supply of another circuit",
        "fuse": f"fuse {what}",
        "open": f"{names[0]} open" if names else "",
        "stuck": f"{names[0]} stuck closed" if names else "",
        "resistance": f"{names[0]}: bad contact" if names else "",
        "jumper": f"jumper left across {names[0]}" if names else "",
        "wire": f"wire {_run_name(base, what)}",
        "load": f"{_part_name(base, what)} failed" if what else "load or input failed",
        "return": say("return open"),
        "bridged": f"{what} bridged",
        "seal-in": f"seal-in of {_part_name(base, fault.device)} dropped out",
        "stalled": f"{what} runs and its end switch never makes",
        "ground": f"{say('earth')} fault at {what}",
        "open-pair": f"{' and '.join(names)} both open",
    }
    return said.get(fault.kind, fault.id)


def _run_name(base: KnowledgeBase, run: str) -> str:
    """Name wiring by its ends, and by its branch where there are several."""
    ends, _, branch = run.partition("/")
    return ends.replace("-", " to ", 1) + (f" ({_part_name(base, branch)})" if branch else "")


def _part_name(base: KnowledgeBase, name: str) -> str:
    """Name a coil or a branch by its device's title, anything else by what it is called already."""
    ref = Ref(Kind.DEVICE, name)
    return base.title(ref) if ref in base.entries else name


def first_upper(text: str) -> str:
    """Begin a sentence."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str], most: int) -> str:
    """Join names; of many only the first are said."""
    rest = len(names) - most
    return ", ".join(names[:most]) + (f" and {rest} more" if rest > 0 else "")


def called(table: Table, mode: str, row: int) -> tuple[int, ...]:
    """Return the words a fault can be called by at each point but the return."""
    return tuple(
        int(word)
        for mark, word in zip(table.points, table.words[ROW[mode], row], strict=False)
        if mark != table.network.back
    )


def runs(table: Table, row: Sequence[int]) -> str:
    """Say readings along the points in one line, neighbours that read alike together."""
    marks = [mark for mark in table.points if mark != table.network.back]
    if not marks:
        return ""
    if len(set(row)) == 1:
        return f"{CALLED[row[0]]} everywhere"
    said: list[str] = []
    first = 0
    for k in range(1, len(row) + 1):
        if k < len(row) and row[k] == row[first]:
            continue
        where = marks[first] if k - first == 1 else f"{marks[first]} to {marks[k - 1]}"
        said.append(f"{where} {CALLED[row[first]]}")
        first = k
    return ", ".join(said)


def where_is(table: Table, mark: str) -> str:
    """Say at which place and behind which cover a point lies; empty when the entry does not say."""
    plant = table.variant.setting.plant
    places = {place.id: place.title for place in plant.places}
    covers = {cover.id: cover.title for cover in plant.covers}
    for point, (place, cover) in reach(table.variant.path).items():
        if point.point == mark:
            said = [places.get(place, place), f"behind {covers.get(cover, cover).lower()}" if cover else ""]
            return ", ".join(filter(None, said))
    return ""


def where_device(table: Table, label: str) -> str:
    """Say where a contact's device is fitted."""
    device = table.variant.setting.base.device(device_of(label))
    places = {place.id: place.title for place in table.variant.setting.plant.places}
    return places.get(device.place, "") if device else ""


def word_lines(table: Table, *, heads: bool = False) -> list[str]:
    """Say in volts what full, none, some and a bad contact are; the same on the page, on paper and on screen.

    Args:
        heads: Whether the heads of a table say what full is already, see ``word_heads``.
    """
    bands, back = table.bands, table.network.back or ours(table)("the return")
    supply = supply_mark(table)
    within = allowance(bands.volts[1], bands.volts[1])
    least, most = bands.supply
    others = _other_fulls(table)
    said = [
        f"Read {supply} to {back} first: {least:g} V to {most:g} V." if supply else "",
        ""
        if heads
        else f"Full: within {within:g} V of what {supply or 'the supply'} reads now"
        + (f", and {bands.least_full:g} V or more." if bands.least_full else "."),
        *others,
        f"None: {bands.none_to:g} V or less. Some: between. Over: more than full"
        f"{' and than is said here' if others else ''}; hands and leads out.",
        f"A loss of {bands.loss:g} V or more is read across the contacts. Over {bands.bad_contact:g} V across"
        " a made contact is a bad contact or joint.",
    ]
    return [line for line in said if line]


def word_heads(table: Table) -> tuple[str, str]:
    """Say in short what full and none are in volts, for the heads of a table to write readings in."""
    bands, supply = table.bands, supply_mark(table)
    within = allowance(bands.volts[1], bands.volts[1])
    least = f", {bands.least_full:g} V or more" if bands.least_full else ""
    return (
        f"Full: within {within:g} V of {supply or 'the supply'}{least}",
        f"None: {bands.none_to:g} V or less",
    )


def _other_fulls(table: Table) -> list[str]:
    """Say what full is at points that lie behind a resistor."""
    bands, nominal = table.bands, table.bands.volts[1]
    found: dict[str, list[str]] = {}
    for port, mark in enumerate(table.points):
        if mark == table.network.back or bands.shows_supply(HIGH_Z, port):
            continue
        lo, hi = bands.full(HIGH_Z, port, nominal)
        more = (
            " More, up to the supply: open behind it, or what drops them is bridged."
            if _may_be_over(table, port)
            else ""
        )
        says = f"full is {lo:g} V to {hi:g} V with {nominal:g} V at the supply.{more}"
        found.setdefault(says, []).append(mark)
    return [f"{', '.join(marks)}: {says}" for says, marks in found.items()]


def _may_be_over(table: Table, port: int) -> bool:
    """Say whether an open contact behind a point leaves more there than a made string does."""
    words = table.words[ROW[HIGH_Z], :, port]
    return any(word == OVER for word, fault in zip(words, table.faults, strict=True) if fault.kind == "wire")


def stage_line(table: Table) -> str:
    """Say for which stage an order, a table or a picture is, and that another stage is another matter."""
    setting = table.variant.setting
    if setting.stage is None:
        return "For every contact made; the plant says no stage."
    if setting.state.stage not in setting.stages:
        return f"For {setting.stage.title}. The controller does not look at this circuit then."
    others = len(setting.stages) > 1
    if "stage" in unsaid(setting):
        return (
            f"For {setting.stage.title}. In another stage other contacts must be made: say the stage first."
        )
    return f"For {setting.stage.title}" + (
        " and every other stage in which it is judged." if others and not setting.asked.stage else "."
    )
