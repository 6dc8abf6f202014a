"""The words of the interface about actions: the questions a page asks by itself, and its answers.

One module, so that another language or region is one more set of these tables.
"""

from __future__ import annotations

NOT_SURE = "Not sure"
OR_NOT_SURE = "{}, or not sure"

QUESTIONS: dict[str, str] = {
    "identify": "Are they all the same?",
    "prove_dead": "Is every pair dead, and did the meter read on the known source before and after?",
    "prove_gone": "Is it gone, as its proof says?",
    "try_start": "Did nothing start?",
    "leak_check": "Is every point tight?",
    "prove_trip": "Did it trip, and did the burner stop?",
    "check_real": "Is the device doing its job?",
    "find_cause": "Is the cause found and mended?",
    "observe": "Was all of it as it should be?",
    "volts": "What does the meter read?",
    "pressure": "Is the pressure gone?",
    "within": "Is it within what is right?",
}
"""Asked where the author asks nothing, by head key or by the quantity that is read."""

ANSWERS: dict[str, str] = {
    "same": "All the same",
    "different": "Not all the same",
    "dead": "Dead, and the meter read both times",
    "live": "Not dead, or the meter did not read",
    "gone": "Gone",
    "still-there": "Still there",
    "tight": "Tight",
    "leaks": "Not tight",
    "tripped": "Tripped",
    "not-tripped": "Did not trip",
    "cause-mended": "Found and mended",
    "cause-left": "Found, not yet mended",
    "not-found": "Not found",
    "seen": "All of it seen",
    "not-seen": "Not all of it",
    "real": "Real: it was right to open",
    "faulty": "Faulty: it had no reason to open",
    "full": "Full",
    "none": "Nothing",
    "some": "In between",
    "no-pressure": "No pressure",
    "pressure-left": "Pressure left",
    "within": "Within",
    "outside": "Outside",
}
"""What a verdict word reads as on the page."""
