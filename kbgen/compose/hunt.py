"""The hunt: a circuit read live, point by point, in the very order that ``kbgen order`` gives."""

from __future__ import annotations

from kbgen.compose.hunt_way import Leaf, Way, first_cover, gear, unread
from kbgen.compose.sheet import Sheet
from kbgen.compose.string import TAKEN_OUT, meant, string_of
from kbgen.compose.usual import TURN
from kbgen.compute.circuit.meter import HIGH_Z
from kbgen.compute.circuit.plan import Node, Tree
from kbgen.model.circuit import Coil, Contact, Fuse, Input, Load, Point
from kbgen.model.handling import Deed
from kbgen.model.routine import Hunt
from kbgen.model.wording import of_circuit

_FLOATS = {"ungrounded": ", and a reading to earth decides nothing here"}
_OTHER_HAND = "Keep the other hand away from metal."
_LOW = "Meter to low impedance. Red probe on `{}` again, black lead on `{}`. Then set the meter back."


def hunt(sheet: Sheet, line: Hunt) -> None:
    """Write the hunt."""
    way = Way(
        sheet, line, string_of(sheet, "hunt", line.hunt, line.size, live=True, elsewhere=line.return_at), {}
    )
    gear(way)
    way.held = _held(way)
    sheet.write(
        "held" if way.held else "lead",
        f"The black lead hangs on `{way.string.back}` since it was dead. See that it holds. {_OTHER_HAND}"
        if way.held
        else f"Clip the black lead to `{way.string.back}`. {_OTHER_HAND}",
        why=_ours(
            way, f"The whole hunt is read to one return{_FLOATS.get(way.string.circuit.supply.earthing, '')}"
        ),
        expect="A reading you do not trust decides nothing: answer Not sure.",
    )
    if line.live_because:
        sheet.steps[0]["origin"]["because"] = True
    tree = way.string.order.tree
    if not isinstance(tree, Node) or not _reaches(way, tree):
        first = way.string.order.probing.task.tests[tree.test].name if isinstance(tree, Node) else ""
        raise first_cover(way, first)
    _read(way, tree, None, None)
    for deed, leaf in way.leaves.items():
        _end(way, deed, leaf)
    for step in sheet.steps:
        step["origin"]["circuit"] = line.hunt


def _held(way: Way) -> bool:
    """Whether a lead hangs on the return already, on every way to here."""
    leads = (way.sheet.fits.get(thing.name, {}) for thing, sure in way.sheet.before.items() if sure)
    return any(each.get("clip") and each.get("at") == way.string.back for each in leads)


def _reaches(way: Way, tree: Node) -> bool:
    test = way.string.order.probing.task.tests[tree.test]
    return not test.device and way.string.reached(test.name)


def _read(way: Way, tree: Tree, full: str | None, none: str | None) -> str:
    """Write the reading of a node and all below it; return the id it begins with.

    Args:
        full: The last point that has read full.
        none: The first that has read nothing.
    """
    if not isinstance(tree, Node):
        return _found(way, full, none)
    if not _reaches(way, tree):
        test = way.string.order.probing.task.tests[tree.test]
        if none is None and not test.device:
            raise unread(way, test.name, full)
        return _found(way, full, none)
    mark = way.string.order.probing.task.tests[tree.test].name
    sheet = way.sheet
    here = len(sheet.steps)
    _measure(way, mark, full)
    below = dict(tree.outcomes)
    wholly = _read(way, below["full"], mark, none) if "full" in below else _found(way, mark, none)
    nothing = _nothing(way, below.get("none"), mark, full)
    weak = _leaf_of(way, "weak", full)
    asked = sheet.steps[here]
    if way.string.loads_low:
        asked |= {"full": wholly, "none": nothing, "some": sheet.id_of(f"{mark}.low")}
        asked = sheet.steps[here + 1]
    above = []
    if "expect" in asked and not way.string.loads_low:
        above = [{"when": f"Above {_full(way, mark)[1]:g} V", "some": _above(way, mark)}]
    asked["ask"] = "What does the meter read?"
    asked["outcomes"] = [
        {"when": "Full", "full": wholly},
        {"when": "None", "none": nothing},
        {"when": "In between", "some": weak},
        *above,
        {"when": "Not sure", "some": way.line.unsure},
    ]
    return sheet.id_of(mark)


