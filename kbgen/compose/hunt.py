"""The hunt: a circuit read live, point by point, in the very order that ``kbgen order`` gives."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kbgen.compose.ledger import COVER
from kbgen.compose.rules import PLANT_DATA_MISSING, ROUTINE_MISUSED
from kbgen.compose.sheet import USUAL, Sheet, Unfit
from kbgen.compose.words import lower
from kbgen.compute.circuit.order import Order, order
from kbgen.compute.circuit.plan import Node, Tree
from kbgen.compute.circuit.state import State, UnknownName
from kbgen.compute.circuit.variant import fitted_path
from kbgen.model.circuit import AnyPart, Circuit, Contact, Fuse, Parallel, Point, parts, reach, return_mark
from kbgen.model.handling import Deed
from kbgen.model.routine import Hunt

_ASKS_FOR_MORE = 400.0
"""Volts from which a plant's entry must say what live work behind a cover needs."""
_LOW = "Meter to low impedance. Red probe on `{}` again, black lead on `{}`. Then set the meter back."


@dataclass(frozen=True, slots=True)
class _Leaf:
    """What a hunt ends with: what is said, where it leads, and the points it is read across once more."""

    words: str
    go: str
    across: tuple[str, str] | None = None


@dataclass(slots=True)
class _Way:
    """A hunt under way.

    Attributes:
        lies: Place and cover of each point.
        open: Covers that are open on every way to here.
        leaves: What is written once for all ways to it, by its deed.
    """

    sheet: Sheet
    line: Hunt
    circuit: Circuit
    path: tuple[AnyPart, ...]
    order: Order
    back: str
    lies: dict[str, tuple[str, str]]
    open: frozenset[str]
    leaves: dict[str, _Leaf]


def hunt(sheet: Sheet, line: Hunt) -> None:
    """Write the hunt."""
    circuit = sheet.base.circuit(line.hunt)
    if circuit is None or circuit.equipment != sheet.plant_id:
        own = [entry.ref.id for entry, each in sheet.base.of(Circuit) if each.equipment == sheet.plant_id]
        raise sheet.unknown("hunt", "circuit", line.hunt, own)
    way = _start(sheet, line, circuit)
    _gear(way)
    sheet.write(
        "lead",
        f"Clip the black lead to `{way.back}`. Keep the other hand away from metal.",
        why="The whole hunt is read to one return",
    )
    tree = way.order.tree
    if not isinstance(tree, Node) or not _reaches(way, tree):
        first = way.order.probing.task.tests[tree.test].name if isinstance(tree, Node) else ""
        raise _first_cover(way, first)
    _read(way, tree, None, None)
    for deed, leaf in way.leaves.items():
        _end(way, deed, leaf)


def _start(sheet: Sheet, line: Hunt, circuit: Circuit) -> _Way:
    try:
        found = order(sheet.base, line.hunt, State(size=line.size or _fullest(sheet, circuit)))
    except UnknownName as unknown:
        message, _, hint = str(unknown).partition(". ")
        raise Unfit(ROUTINE_MISUSED, "size", message, hint or "Write a size of the plant.") from unknown
    setting = found.probing.table.variant.setting
    path = fitted_path(setting, circuit)
    back = return_mark(path)
    if not back:
        raise Unfit(
            PLANT_DATA_MISSING,
            "hunt",
            f"{line.hunt} has no point behind its load to read to",
            f"Give circuits/{line.hunt}.yaml a `point` at the end of its path: the return.",
        )
    if any(isinstance(part, Parallel) for part in path):
        raise Unfit(
            ROUTINE_MISUSED,
            "hunt",
            f"{line.hunt} has parts side by side, which no hunt goes along",
            "Write the readings yourself, in the order of `kbgen order`.",
        )
    lies = {part.point: where for part, where in reach(path).items()}
    opened = frozenset(thing.name for thing, sure in sheet.before.items() if thing.kind == COVER and sure)
    return _Way(sheet, line, circuit, path, found, back, lies, opened, {})


def _fullest(sheet: Sheet, circuit: Circuit) -> str:
    """Return the size of the page that has most parts of a circuit: an order for it fits the others too."""
    sizes = sheet.procedure.sizes or tuple(each.id for each in sheet.plant.sizes)
    if not sizes:
        return ""
    return max(
        sizes,
        key=lambda size: (sum(_has(sheet, part, size) for part in parts(circuit.path)), -sizes.index(size)),
    )


