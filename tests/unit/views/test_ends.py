"""What a page says where it ends: the words of a label, and no tag to hang for whoever leaves in danger."""

from __future__ import annotations

from kbgen.model import action as act
from kbgen.model.procedure import Procedure
from kbgen.pipeline import Compiled
from kbgen.views.blocks import Steps
from kbgen.views.card import Card
from kbgen.views.procedure import procedure_page


def test_ends_say_their_label_and_who_leaves_in_danger_is_asked_for_no_tag(demonstration: Compiled) -> None:
    base, walks = demonstration.base, demonstration.walks
    labels = evacuated = 0
    for entry, procedure in base.of(Procedure):
        ends = [
            (at, step.action) for at, step in enumerate(procedure.steps) if isinstance(step.action, act.End)
        ]
        page = procedure_page(base, entry, procedure, walks)
        blocks = [block for section in page.sections for block in section.blocks]
        steps = {
            step.number: step for block in blocks if isinstance(block, Steps | Card) for step in block.steps
        }
        for at, end in ends:
            said = repr(steps[at + 1].details)
            if end.end == "evacuated":
                evacuated += 1
                assert "tag" not in said, entry.ref
            if end.label:
                labels += 1
                assert all(words in said for words in (end.label, end.notice, end.tell)), entry.ref
    assert evacuated > 20
    assert labels > 0
