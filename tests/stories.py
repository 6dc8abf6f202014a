"""Readings that were once judged wrongly, and what must be said of them: on the command line and on the page alike."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Story:
    """A technician's readings.

    Attributes:
        readings: As typed behind ``--at``.
        verdict: What ``kbgen locate`` calls it.
        says: What both say.
        left: What the command lists as possible with nothing against it, and how the page names it.
        never: What stands in neither.
    """

    circuit: str
    stage: str
    readings: tuple[str, ...]
    verdict: str
    says: tuple[str, ...] = ()
    left: tuple[tuple[str, str], ...] = ()
    never: tuple[str, ...] = ("is made as far as read",)


STOPPED = ("STOP. {} reads 230 V.", "nobody works here", "prove dead every conductor")
STORIES = {
    "31 V lost": Story(
        "sb-limits",
        "start-check",
        ("T19=119", "T27=88"),
        "unclear",
        says=("31 V are lost between T19 and T27: a bad joint or contact.",),
    ),
    "31 V lost, again in low impedance": Story(
        "sb-limits",
        "start-check",
        ("T19=119", "T27=88", "T27=86:lowz"),
        "unclear",
        says=("are lost between T19 and T27: a bad joint or contact.", "Volts are lost on the way to it."),
        left=(("resistance:sb-first-low-water", "bad contact"),),
    ),
    "a contact found open": Story(
        "sb-limits",
        "start-check",
        ("T19=119", "T24=118.8", "T25=0.3", "T27=0.1", "T25=0.2:lowz", "T27=0.1:lowz"),
        "unclear",
        says=("The volts end between T24 and T25.",),
        left=(("open:sb-high-steam-pressure", "High steam pressure limit open"),),
    ),
    "fuse found": Story(
        "td-heat",
        "start-check",
        ("D1=208.5", "D1=209:lowz", "D2=0.8", "D2=1.2:lowz", "D3=0.5", "D3=0.4:lowz"),
        "found",
        says=(
            "Found: Fuse",
            "Before a part is changed, confirm it on the dead plant",
            "A blown fuse has a cause",
        ),
        never=("both open", "No further reading tells more."),
    ),
    "open as it must be": Story(
        "sb-running",
        "standby",
        ("T19=119", "T51=0.1", "T20=119:lowz", "T19=119:lowz", "T20=119:lowz"),
        "unclear",
        says=(
            "Fan starter auxiliary contact, Combustion air proving switch must be open.",
            "Read it in another stage, in which the circuit is judged: Fan start",
        ),
    ),
    "the whole supply before an open contact behind a resistor": Story(
        "ph-string",
        "pump-start",
        ("J24=24", "J7=24", "J8=24"),
        "unclear",
        left=(("bridged:End-of-line resistor", "End-of-line resistor bridged"),),
    ),
    "a supply too low for the input": Story(
        "sb-limits",
        "start-check",
        ("T19=82", "T27=82"),
        "unclear",
        says=("The supply itself reads too low. Read it at its source, and under load.",),
    ),
    "230 V at the supply": Story(
        "sb-limits",
        "start-check",
        ("T19=230",),
        "foreign",
        says=(STOPPED[0].format("T19"), *STOPPED[1:]),
        never=("next:", "Next:"),
    ),
    "230 V at the far end": Story(
        "sb-limits",
        "start-check",
        ("T19=119", "T27=230"),
        "foreign",
        says=(STOPPED[0].format("T27"), *STOPPED[1:]),
        never=("next:", "Next:"),
    ),
    "a bridged resistor": Story(
        "ph-string",
        "",
        ("J24=24", "J9=23.5"),
        "unclear",
        left=(("bridged:End-of-line resistor", "End-of-line resistor bridged"),),
    ),
    "the air check before the fan starts": Story(
        "sb-air-check",
        "start-check",
        ("T19=119", "T55=118.8"),
        "unclear",
        left=(("made, as far as read", "Nothing that a voltmeter can show"),),
        never=("stuck:", "stuck closed", "jumper", "is made as far as read"),
    ),
    "full before, nothing behind": Story(
        "sb-limits",
        "start-check",
        ("T19=119", "T26=118.8", "T27=0"),
        "unclear",
        says=("The volts end between T26 and T27.",),
        left=(("open:sb-second-low-water", "Second low-water cutoff open"),),
    ),
}
"""By what they tell of."""
CALLED = ("sound", "good", "OK", "healthy")
"""Words that stand in no verdict: the best a voltmeter can say is "made"."""
