"""A caution stands in full where it begins to matter, and not on twelve steps."""

from __future__ import annotations

from pathlib import Path

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


def test_ohms_are_not_live_work(tmp_path: Path) -> None:
    assert placed(tmp_path, "  - {do: One., measure: ohms}\n", live=LIVE) == [[]]


def test_a_caution_of_another_plant_stays_away(tmp_path: Path) -> None:
    files = LIVE + "    equipment: [other]\n"
    steps = "  - {do: One., measure: volts}\n"
    assert placed(tmp_path, steps, live=files) == [[]]
