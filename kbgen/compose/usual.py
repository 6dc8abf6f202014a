"""How long a step takes whose author does not say: what everybody's hands take for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

TURN = "1 min"
"""A turn of a handle, a padlock, a look."""
_USUAL = {
    **dict.fromkeys(("isolate", "lock", "unlock", "restore", "shut_valve", "open_valve"), TURN),
    **dict.fromkeys(("open_cover", "close_cover", "inspect", "find_cause"), TURN),
    **dict.fromkeys(("record", "inform", "observe", "fit"), "2 min"),
    "hand_over": "10 min",
}
"""By the head key of the action. A reading, a proof or a trip takes what its plant needs, and says so."""


def usual(step: Mapping[str, Any]) -> str:
    """Return how long a step usually takes; empty where nobody can say."""
    return next((minutes for key, minutes in _USUAL.items() if key in step), "")
