"""The hunt on dead plant: one contact after the other with ohms, in the order that the tests of dead plant have."""

from __future__ import annotations

from dataclasses import replace

from kbgen.compose.rules import ROUTINE_MISUSED
from kbgen.compose.sheet import NEXT, Sheet, Unfit
from kbgen.compose.string import TAKEN_OUT, String, meant, string_of
from kbgen.compose.usual import TURN
from kbgen.compose.words import listed, lower
from kbgen.compute.circuit.plan import Node, Tree
from kbgen.model.circuit import Contact, Fuse, Parallel, Point, Resistor
from kbgen.model.handling import Deed
from kbgen.model.routine import HuntDead

_READS = "under 2 Ω when closed, over 100 kΩ when open"
_BLOWN = "Something behind it has drawn too much. Write it down. A bigger fuse is never the answer."
_SMALL = 0.5
"""Amperes below which a whole fuse may have some ohms of its own."""
_WEAK = "It is neither closed nor open. A contact or a terminal is bad there. Write down the two points."


def hunt_dead(sheet: Sheet, line: HuntDead) -> None:
    """Write the hunt."""
    # Ohms across two points beside each other need no return.
    places = tuple(each.id for each in sheet.plant.places)
    string = string_of(sheet, "hunt_dead", line.hunt_dead, line.size, live=False, elsewhere=places)
    variant = string.order.probing.table.variant
    told = [name for name in _labels(string) if _tells(string, name)]
    if not told:
        raise Unfit(
            ROUTINE_MISUSED,
            "hunt_dead",
            f"no contact of {line.hunt_dead} can be told with ohms behind the covers that are open here",
            "Open its cover above this line, or hunt it live.",
        )
    fuses = {
        part.fuse: ends
        for part in string.path
        if isinstance(part, Fuse) and (ends := _by_itself(string, part))
    }
    # Open is the everyday state of an operating control: whoever ends there has read all others, fuses among them.
    last = [name for name in told if _operates(string, name)]
    order = [*(name for name in told if name not in last), *fuses, *last]
    ids = [*map(sheet.id_of, order), sheet.id_of("not-shown")]
    for name, following in zip(order, ids[1:], strict=True):
        if name in fuses:
            _read_fuse(sheet, string, line, name, fuses[name], following)
        else:
            _read(sheet, string, line, name, following)
    for name in told:
        cause = "".join(f" Or fuse `{fuse}` is open. {TAKEN_OUT}" for fuse in _fuses(string, name))
        words = f"Open between {_points(string, name)}. {meant(string, [variant.contacts[name]])}{cause} Write it down."
        sheet.write(f"open.{name}", Deed(words, note_down="Open contact"), go=line.found)
    for name in fuses:
        words = f"Fuse `{name}` is open, or its holder is bad. {_BLOWN}"
        sheet.write(f"open.{name}", Deed(words, note_down="Fuse"), go=line.supply)
    sheet.write("weak", Deed(_WEAK, note_down="Bad place"), go=line.found)
    silent = [_title(string, name) for name in variant.contacts if name not in told]
    words = (
        f"Ohms do not show {listed([f'the {each}' for each in silent])}."
        if silent
        else "Every contact reads closed."
    )
    read = {*fuses, *(fuse for name in told for fuse in _fuses(string, name))}
    for part in string.path:
        if isinstance(part, Fuse) and part.fuse not in read:
            words += f" Fuse `{part.fuse}` was not read. {TAKEN_OUT}"
    sheet.write("not-shown", Deed(f"{words} Write it down.", note_down="Read closed"), go=line.made)
    for step in sheet.steps:
        step["origin"]["circuit"] = line.hunt_dead


def _read(sheet: Sheet, string: String, line: HuntDead, name: str, following: str) -> None:
    variant = string.order.probing.table.variant
    contact = variant.contacts[name]
    words = f"Meter to ohms. Leads on {_points(string, name)}, across the {_title(string, name)}."
    sheet.write(
        name,
        Deed(words, note_down=_points(string, name).replace("`", "").replace(" and ", " to ")),
        measure="ohms",
        across=contact.contact,
        reads=_READS,
        minutes=TURN,
        ask="What does the meter read?",
        outcomes=[
            {"when": "Under 2 Ω", "go": following},
            {"when": "Over 100 kΩ", "go": sheet.id_of(f"open.{name}")},
            {"when": "In between", "go": sheet.id_of("weak")},
            {"when": "Not sure", "go": line.unsure},
        ],
        **string.own,
    )