def _above(way: Way, mark: str) -> str:
    """Read on behind a point that reads more than full: the loop is open there, or a resistor is bridged."""
    path = way.string.path
    at = next(index for index, part in enumerate(path) if isinstance(part, Point) and part.point == mark)
    ends = next(
        (index for index, part in enumerate(path) if isinstance(part, Coil | Input | Load)), len(path)
    )
    points = (part.point for part in path[at + 1 : ends] if isinstance(part, Point))
    further = next((point for point in points if way.string.reached(point)), None)
    if further is None:
        return _leaf_of(way, "bridged", mark)
    deed, sheet = f"{further}.above", way.sheet
    if deed not in sheet.deeds:
        most = _full(way, further)[1]
        words = Deed(f"Red probe on `{further}`, further on.", "", "", "", f"{further} to {way.string.back}")
        sheet.write(deed, words, measure="volts", **_where(way, further, way.string.back))
        asked = sheet.steps[-1]
        asked["ask"] = "What does the meter read?"
        asked["outcomes"] = [
            {"when": "None", "none": _found(way, mark, further)},
            # Where a loss lies between them, the first cannot read more than full.
            {"when": "Full", "full": way.line.unsure},
            {"when": f"Above {most:g} V", "some": _above(way, further)},
            {"when": "Not sure", "some": way.line.unsure},
        ]
    return sheet.id_of(deed)


def _nothing(way: Way, below: Tree | None, mark: str, full: str | None) -> str:
    if full is None:
        return _leaf_of(way, "no-supply", None)
    return _found(way, full, mark) if below is None else _read(way, below, full, mark)


def _measure(way: Way, mark: str, full: str | None) -> None:
    fields = _where(way, mark, way.string.back)
    table = way.string.order.probing.table
    port = table.points.index(mark)
    expect = ""
    if full is None:
        least, most = table.bands.supply
        fields["reads"] = f"{least:g} V to {most:g} V"
    elif not table.bands.shows_supply(HIGH_Z, port):
        # Behind a resistor full is less, and what lies above it is no full either.
        least, most = _full(way, mark)
        fields["reads"] = f"{least:g} V to {most:g} V"
        expect = (
            f"Full is {least:g} V to {most:g} V with {table.bands.volts[1]:g} V at the supply. "
            "Above that the loop carries no current."
        )
    why = "" if full else "A zero further on counts only after this one has read full"
    words = Deed(
        f"Meter in high impedance. {_probe(way, mark)}", expect, why, "", f"{mark} to {way.string.back}"
    )
    way.sheet.write(mark, words, measure="volts", **fields)
    if not way.string.loads_low:
        return
    again = Deed(_LOW.format(mark, way.string.back), note_down=f"{mark} to {way.string.back}, low impedance")
    way.sheet.write(
        f"{mark}.low",
        again,
        measure="volts",
        meter="low-impedance",
        **fields,
    )


def _probe(way: Way, mark: str) -> str:
    """Return where the probes go for a point; a hunt over several places names the return of each."""
    if not way.string.elsewhere:
        return f"Red probe on `{mark}`."
    place = way.string.lies[mark][0]
    title = next(each.title for each in way.sheet.plant.places if each.id == place)
    return f"{title}: black lead on `{way.string.back}` there, red probe on `{mark}`."


def _full(way: Way, mark: str) -> tuple[float, float]:
    """Return between which volts a point reads full at the nominal supply."""
    table = way.string.order.probing.table
    return table.bands.full(HIGH_Z, table.points.index(mark), table.bands.volts[1])


