"""What an action names stands in the step, once: in the instruction, or in a line of its own."""

from __future__ import annotations

import pytest

from kbgen.model.procedure import Procedure
from kbgen.views.procedure import procedure_page
from tests.unit.walk.procedures import procedure


@pytest.mark.parametrize(
    ("do", "action", "label"),
    [
        ("Tell the painters that it stops.", {"inform": "Painters and workshop lead"}, "Tell"),
        ("Tell painters and workshop lead.", {"inform": "Painters and workshop lead"}, None),
        ("Turn `S1` to ON.", {"start_demand": "S1 to ON, S2 to OFF"}, "How"),
        ("Turn `S1` to **ON**, `S2` to OFF.", {"start_demand": "S1 to ON, S2 to OFF"}, None),
        ("Turn `S1` to ON.", {"stop_demand": "S1 to OFF"}, "How"),
        ("Read the plates.", {"identify": "Same number on panel and cock"}, "Right is"),
        ("Stay at the boiler.", {"hand_over": "Licensed electrician, with the list"}, "To"),
        ("Look at it.", {"inspect": "Gauge glass"}, "Look at"),
        (
            "Turn the screw.",
            {"adjust": "high-limit", "from": "90 psi", "to": "95 psi", "gauge": "Header"},
            "Watch",
        ),
    ],
)
def test_a_word_that_the_instruction_lacks_brings_its_line(
    do: str, action: dict[str, str], label: str | None
) -> None:
    base, entry = procedure([{"do": do, **action}, "leave"])
    assert isinstance(entry.record, Procedure)
    page = procedure_page(base, entry, entry.record, {})
    first = next(block for part in page.sections for block in part.blocks if hasattr(block, "steps")).steps[0]
    labels = [row.label for row in first.details if row.label not in ("Why", "Setting")]
    assert labels == ([label] if label else [])
