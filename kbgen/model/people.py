"""Who a page is for, and who may change a setting."""

from __future__ import annotations

WHO: dict[str, str] = {
    "technician": "A trained technician",
    "licensed-gas": "Only a person licensed for gas work",
    "licensed-electric": "Only a person licensed for electrical work",
    "lead-technician": "Only the lead technician",
    "operator": "The operator of the plant",
}
"""Each value of ``who`` and how a page says it."""

NOBODY = "nobody"
"""One more for a setting: fixed, or changed nowhere on site."""

_ALL = frozenset(WHO)
_MAY = {"operator": _ALL, "technician": _ALL - {"operator"}, NOBODY: frozenset[str]()}


def may_change(changed_by: str, who: str) -> bool:
    """Return whether the person a page is for may change a setting; anybody where nothing is said.

    >>> may_change("technician", "licensed-gas"), may_change("lead-technician", "technician")
    (True, False)
    """
    return not changed_by or who in _MAY.get(changed_by, {changed_by})
