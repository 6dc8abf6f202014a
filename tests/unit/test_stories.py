"""The stories of readings on the command line."""

from __future__ import annotations

import json
import re

import pytest

from kbgen.cli import main
from kbgen.cli.circuit import read_readings
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z
from kbgen.compute.circuit.reading import Reading
from tests.shared import DEMONSTRATION
from tests.stories import CALLED, STORIES, Story


def typed(story: Story) -> list[str]:
    stage = ["--stage", story.stage] if story.stage else []
    return ["locate", story.circuit, *stage, *(w for r in story.readings for w in ("--at", r))]


@pytest.mark.parametrize("name", STORIES)
def test_the_command_answers_rightly(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    story = STORIES[name]
    main([*typed(story), "--kb", str(DEMONSTRATION)])
    told = capsys.readouterr().out
    main([*typed(story), "--kb", str(DEMONSTRATION), "--json"])
    found = json.loads(capsys.readouterr().out)
    assert found["verdict"] == story.verdict
    for phrase in story.says:
        assert phrase in told, told
    listed = told.partition("\nLive work")[0]
    for phrase in story.never:
        assert phrase not in listed, told
    standing = {row["fault"] for row in found["remaining"] if not row["against"]}
    for fault, _ in story.left:
        assert (fault if ":" in fault else "healthy") in standing
        assert fault in listed or fault.startswith("resistance")
    for word in CALLED:
        assert not re.search(rf"\b{word}\b", listed), told


def test_a_typed_reading_says_the_mode_and_whether_other_hands_took_it() -> None:
    typed_so = ["X1:1=118", "D2=1.2:lowz", "D2=none:anew", "D2=1:lowz:anew"]
    assert read_readings(typed_so, "--at") == [
        Reading("X1:1", 118, HIGH_Z),
        Reading("D2", 1.2, LOW_Z),
        Reading("D2", "none", HIGH_Z, anew=True),
        Reading("D2", 1, LOW_Z, anew=True),
    ]