def _has(sheet: Sheet, part: AnyPart, size: str) -> bool:
    if part.sizes and size not in part.sizes:
        return False
    device = sheet.base.device(part.contact) if isinstance(part, Contact) else None
    return device is None or not device.sizes or size in device.sizes


def _reaches(way: _Way, tree: Node) -> bool:
    """Whether a point can be read from where the return is clipped, with the covers as they are."""
    test = way.order.probing.task.tests[tree.test]
    if test.device:
        return False
    place, cover = way.lies[test.name]
    return place == way.lies[way.back][0] and (not cover or cover in way.open)


def _first_cover(way: _Way, mark: str) -> Unfit:
    cover = way.lies.get(mark, ("", ""))[1]
    return Unfit(
        ROUTINE_MISUSED,
        "hunt",
        f"the first point of {way.line.hunt}, {mark or 'none'}, is not open to a probe on every way to this line",
        f"Write `- open: [{cover}]` above it." if cover else "Give its points a `place` and a `cover`.",
    )


def _gear(way: _Way) -> None:
    """Say why it is read live, and what stands behind the open covers and asks of whoever reads there."""
    why = _why_live(way)
    for cover in way.sheet.plant.covers:
        if cover.id not in way.open or not any(where == cover.id for _, where in way.lies.values()):
            continue
        highest = max((volts for volts in _volts_behind(way, cover.id)), default=0.0)
        words = cover.words.live
        if words is None and highest >= _ASKS_FOR_MORE:
            raise way.sheet.missing(
                f"cover `{cover.id}`",
                f"what live readings behind it need, where {highest:g} V stand",
                "`words: {live: {do: who may, what is worn, which meter, whether alone}}`",
            )
        if words is not None:
            way.sheet.write(f"{cover.id}.live", words, why=why, minutes=words.minutes or USUAL)
            why = ""
    if why:
        way.sheet.write("live", "Meter on volts AC, whole leads, one hand.", why=why)


def _why_live(way: _Way) -> str:
    """Return why dead plant does not do; where it does, the author has to say."""
    if way.line.live_because:
        return way.line.live_because
    devices = [way.sheet.base.device(part.contact) for part in way.path if isinstance(part, Contact)]
    silent = [lower(each.head.title) for each in devices if each is not None and each.dead_state != "closed"]
    if not silent:
        raise Unfit(
            ROUTINE_MISUSED,
            "hunt",
            f"every contact of {way.line.hunt} can be told with ohms on dead plant, which is the safer way",
            "Hunt it dead, or say with `live_because` why that does not do.",
        )
    return f"Dead plant does not show the {' and the '.join(dict.fromkeys(silent))}"


def _volts_behind(way: _Way, cover: str) -> Iterator[float]:
    for source in way.sheet.plant.sources:
        if source.electric and source.voltage is not None and source.behind == cover:
            yield source.voltage.hi
    yield way.circuit.supply.voltage.hi


def _read(way: _Way, tree: Tree, full: str | None, none: str | None) -> str:
    """Write the reading of a node and all below it; return the id it begins with.

    Args:
        full: The last point that has read full.
        none: The first that has read nothing.
    """
    if not isinstance(tree, Node) or not _reaches(way, tree):
        return _found(way, full, none)
    mark = way.order.probing.task.tests[tree.test].name
    sheet = way.sheet
    here = len(sheet.steps)
    _measure(way, mark, full)
    below = dict(tree.outcomes)
    wholly = _read(way, below["full"], mark, none) if "full" in below else _found(way, mark, none)
    nothing = _nothing(way, below.get("none"), mark, full)
    weak = _leaf_of(way, "weak", full)
    low = sheet.id_of(f"{mark}.low")
    sheet.steps[here] |= {"full": wholly, "none": nothing, "some": low}
    repeat = sheet.steps[here + 1]
    repeat["outcomes"] = [
        {"when": "Full", "full": wholly},
        {"when": "None", "none": nothing},
        {"when": "In between", "some": weak},
        {"when": "Not sure", "some": way.line.unsure},
    ]
    return sheet.id_of(mark)


def _nothing(way: _Way, below: Tree | None, mark: str, full: str | None) -> str:
    if full is None:
        return _leaf_of(way, "no-supply", None)
    return _found(way, full, mark) if below is None else _read(way, below, full, mark)


