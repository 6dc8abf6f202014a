"""A start that the plant's entry gives for air or water alone lights nothing; any other start may."""

from __future__ import annotations

import pytest

from tests.unit.rules.cases import plant, problems_of

_COLD = "Fan alone to ON"


def _fuel_back_under(*starts: str) -> bool:
    """Return whether fuel that comes back after these starts is refused."""
    boiler = {
        **plant()["entries"]["equipment/boiler"],
        "firing": {"cold_by": _COLD, "cold": {"do": "Set the fan alone to ON."}},
    }
    steps = [
        "note",
        "tell",
        {"do": "Stop it.", "stop_demand": "Burner switch off"},
        {"do": "Shut the burner cock.", "shut_valve": "burner-cock"},
        *({"do": "Start.", "start_demand": each} for each in starts),
        {"do": "Open the burner cock.", "open_valve": "burner-cock"},
        {"do": "Stop it.", "stop_demand": "Burner switch off"},
        "leave",
    ]
    content = {"equipment/boiler": boiler, "procedures/case": {"steps": steps}}
    return "fuel-onto-flame" in {each.rule for each in problems_of(content)}


@pytest.mark.parametrize("started_by", [_COLD, _COLD.upper()])
def test_fuel_may_come_back_under_a_start_without_fire(started_by: str) -> None:
    assert not _fuel_back_under(started_by)


@pytest.mark.parametrize(
    "starts", [("Burner switch to ON",), (f"{_COLD}, then heat",), (_COLD, "Burner switch to ON")]
)
def test_fuel_comes_back_under_no_other_start(starts: tuple[str, ...]) -> None:
    assert _fuel_back_under(*starts)
