"""Instructions typed for a test, judged as the steps of the demonstration are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import yaml

from tests.mutants.words import Case, Words


def told(words: Words, plant: str, action: str, do: str, fits: Sequence[dict[str, Any]] = ()) -> bool:
    """Return whether anything is said of an instruction beside an action, typed as its fields are."""
    step: dict[str, Any] = {"do": do, **(yaml.safe_load(f"{{{action}}}") or {})}
    return bool(words.judge(Case("typed", plant, step, list(fits))))
