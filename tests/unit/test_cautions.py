"""A caution stands in full where it begins to matter, and not on twelve steps."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

import pytest

from kbgen.compute.cautions import place_cautions
from tests.unit.shops import compiled

LIVE = """\
    title: Live circuit
    signal: WARNING
    hazard: Bare terminals are live.
    consequence: Shock.
    avoid: One hand.
    applies_to: [live-measurement]
    """


def placed(root: Path, steps: str, top: str = "", **cautions: str) -> list[list[tuple[str, bool]]]:
    files = {f"cautions/{name.replace('_', '-')}.yaml": text for name, text in cautions.items()}
    files["procedures/find.yaml"] = f"title: Find\n{top}steps:\n{steps}"
    base = compiled(root, files).base
    procedure = base.procedure("find")
    assert procedure is not None
    return [[(each.ref.id, each.brief) for each in step] for step in place_cautions(base, procedure)]


def test_it_stands_once_before_the_first_step_it_is_about(tmp_path: Path) -> None:
    steps = "  - do: Look.\n  - {do: One., measure: volts}\n  - {do: Two., measure: volts}\n"
    assert placed(tmp_path, steps, live=LIVE) == [[], [("live", False)], []]


def test_a_step_that_names_it_again_gets_a_reminder(tmp_path: Path) -> None:
    steps = "  - {do: One., measure: volts}\n  - {do: Two., measure: volts, cautions: [live]}\n"
    assert placed(tmp_path, steps, live=LIVE) == [[("live", False)], [("live", True)]]


def test_one_that_stands_before_step_1_is_only_a_reminder_later(tmp_path: Path) -> None:
    steps = "  - {do: One., measure: volts, cautions: [live]}\n"
    assert placed(tmp_path, steps, "cautions: [live]\n", live=LIVE) == [[("live", True)]]


def test_danger_stands_above_warning_whoever_is_named_first(tmp_path: Path) -> None:
    deadly = LIVE.replace("WARNING", "DANGER").replace("    applies_to: [live-measurement]\n", "")
    steps = "  - {do: One., measure: volts, cautions: [live, zinc]}\n"
    assert placed(tmp_path, steps, live=LIVE, zinc=deadly) == [[("zinc", False), ("live", False)]]


def test_ohms_are_not_live_work(tmp_path: Path) -> None:
    assert placed(tmp_path, "  - {do: One., measure: ohms}\n", live=LIVE) == [[]]


def test_a_caution_of_another_plant_stays_away(tmp_path: Path) -> None:
    step = "steps: [{do: One., measure: volts}]\n"
    files = {f"equipment/{name}.yaml": f"title: {name}\n" for name in ("ours", "other")}
    files |= {
        f"cautions/of-{name}.yaml": dedent(LIVE) + f"equipment: [{name}]\n" for name in ("ours", "other")
    }
    base = compiled(
        tmp_path, {**files, "procedures/find.yaml": f"title: Find\nequipment: [ours]\n{step}"}
    ).base
    (found,) = place_cautions(base, base.procedure("find"))  # type: ignore[arg-type]
    assert [each.ref.id for each in found] == ["of-ours"]


@pytest.mark.parametrize(
    ("step", "situation"),
    [
        ("isolate: mains", "isolating"),
        ("lock: mains", "isolating"),
        ("prove_dead: mains", "live-measurement"),
        ("restore: mains", "restoring"),
        ("open_cover: door", "opening-covers"),
        ("open_gas_train: plug", "gas-train-open"),
        ("shut_valve: cock", "gas-valve"),
        ("fit: lifted-wire, name: wire-8", "temporary-alteration"),
        ("reset: controller", "reset"),
        ("start_demand: Thermostat up", "firing"),
        ("measure: ohms", "dead-measurement"),
        ("measure: amps", "live-measurement"),
        ("watch: volts", "live-measurement"),
        ("observe: full-cycle", "firing"),
    ],
)
def test_each_kind_of_step_gets_the_caution_about_it(tmp_path: Path, step: str, situation: str) -> None:
    plant = """\
        title: Plant
        sources: [{id: mains, title: Mains, energy: electric, isolate: Q1}]
        places: [{id: panel, title: Panel}]
        covers: [{id: door, title: Door, place: panel}]
        fuel_valves: [{id: cock, title: Cock}]
        """
    files = {
        "equipment/plant.yaml": plant,
        "cautions/this.yaml": LIVE.replace("live-measurement", situation),
        "procedures/find.yaml": f"title: Find\nequipment: [plant]\nsteps: [{{do: One., {step}}}]\n",
    }
    base = compiled(tmp_path, files).base
    procedure = base.procedure("find")
    assert procedure is not None
    (found,) = place_cautions(base, procedure)
    assert [each.ref.id for each in found] == ["this"]


def test_what_a_step_opens_or_switches_off_brings_its_cautions_whoever_words_it(tmp_path: Path) -> None:
    alone = dedent(LIVE).replace("applies_to: [live-measurement]\n", "")
    plant = """\
        title: Ours
        places: [{id: panel, title: Panel}]
        sources: [{id: mains, title: Mains, energy: electric, voltage: 230 V, isolate: Q1, prove: Pairs, cautions: [of-mains]}]
        covers: [{id: door, title: Door, place: panel, cautions: [of-door]}]
        fuel_valves: [{id: cock, title: Cock, stops: all-fuel, cautions: [of-cock]}]
        """
    steps = (
        "  - {do: One., isolate: mains}\n  - {do: Two., open_cover: door}\n  - {do: Three., open_valve: cock}\n"
        "  - {do: Four., shut_valve: cock}\n  - {do: Five., open_cover: door}\n"
    )
    files = {f"cautions/{name}.yaml": alone for name in ("of-mains", "of-door", "of-cock")}
    files |= {"equipment/ours.yaml": plant}
    files |= {"procedures/find.yaml": f"title: Find\nequipment: [ours]\nsteps:\n{steps}"}
    base = compiled(tmp_path, files).base
    found = place_cautions(base, base.procedure("find"))  # type: ignore[arg-type]
    assert [[each.ref.id for each in step] for step in found] == [
        ["of-mains"],
        ["of-door"],
        ["of-cock"],
        [],
        [],
    ]
