"""Procedures for tests of the walk, on the plant of the rule cases."""

from __future__ import annotations

from typing import Any

from kbgen.compute.walk import Walk, walk
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.ref import Kind, Ref
from tests.unit.rules.cases import entries_of, linked


def procedure(content: Any, **head: Any) -> tuple[KnowledgeBase, Entry]:
    """Link a procedure of these steps, a plain string being one of the snippets; or of these entries over the plant's."""
    base, problems = linked(entries_of(content, head))
    assert problems == []
    return base, base.entries[Ref(Kind.PROCEDURE, "case")]


def walked(steps: list[Any], **head: Any) -> Walk:
    """Walk a procedure of these steps."""
    return walk(*procedure(steps, **head))


def question(step_id: str, *outcomes: tuple[str, str], **more: Any) -> dict[str, Any]:
    """Write a step with a question."""
    return {
        "id": step_id,
        "do": "Look.",
        "ask": "What is it?",
        "outcomes": [{"when": when, "go": go} for when, go in outcomes],
        **more,
    }
