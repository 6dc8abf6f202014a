"""Routines of gas work: a section emptied and seen to stay so, a joint opened and closed, a section tested with air."""

from __future__ import annotations

from kbgen.compose.fittings import open_valve, shut
from kbgen.compose.sheet import NEXT, ON, Sheet
from kbgen.compose.words import lower, the
from kbgen.model.handling import Deed, TrainTests
from kbgen.model.routine import AirOut, AirTest, OpenJoint, Vent


def vent(sheet: Sheet, line: Vent) -> None:
    """Let the gas out of a section, and see that none comes after."""
    tests, at = _tests(sheet), _point(sheet, "vent", line.vent)
    name = f"vent-{line.vent}"
    sheet.write("on", _at(at, tests.hose), fit="open-test-point", name=name, point=line.vent, at=at)
    sheet.write("out", tests.let_out)
    sheet.write(
        "empty",
        Deed(
            f"Clamp the hose shut. Watch the pressure at {the(lower(at))}.",
            why="An open hose reads nothing even when a cock passes, and gas that comes after hides a valve that lets by",
            note_down=f"{_noted(at)} after {tests.empty_for}",
        ),
        watch="pressure", point=line.vent, for_=tests.empty_for, reads=tests.empty,
        ways={"no-pressure": ON, "pressure-left": sheet.id_of("passes")},
    )  # fmt: skip
    off = f"Take hose and manometer off. {tests.close}"
    sheet.write("off", off, undo=name, minutes="2 min", go=NEXT)
    sheet.write("passes", f"Gas still comes. Open nothing. {off}", undo=name, minutes="2 min", go=line.fails)


def open_joint(sheet: Sheet, line: OpenJoint) -> None:
    """Open a joint, do the work and close it; capped where the work is not finished."""
    joint = line.open_joint
    _point(sheet, "open_joint", joint)
    sheet.write(
        "open",
        Deed("Open the joint or part named in the work order, and no other.", "The gas detector stays quiet."),
        open_gas_train=joint, minutes="5 min",
    )  # fmt: skip
    capped = sheet.id_of("capped")
    sheet.write(
        "work",
        "Do the work. Use new gaskets and sealant fit for gas.",
        minutes="45 min",
        ask="Is the work finished and everything ready to close?",
        outcomes=[{"when": "Yes", "go": ON}, {"when": "No or not sure", "go": capped}],
    )
    closed = "Close the joint. Look for any other opening along the train."
    sheet.write("closed", closed, cap=joint, minutes="5 min", go=NEXT)
    sheet.write(
        "capped",
        "Cap or plug every opening, even for an hour.",
        cap=joint,
        minutes="5 min",
        go=line.unfinished,
    )


def air_test(sheet: Sheet, line: AirTest) -> None:
    """Hold a section under air."""
    tests, at = _tests(sheet), _point(sheet, "air_test", line.air_test)
    for joint in line.joints:
        _point(sheet, "joints", joint)
    name = f"air-{line.air_test}"
    sheet.write(
        "on",
        _at(at, Deed("Put hand pump and manometer on.", why="The shut-off valves are shut, so the air stays in one section")),
        fit="open-test-point", name=name, point=line.air_test, at=at, minutes="3 min",
    )  # fmt: skip
    sheet.write("up", tests.pump)
    fell = sheet.id_of("fell")
    sheet.write(
        "holds",
        Deed(f"Watch the manometer for {tests.hold_for}.", note_down=f"{_noted(at)} at the start and after {tests.hold_for}"),
        watch="pressure", point=line.air_test, for_=tests.hold_for, reads=tests.holds,
        ways={"within": ON, "outside": fell},
    )  # fmt: skip
    if line.joints:
        sheet.write(
            "brush",
            Deed("Brush leak fluid on every joint that was opened.", "No bubbles for one minute at each."),
            leak_check=list(line.joints), with_="air", minutes="5 min",
            ways={"tight": ON, "leaks": fell},
        )  # fmt: skip
    off = f"Let the air out. Take pump and manometer off. {tests.close}"
    sheet.write("off", off, undo=name, minutes="2 min", go=NEXT)
    sheet.write("fell", f"It is not tight. {off}", undo=name, minutes="2 min", go=line.fails)


def air_out(sheet: Sheet, line: AirOut) -> None:
    """Let air out of a section, until gas comes; the hose goes on and comes off with no gas behind the point."""
    tests, at = _tests(sheet), _point(sheet, "air_out", line.air_out)
    name = f"purge-{line.air_out}"
    valves = [each for each in sheet.plant.fuel_valves if each.stops == "all-fuel"]
    for valve in valves:
        shut(sheet, valve, f"before.{valve.id}")
    hose = Deed(tests.hose.do, why="Air left in the train puts the first flame out, or burns back into it")
    sheet.write("on", _at(at, hose), fit="open-test-point", name=name, point=line.air_out, at=at)
    for valve in valves:
        open_valve(sheet, valve, f"gas.{valve.id}")
    sheet.write(
        "out",
        Deed(
            "Hold the gas detector at the end of the hose. Let the air out until it shows gas for 10 s.",
            "Gas at the end of the hose only, and nowhere else.",
            minutes="3 min",
        ),
    )
    for valve in valves:
        shut(sheet, valve, f"after.{valve.id}")
    sheet.write("off", f"Take hose and manometer off. {tests.close}", undo=name, minutes="2 min")
    for valve in valves:
        open_valve(sheet, valve, f"again.{valve.id}")
    sheet.write(
        "tight",
        Deed(f"Brush leak fluid on {the(lower(at))}.", "No bubbles for one minute."),
        leak_check=[line.air_out],
        minutes="2 min",
        ways={"tight": ON, "leaks": line.fails},
    )


def _at(at: str, words: Deed) -> Deed:
    said = f"At {the(lower(at))}: {lower(words.do)}"
    return Deed(said, words.expect, words.why, words.minutes or "3 min", words.note_down, words.cautions)


def _tests(sheet: Sheet) -> TrainTests:
    tests = sheet.plant.train_tests
    if tests is None:
        example = "`train_tests: {hose: {do: …}, let_out: {do: …}, pump: {do: …}, …}`"
        raise sheet.missing("the top", "how its fuel train is emptied and tested with air", example)
    return tests


def _point(sheet: Sheet, field: str, name: str) -> str:
    """Return what a point of the train is called in a sentence: its title up to where it lies."""
    known = {each.id: each.title for each in sheet.plant.fuel_points}
    if name not in known:
        raise sheet.unknown(field, "fuel point", name, known)
    return known[name].partition(",")[0]


def _noted(at: str) -> str:
    """Return how a pressure is written down: by the mark of its point, where it has one."""
    last = at.rpartition(" ")[2]
    return last if any(each.isdigit() for each in last) else "Pressure"