def _leaf_of(way: Way, deed: str, full: str | None) -> str:
    """Return the id of what is written once; it is written when the readings are."""
    words, go = _WORDS[deed]
    if deed == "weak" and full is None:
        deed, (words, go) = "no-supply", _WORDS["no-supply"]
    elif deed == "weak" and not way.string.loads_low:
        words = f"Part of the voltage is lost. {words.partition('. ')[2]}"
    way.leaves[deed] = Leaf(words, getattr(way.line, go))
    return way.sheet.id_of(deed)


_WORDS = {
    "no-supply": (
        "The supply or the return is missing or weak. No zero on this return counts. Treat the return as live: gloves on, "
        "red probe off first. Write it down.",
        "supply",
    ),
    "bridged": (
        "More than full, and nothing behind it is open: a resistor is bridged, or the input takes no current. Write it down.",
        "supply",
    ),
    "weak": (
        "Voltage drops under load. A contact or a terminal before this point is bad. Write down the point.",
        "found",
    ),
}


def _found(way: Way, full: str | None, none: str | None) -> str:
    """Return the id of what is said when no reading is left: made, a fuse, or open between two points."""
    if none is None or full is None:
        return way.line.made
    between = way.string.between(full, none)
    fuses = [part.fuse for part in between if isinstance(part, Fuse)]
    contacts = [part for part in between if isinstance(part, Contact)]
    if fuses and not contacts:
        several = " or fuse ".join(f"`{name}`" for name in fuses)
        words = (
            f"Fuse {several} is open. Something behind it has drawn too much. Write it down. "
            "A bigger fuse is never the answer."
        )
        every = [part.fuse for part in way.string.path if isinstance(part, Fuse)]
        deed = "fuse" if fuses[0] == every[0] else f"fuse.{fuses[0]}"
        way.leaves[deed] = Leaf(words, way.line.supply)
        return way.sheet.id_of(deed)
    deed = f"open.{full}-{none}"
    also = "".join(f" Or fuse `{name}` is open. {TAKEN_OUT}" for name in fuses)
    words = f"Open between `{full}` and `{none}`. {meant(way.string, contacts)}{also} Write it down."
    across = (full, none) if way.string.beside(full, none) else None
    way.leaves[deed] = Leaf(words, way.line.found, across)
    return way.sheet.id_of(f"{deed}.again" if across else deed)


def _end(way: Way, deed: str, leaf: Leaf) -> None:
    sheet = way.sheet
    if leaf.across is not None:
        full, none = leaf.across
        # Not across the contact: where another one is open too, nothing drives a current there, and whoever moves the
        # return's lead moves it live.
        back, other = way.string.back, way.line.unsure
        sheet.write(
            f"{deed}.again",
            Deed(f"Meter in high impedance, never low. {_probe(way, full)}", note_down=f"{full}, once more"),
            measure="volts",
            **_where(way, full, back),
            ways={"full": sheet.id_of(f"{deed}.then"), "none": other, "some": other},
        )
        sheet.write(
            f"{deed}.then",
            Deed(_probe(way, none), note_down=f"{none}, once more"),
            measure="volts",
            **_where(way, none, back),
            ways={"full": other, "none": sheet.id_of(deed), "some": other},
        )
    note = {
        "weak": "First weak point",
        "no-supply": _ours(way, "Supply to the return"),
        "bridged": "More than full at",
    }.get(deed, "Open contact")
    sheet.write(deed, Deed(leaf.words, note_down=note), go=leaf.go)


def _where(way: Way, at: str, to: str) -> dict[str, str]:
    return {**way.string.own, "at": at, "to": to, "minutes": TURN}


def _ours(way: Way, text: str) -> str:
    return of_circuit(text, way.sheet.plant.region, way.string.circuit.supply.earthing)
