"""What a verdict says: one place for the command, the pages and, as shipped data, the helper in the browser."""

from __future__ import annotations

CAUTION = (
    "Live work: only who is qualified for it, burner fuel shut, by the shop's procedure, the maker's"
    " instructions and local codes. An open safety contact is not a fault until it is known not to be"
    " doing its job; not sure counts as real."
)
"""Stands beside every verdict."""

WARNINGS = {
    "jumps": "A low-impedance meter across an open safety contact is itself a jumper: not while fuel is on.",
    "dead": "The supply reads nothing: prove the meter on a known live source, then read the supply to earth"
    " and to another return before you believe it. A dead reading is not proof of dead.",
    "off": "The supply is off: volts now only prove dead or find back-feed. Ohms have an order of their own.",
}
"""What has to be minded about readings, by what is the matter."""

REASONS = {
    "supply": "A zero counts only while the supply reads full.",
    "doubt": "A middle reading decides nothing until repeated in low impedance.",
    "order": "Tells most of what is left apart for its minutes.",
    "fixed": "The next of the fixed order.",
    "only-across": "Only the meter across it tells these apart.",
    "across": "Full across it: the contact is open. Nothing across it: its wiring is.",
    "load": "A bad contact shows only under load.",
}
"""Why a test comes next."""
