"""Rules about the shape of circuits: the path is closed, no branch bypasses it, every point can be reached."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kbgen.model.circuit import (
    AnyPart,
    Circuit,
    Coil,
    Contact,
    Input,
    Load,
    Parallel,
    Point,
    Resistor,
    Tap,
    parts,
)
from kbgen.model.entry import Entry
from kbgen.position import Route, Spot
from kbgen.problems import Problem, Related
from kbgen.rule import Family
from kbgen.rules.material import Check, Material

CIRCUITS = Family(
    "Circuits",
    "Circuit theory; every reading on a page is computed from the path as described.",
    follows_names=True,
)

_LOADS = (Input, Coil, Load)


def loads_in_series(circuit: Circuit) -> list[list[AnyPart]]:
    """Return what takes the voltage on each way to the return: along the path, then along each tap.

    Each way should have one of them. A parallel group is one when every branch has one; in a tap a
    resistor alone will do.
    """
    taps = [part.tap for part in parts(circuit.path) if isinstance(part, Tap)]
    hanging = [_taking(tap, *_LOADS) or _taking(tap, Resistor)[:1] for tap in taps]
    return [_taking(circuit.path, *_LOADS), *hanging]


def _taking(path: tuple[AnyPart, ...], *kinds: type) -> list[AnyPart]:
    return [
        part
        for part in path
        if isinstance(part, kinds)
        or (isinstance(part, Parallel) and all(_taking(branch, *kinds) for branch in part.parallel))
    ]


CIRCUIT_WITHOUT_LOAD = CIRCUITS.error(
    "circuit-without-load",
    "Without a load no reading can be computed.",
    "path:\n  - {point: X3:1}\n  - {contact: door}\n  - {point: N}",
    "path:\n  - {point: X3:1}\n  - {contact: door}\n  - {point: X3:2}\n  - {input: limits}\n  - {point: N}",
    rests_on="The circuit's `path`.",
)
LOADS_IN_SERIES = CIRCUITS.warning(
    "loads-in-series",
    "A lamp or coil in the string itself takes the voltage from what stands behind it, and every "
    "reading is wrong.",
    "- {load: Limit lamp, lamp: true}\n- {input: limits}",
    "- tap:\n    - {load: Limit lamp, lamp: true}\n- {input: limits}",
    rests_on="The loads and coils of the circuit's `path`.",
)


def _loads(material: Material) -> Iterator[Problem]:
    for entry, circuit in material.base.of(Circuit):
        main, *taps = loads_in_series(circuit)
        hanging = [part for part in parts(circuit.path) if isinstance(part, Tap)]
        if not main:
            yield CIRCUIT_WITHOUT_LOAD.at(
                Spot(entry.path, ("path",), on_key=True),
                "the path has no input, coil or load; it would be a short circuit",
                "Add what the string ends in, for example `- {input: limits}`.",
            )
        for tap, loads in zip(hanging, taps, strict=True):
            if not loads:
                yield CIRCUIT_WITHOUT_LOAD.at(
                    Spot(entry.path, tap.route),
                    "the tap has no input, coil or load; it is a short circuit to the return",
                    "Add what hangs there, for example `- {load: Limit lamp, lamp: true}`. "
                    "What stands in the string itself is no tap.",
                )
        for loads in (main, *taps):
            for first, second in pairwise(loads):
                yield LOADS_IN_SERIES.at(
                    Spot(entry.path, second.route),
                    "two loads stand one behind the other and share the voltage",
                    "Put what hangs between the string and the return into a `tap:`, above the last load. "
                    "If they really share it, accept this with the reason.",
                    Related(Spot(entry.path, first.route), "the load before it"),
                )


CIRCUIT_NOT_CLOSED = CIRCUITS.error(
    "circuit-not-closed",
    "Supply and return are where the first readings are taken.",
    "path:\n  - {contact: door}\n  - {input: limits}",
    "path:\n  - {point: X3:1}\n  - {contact: door}\n  - {input: limits}\n  - {point: N}",
    rests_on="The circuit's `path`: first and last point.",
)
NOTHING_BETWEEN = CIRCUITS.warning(
    "nothing-between",
    "Most likely a contact was left out: whoever reads the table looks for an open contact that is "
    "not in it.",
    "- {point: X3:5}\n- {point: X3:6}",
    "- {point: X3:5}\n- {contact: door}\n- {point: X3:6}",
    rests_on="The circuit's `path` between two points.",
)


def _closed(material: Material) -> Iterator[Problem]:
    for entry, circuit in material.base.of(Circuit):
        path = circuit.path
        for part, what, where in ((path[0], "begin", "supply"), (path[-1], "end", "return")):
            if not isinstance(part, Point):
                yield CIRCUIT_NOT_CLOSED.at(
                    Spot(entry.path, part.route),
                    f"the path does not {what} at a terminal of the {where}",
                    f"Add the terminal where the {where} can be measured, for example `- {{point: X3:1}}`.",
                )
        for part in parts(path):
            if isinstance(part, Parallel):
                yield from _branches(entry, part)
        for before, part in pairwise(part for part in path if not isinstance(part, Tap)):
            if isinstance(before, Point) and isinstance(part, Point):
                yield NOTHING_BETWEEN.at(
                    Spot(entry.path, (*part.route, "point")),
                    f"nothing stands between terminals `{before.point}` and `{part.point}`",
                    "Put in the contact, fuse or wire that joins them; of two marks on one terminal keep one.",
                    Related(Spot(entry.path, (*before.route, "point")), "the terminal before it"),
                )


BRANCH_BYPASSES = CIRCUITS.error(
    "branch-bypasses",
    "A branch with nothing in it is a jumper that nobody ever takes out.",
    "parallel:\n  - [{contact: low-outlet}]\n  - [{wire: Bridge}]",
    "parallel:\n  - [{contact: low-outlet}]\n  - [{contact: start-timer}]",
    rests_on="The branches of the circuit's `path`.",
)


def _branches(entry: Entry, group: Parallel) -> Iterator[Problem]:
    bare = [
        index
        for index, branch in enumerate(group.parallel)
        if not any(_does_something(p) for p in parts(branch))
    ]
    if bare and len(bare) < len(group.parallel):
        yield BRANCH_BYPASSES.at(
            Spot(entry.path, (*group.route, "parallel", bare[0])),
            "this branch is a plain connection: it bypasses the contacts beside it for good",
            "Put the contact into it, or take the branch out.",
        )


def _does_something(part: AnyPart) -> bool:
    return isinstance(part, Contact | Coil | Load | Input | Resistor)


POINT_TWICE = CIRCUITS.error(
    "point-twice",
    "A reading at this mark would belong to two places.",
    "- {point: X3:5}\n- {contact: door}\n- {point: X3:5}",
    "- {point: X3:5}\n- {contact: door}\n- {point: X3:6}",
    rests_on="The points of the circuit's `path`.",
)
POINT_WITHOUT_PLACE = CIRCUITS.warning(
    "point-without-place",
    "Who does not know where the terminal is measures another one.",
    "- {point: X3:1}",
    "- {point: X3:1, place: panel}",
    rests_on="`place` of the points and of the parts beside them.",
)
COVER_ELSEWHERE = CIRCUITS.error(
    "cover-elsewhere",
    "The reader opens a cover and the terminal is not there.",
    "- {point: C1, place: water-column, cover: panel-door}",
    "- {point: C1, place: water-column, cover: float-cap}",
    rests_on="`cover` of the point and `place` of that cover.",
)


def _points(material: Material) -> Iterator[Problem]:
    for entry, circuit in material.base.of(Circuit):
        plant = material.base.equipment(circuit.equipment)
        covers = {cover.id: cover for cover in plant.covers} if plant else {}
        first: dict[str, Route] = {}
        place = ""
        for part in parts(circuit.path):
            if not isinstance(part, Point):
                continue
            earlier = first.setdefault(part.point, part.route)
            if earlier is not part.route:
                yield POINT_TWICE.at(
                    Spot(entry.path, (*part.route, "point")),
                    f"terminal `{part.point}` stands twice in the path",
                    "Give each terminal the mark it has on the panel.",
                    Related(Spot(entry.path, (*earlier, "point")), "the other one"),
                )
            place = part.place or place
            if plant and plant.places and not place:
                yield POINT_WITHOUT_PLACE.at(
                    Spot(entry.path, (*part.route, "point")),
                    f"nothing says where terminal `{part.point}` is",
                    "Give `place`; points after it are taken to be in the same place.",
                )
            cover = covers.get(part.cover)
            if cover and place and cover.place != place:
                yield COVER_ELSEWHERE.at(
                    Spot(entry.path, (*part.route, "cover")),
                    f"{cover.title} is not in the place of terminal `{part.point}`",
                    f"Give the place `{cover.place}`, or the cover that is opened there.",
                )


CHECKS: tuple[Check, ...] = (_loads, _closed, _points)