def _measure(way: _Way, mark: str, full: str | None) -> None:
    fields = _where(way, mark, way.back)
    if full is None:
        least, most = way.order.probing.table.bands.supply
        fields["reads"] = f"{least:g} V to {most:g} V"
    why = "" if full else "A zero further on counts only after this one has read full"
    words = Deed(
        f"Meter in high impedance. Red probe on `{mark}`.", why=why, note_down=f"{mark} to {way.back}"
    )
    way.sheet.write(mark, words, measure="volts", **fields)
    again = Deed(_LOW.format(mark, way.back), note_down=f"{mark} to {way.back}, low impedance")
    way.sheet.write(
        f"{mark}.low",
        again,
        measure="volts",
        meter="low-impedance",
        ask="What does the meter read?",
        **fields,
    )


def _leaf_of(way: _Way, deed: str, full: str | None) -> str:
    """Return the id of what is written once; it is written when the readings are."""
    words, go = _WORDS[deed]
    if deed == "weak" and full is None:
        deed, (words, go) = "no-supply", _WORDS["no-supply"]
    way.leaves[deed] = _Leaf(words, getattr(way.line, go))
    return way.sheet.id_of(deed)


_WORDS = {
    "no-supply": (
        "The supply or the return is missing or weak. No zero on this return counts. Write it down.",
        "supply",
    ),
    "weak": (
        "The voltage breaks down under load. A contact or a terminal before this point is bad. Write down the point.",
        "found",
    ),
}


def _found(way: _Way, full: str | None, none: str | None) -> str:
    """Return the id of what is said when no reading is left: made, a fuse, or open between two points."""
    if none is None or full is None:
        return way.line.made
    between = _between(way, full, none)
    fuse = next((part for part in between if isinstance(part, Fuse)), None)
    if fuse is not None:
        words = (
            f"Fuse `{fuse.fuse}` is open. Something behind it has drawn too much. Write it down. "
            "A bigger fuse is never the answer."
        )
        way.leaves["fuse"] = _Leaf(words, way.line.supply)
        return way.sheet.id_of("fuse")
    deed = f"open.{full}-{none}"
    contacts = [part for part in between if isinstance(part, Contact)]
    words = f"Open between `{full}` and `{none}`. {_meant(way, contacts)} Write it down."
    way.leaves[deed] = _Leaf(words, way.line.found, (full, none))
    return way.sheet.id_of(f"{deed}.again")


def _between(way: _Way, full: str, none: str) -> list[AnyPart]:
    marks = [part.point if isinstance(part, Point) else "" for part in way.path]
    one, other = marks.index(full), marks.index(none)
    return list(way.path[one:other])


def _meant(way: _Way, contacts: list[Contact]) -> str:
    if not contacts:
        return "Only wires and terminals lie between them."
    said = []
    for contact in contacts:
        device = way.sheet.base.device(contact.contact)
        if device is None:
            raise Unfit(
                PLANT_DATA_MISSING,
                "hunt",
                f"{way.line.hunt} has a contact of {contact.contact}, which has no entry",
                f"Write devices/{contact.contact}.yaml.",
            )
        said.append(device.found_open or f"That is the {lower(device.head.title)}, or its wires.")
    return " ".join(said)


def _end(way: _Way, deed: str, leaf: _Leaf) -> None:
    sheet = way.sheet
    if leaf.across is not None:
        full, none = leaf.across
        words = f"Read once more another way: black lead on `{full}`, red probe on `{none}`."
        ways = {"full": sheet.id_of(deed), "none": way.line.unsure, "some": way.line.unsure}
        fields = _where(way, none, full)
        said = Deed(words, note_down=f"{full} to {none}")
        sheet.write(f"{deed}.again", said, measure="volts", **fields, ways=ways)
    note = {"weak": "First weak point", "no-supply": "Supply to the return"}.get(deed, "Open contact")
    sheet.write(deed, Deed(leaf.words, note_down=note), go=leaf.go)


def _where(way: _Way, at: str, to: str) -> dict[str, str]:
    own = way.line.hunt == way.sheet.procedure.circuit
    where = {} if own else {"circuit": way.line.hunt}
    return {**where, "at": at, "to": to, "minutes": USUAL}
