"""Did you mean: only what could be meant, and never the opposite."""

from __future__ import annotations

import pytest

from kbgen.nearest import nearest


@pytest.mark.parametrize(
    ("word", "choices"),
    [
        ("sb-low-gas-pressure", ["sb-high-gas-pressure"]),
        ("sb-upstream-valve-closed", ["sb-downstream-valve-closed"]),
        ("sb-first-low-water", ["sb-second-low-water"]),
        ("low-water", ["first-low-water", "second-low-water"]),
        ("inlet-sensor", ["outlet-sensor"]),
        ("valve-open", ["valve-shut"]),
        ("sb-3", ["sb-4"]),
        ("F22", ["F23", "F21"]),
        ("E-31", ["E-13"]),
        ("mah-fan-switch", ["mah-fan-contactor"]),
        ("td-exhaust-limit", ["td-cabinet-limit"]),
        ("left-door", ["right-door"]),
        ("door-x", ["door-a", "door-b"]),
    ],
)
def test_another_thing_is_never_proposed(word: str, choices: list[str]) -> None:
    assert nearest(word, choices) is None


@pytest.mark.parametrize(
    ("word", "choices", "meant"),
    [
        ("frist-low-water", ["first-low-water", "second-low-water"], "first-low-water"),
        ("hihg-gas", ["high-gas", "low-gas"], "high-gas"),
        ("upsteam-cock", ["upstream-cock", "downstream-cock"], "upstream-cock"),
        ("lowwater", ["low-water", "low-gas"], "low-water"),
        ("limit-opened", ["limit-open"], "limit-open"),
        ("pannel-door", ["panel-door"], "panel-door"),
        ("contrl", ["control"], "control"),
        ("LIMITS NOT MAED", ["LIMITS NOT MADE"], "LIMITS NOT MADE"),
        ("gas-valve", ["gas-valves"], "gas-valves"),
        ("Sb_3", ["sb-3", "sb-4"], "sb-3"),
    ],
)
def test_a_slip_of_the_finger_is(word: str, choices: list[str], meant: str) -> None:
    assert nearest(word, choices) == meant
