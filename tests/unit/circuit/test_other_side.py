"""The other side of a device is closed while the device is not made."""

from __future__ import annotations

from pathlib import Path

import pytest

from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State
from tests.unit.shops import compiled

PLANT = """\
    title: Plant
    sequence:
      - {id: start, title: Start, open: [air]}
      - {id: fire, title: Fire, strings_made: [run], ignored: [damper]}
      - {id: run-up, title: Run up, made: [air]}
    """
AIR = """\
    title: Air switch
    contacts:
      - {id: made, made_when: Air}
      - {id: no-air, made_when: No air, made_energised: no}
    """
CHECK = """\
    title: Air check
    equipment: plant
    supply: {voltage: 120 V, current: AC, earthing: grounded}
    path: [{point: L}, {contact: air, which: no-air}, {point: A}, {input: check}, {point: N}]
    """
RUN = """\
    title: Run
    equipment: plant
    supply: {voltage: 120 V, current: AC, earthing: grounded}
    path: [{point: L}, {contact: air, which: made}, {point: B}, {contact: damper}, {point: C}, {input: run}, {point: N}]
    """


@pytest.fixture
def base(tmp_path: Path):
    files = {
        "equipment/plant.yaml": PLANT,
        "devices/air.yaml": AIR,
        "devices/damper.yaml": "title: Damper\n",
        "circuits/check.yaml": CHECK,
        "circuits/run.yaml": RUN,
    }
    return compiled(tmp_path, files).base


def volts(base, circuit: str, mark: str, stage: str) -> tuple[float, float]:
    return readings(base, circuit, State(stage=stage), pairs=False).interval("healthy", mark)


@pytest.mark.parametrize(("stage", "full"), [("start", True), ("run-up", False)])
def test_it_reads_full_only_while_the_device_is_not_made(base, stage: str, full: bool) -> None:
    lo, hi = volts(base, "check", "A", stage)
    assert (lo > 100) if full else (hi < 20)


def test_the_string_makes_its_own_side(base) -> None:
    assert volts(base, "run", "B", "fire")[0] > 100
    assert volts(base, "check", "A", "fire")[1] < 20


def test_what_is_ignored_may_stand_either_way_although_its_string_must_be_made(base) -> None:
    lo, hi = volts(base, "run", "C", "fire")
    assert lo < 20
    assert hi > 100
