"""Changes that make a procedure unsafe, each with the reason why.

A kind looks for the places where its change is unsafe whatever else the procedure says, and makes one
mutant for each. None of them looks at the rules: what is unsafe is said here in its own words, and all
that is known of the plant comes from ``tests/mutants/site.py``.
"""

from __future__ import annotations

from tests.mutants.dangers import alterations, gas, leaving, readings, resets, supply, table
from tests.mutants.kinds import Kind

KINDS: list[Kind] = [
    *supply.KINDS,
    *readings.KINDS,
    *alterations.KINDS,
    *gas.KINDS,
    *resets.KINDS,
    *leaving.KINDS,
    *table.KINDS,
]
