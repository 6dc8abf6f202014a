"""A start that the plant's entry gives for air or water alone lights nothing; any other start may."""

from __future__ import annotations

import pytest

from tests.unit.rules.cases import plant, problems_of

_COLD = "Fan alone to ON"


@pytest.mark.parametrize(
    ("started_by", "refused"),
    [
        (_COLD, False),
        (_COLD.upper(), False),
        ("Burner switch to ON", True),
        ("Fan alone to ON, then heat", True),
    ],
)
def test_fuel_comes_back_under_a_start_without_fire_and_under_no_other(
    started_by: str, refused: bool
) -> None:
    boiler = {
        **plant()["entries"]["equipment/boiler"],
        "firing": {"cold_by": _COLD, "cold": {"do": "Set the fan alone to ON."}},
    }
    steps = [
        "note",
        "tell",
        {"do": "Stop it.", "stop_demand": "Burner switch off"},
        {"do": "Shut the burner cock.", "shut_valve": "burner-cock"},
        {"do": "Start.", "start_demand": started_by},
        {"do": "Open the burner cock.", "open_valve": "burner-cock"},
        {"do": "Stop it.", "stop_demand": "Burner switch off"},
        "leave",
    ]
    content = {"equipment/boiler": boiler, "procedures/case": {"steps": steps}}
    assert ("fuel-onto-flame" in {each.rule for each in problems_of(content)}) is refused


def test_a_start_with_fire_after_one_without_may_light() -> None:
    boiler = {
        **plant()["entries"]["equipment/boiler"],
        "firing": {"cold_by": _COLD, "cold": {"do": "Set the fan alone to ON."}},
    }
    steps = [
        "note",
        "tell",
        {"do": "Stop it.", "stop_demand": "Burner switch off"},
        {"do": "Shut the burner cock.", "shut_valve": "burner-cock"},
        {"do": "Start.", "start_demand": _COLD},
        {"do": "Start with heat.", "start_demand": "Burner switch to ON"},
        {"do": "Open the burner cock.", "open_valve": "burner-cock"},
        {"do": "Stop it.", "stop_demand": "Burner switch off"},
        "leave",
    ]
    content = {"equipment/boiler": boiler, "procedures/case": {"steps": steps}}
    assert "fuel-onto-flame" in {each.rule for each in problems_of(content)}
