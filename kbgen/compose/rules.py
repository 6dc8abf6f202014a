"""What can be wrong with a routine, an ending, or with what the plant's entry says for them."""

from __future__ import annotations

from dataclasses import replace

from kbgen.link.references import REFERENCES
from kbgen.rule import Family

ROUTINES = Family(
    "Routines and endings",
    "Plain practice for written work instructions; the order of isolating and of bringing back follows lockout practice.",
    "The plant's entry: what it says is written into every page that names the routine.",
)

_JUDGED = replace(ROUTINES, follows_names=True)

ROUTINE_UNKNOWN_NAME = REFERENCES.error(
    "routine-unknown-name",
    "A routine writes steps about a thing of the plant; about one that is not there it can write nothing.",
    "lock_off: [fann]",
    "lock_off: [fan]",
    safety=True,
)
PLANT_DATA_MISSING = _JUDGED.error(
    "plant-data-missing",
    "A routine takes its words, its order and its proofs from the plant's entry; it never makes them up.",
    "prove: [control]  # and the source has no `behind`",
    "sources:\n  - {id: control, title: Control supply, energy: electric, isolate: Q2, behind: panel-door}",
    safety=True,
)
ROUTINE_MISUSED = _JUDGED.error(
    "routine-misused",
    "A routine that cannot do what the line asks for would write steps that do something else.",
    "prove: [gas]  # nobody proves fuel gone in passing",
    "# the page of gas work proves it, at the section that is opened",
    safety=True,
)
LINE_LEADS_NOWHERE = ROUTINES.error(
    "line-leads-nowhere",
    "Who follows the page stands there and does not know what comes next.",
    "- {when: No, go: stop-hear}",
    "- {when: No, go: stop-here}",
    safety=True,
)
LINE_ID_TWICE = ROUTINES.error(
    "line-id-twice",
    "Two steps of one name: an answer leads to one of them, and nobody knows to which.",
    "- put_back: [all]\n# and further down again\n- put_back: [all]",
    "- put_back: [all]\n# and further down\n- {id: back-unsure, put_back: [all]}",
    safety=True,
)
RULES = (
    ROUTINE_UNKNOWN_NAME,
    PLANT_DATA_MISSING,
    ROUTINE_MISUSED,
    LINE_LEADS_NOWHERE,
    LINE_ID_TWICE,
)