def _read_fuse(
    sheet: Sheet, string: String, line: HuntDead, name: str, ends: tuple[str, str], following: str
) -> None:
    """Write the reading across a fuse in its holder: whatever lies beside it lets nobody read it whole."""
    part = next(each for each in string.path if isinstance(each, Fuse) and each.fuse == name)
    most = 20 if part.rating is not None and part.rating.hi < _SMALL else 2
    one, other = ends
    sheet.write(
        name,
        Deed(
            f"Meter to ohms. Leads on `{one}` and `{other}`, across fuse `{name}`.",
            note_down=f"{one} to {other}",
        ),
        measure="ohms",
        at=one,
        to=other,
        reads=f"under {most} Ω when whole",
        minutes=TURN,
        ask="What does the meter read?",
        outcomes=[
            {"when": f"Under {most} Ω", "go": following},
            {"when": "More", "go": sheet.id_of(f"open.{name}")},
            {"when": "Not sure", "go": line.unsure},
        ],
        **string.own,
    )


def _by_itself(string: String, fuse: Fuse) -> tuple[str, str] | None:
    """Return the points on both sides of a fuse that can be reached, with nothing else between; `None` without them."""
    at = next(index for index, part in enumerate(string.path) if part is fuse)
    sides = [string.path[index] for index in (at - 1, at + 1) if 0 <= index < len(string.path)]
    points = [part.point for part in sides if isinstance(part, Point) and string.reached(part.point)]
    return (points[0], points[1]) if len(points) == 2 and string.beside(*points) else None


def _labels(string: String) -> list[str]:
    """Return the contacts that are read, in the order of the circuit's tests."""
    found: list[str] = []
    tree: Tree = string.order.tree
    while isinstance(tree, Node):
        found.append(string.order.probing.task.tests[tree.test].name)
        tree = dict(tree.outcomes).get("closed", tree.outcomes[0][1])
    return found


def _tells(string: String, name: str) -> bool:
    """Whether ohms across a contact tell something: not of a switch that is off, nor behind a shut valve.

    Nor where a resistor lies between the two points with it: closed, they read that.
    """
    variant = string.order.probing.table.variant
    device = variant.device(name)
    contact = variant.contacts[name]
    switched = device is None or device.guards == "demand" or contact.contact in variant.setting.opened
    ends = _between(string, contact)
    return (
        not switched
        and ends is not None
        and not any(isinstance(part, Resistor) for part in string.between(*ends))
    )


def _operates(string: String, name: str) -> bool:
    device = string.order.probing.table.variant.device(name)
    return device is not None and device.role == "operating"


def _between(string: String, contact: Contact) -> tuple[str, str] | None:
    """Return the points on both sides of a contact that one meter reaches, with no other contact between.

    Where the string is read comes before any other place: nobody walks to a box for what the panel shows.
    """
    at = next((index for index, part in enumerate(string.path) if part is contact), None)
    if at is None:
        return None
    for reach in (replace(string, elsewhere=()), string):
        before, after = _nearest(reach, at, -1), _nearest(reach, at, 1)
        if before and after and string.beside(before, after):
            return before, after
    return None


def _fuses(string: String, name: str) -> list[str]:
    """Return the fuses that ohms across a contact go through with it."""
    ends = _between(string, string.order.probing.table.variant.contacts[name])
    return [part.fuse for part in string.between(*ends) if isinstance(part, Fuse)] if ends else []


def _nearest(string: String, at: int, step: int) -> str:
    index = at + step
    while 0 <= index < len(string.path) and not isinstance(string.path[index], Contact | Parallel):
        part = string.path[index]
        if isinstance(part, Point) and string.reached(part.point):
            return part.point
        index += step
    return ""


def _points(string: String, name: str) -> str:
    ends = _between(string, string.order.probing.table.variant.contacts[name])
    return f"`{ends[0]}` and `{ends[1]}`" if ends else NEXT


def _title(string: String, name: str) -> str:
    device = string.order.probing.table.variant.device(name)
    return lower(device.head.title) if device else name
