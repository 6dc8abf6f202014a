"""Words of a step against the entry of the device it is about."""

from __future__ import annotations

from typing import Any

import pytest

from tests.mutants.words import Case, Words


def _told(words: Words, plant: str, step: dict[str, Any]) -> bool:
    return bool(words.judge(Case("entry", plant, step, [])))


@pytest.mark.parametrize(
    ("when", "told"),
    [
        ("Slowly, but it stands well above the mark in the end", True),
        ("At once, well above the mark, and it swings", False),
        ("Not slowly, well above the mark", False),
    ],
)
def test_what_the_own_check_calls_real_is_not_faulty(words: Words, when: str, told: bool) -> None:
    step = {
        "do": "Watch the water come back.",
        "check_real": "sb-first-low-water",
        "ask": "How does it come back?",
        "outcomes": [{"when": when, "faulty": "a"}, {"when": "Low, or not sure", "real": "b"}],
    }
    assert _told(words, "ondrel-sb", step) is told


@pytest.mark.parametrize(
    ("do", "told"),
    [
        ("Clip the new fuse of 184 °C on.", True),
        ("Clip the new fuse of 150 °C on.", False),
        ("Clip the new fuse on.", False),
        ("Clip the new fuse on, water below 3 bar.", False),
    ],
)
def test_a_new_part_has_the_figure_of_its_entry(words: Words, do: str, told: bool) -> None:
    assert _told(words, "zellick-ph", {"do": do, "replace": "ph-thermal-fuse"}) is told
