"""What a verdict says: one place for the command, the pages and, as shipped data, the helper in the browser."""

from __future__ import annotations

CAUTION = (
    "Live work: qualified persons only, burner fuel shut off, to the shop's procedure, the maker's"
    " instructions and local codes. An open safety contact is not a fault until it is known not to be"
    " doing its job; not sure counts as real."
)
"""Stands beside every verdict."""

WARNINGS = {
    "jumps": "A low-impedance meter across an open safety contact is itself a jumper: not while fuel is on.",
    "dead": "The supply reads nothing: prove the meter on a known live source, then read the supply to earth"
    " and to another return before you believe it. A dead reading is not proof of dead.",
    "off": "The supply is off: volts now only prove dead or find back-feed. Ohms have an order of their own.",
    "turns": "It comes and goes. Watch it at one point, and ask what moved, warmed or shook meanwhile.",
    "fed": "Nothing before and full behind can also be the supply of another circuit. Until you know, take"
    " every conductor there as live.",
    "seal": "The seal-in may simply have dropped out: that is normal at rest. Ask in which stage the plant is.",
    "low": "The supply itself reads too low. Read it at its source, and under load.",
}
"""What has to be minded about readings, by what is the matter."""
FIRST = ("dead", "low")
"""Of these, what is said before anything else: all that follows hangs on the supply."""

FOREIGN = {
    "over": "This is more than the supply of this circuit can give.",
    "above": "This is more than what feeds this string now.",
    "other-current": "Volts of the other kind of current stand here.",
    "polarity": "A minus on direct current: the leads, the polarity or the return are the wrong way round.",
}
"""Why a reading fits no fault of the circuit."""
STOP = (
    "Hands and leads out. Put a guard or a person before the open cover; nobody works here.",
    "Our isolators may not reach it. Find the feed from the drawing or from the building's people.",
    "The qualified electrician isolates it. Then prove dead every conductor.",
)
"""What is done when a reading fits no fault, and all that is done."""

MADE = "Every contact between {first} and {last} is made as far as read."
MADE_BESIDE = "But not told of: {names}. Another way beside it hides an open contact or a worn one."
MADE_NEXT = (
    "Look for wires that do not belong: one across a contact reads the same.",
    "A welded contact reads the same too. Ask which contacts were last proved to open, and when.",
    "Then ask when it stops: cold, hot, at high fire, in rain.",
)
"""What a voltmeter can say at best, and what follows."""
FOUND_NEXT = (
    "Write the readings down. Then switch off, lock and prove dead.",
    "Before a part is changed, confirm it on the dead plant: with ohms, or by eye.",
    "A blown fuse has a cause, and an open contact may be right to be open. Find that first.",
)
"""What follows where one group is left: the last step of every search."""
NO_MORE = (
    "No further reading tells more.",
    "Write the readings down, make it safe, then look at what is listed, the likeliest first.",
)
"""What is said where a search ends without one group."""
AS_MEANT = "It reads as it must: as the plant stands, {names} must be open."
AS_MEANT_OPENED = "A cover that is off or a valve that is shut opens it. Put that right, then read again."
AS_MEANT_ELSE = "Or look at another circuit."
"""What is said where a contact is open because it should be, and what is done then."""

ENDS = "The volts end between {upper} and {lower}."
"""Where along the string it reads full and then nothing."""
EITHER_WAY = "In this stage nobody says how {names} must stand. What lies behind cannot be told."
EITHER_WAY_THEN = "Read it in another stage, in which the circuit is judged: {stages}."
"""What is said where no more can be told as a contact may stand either way."""
HANGS_ON = (
    "All of this hangs on {port} alone. Find {port} anew by the drawing, and let a second person read it"
    " with another meter."
)
HANGS_THEN = "If it reads the same: {names}."
"""What is said instead of a finding that one misread place would overturn, and what it would be."""
ANEW = "Found anew by the drawing, read by a second person with another meter"
"""What is ticked beside such a reading."""
UNEXPLAINED = "Nothing that is left explains it: one reading was wrong, or it comes and goes."
"""What is said of a reading that is not counted and fits nothing."""

UNCOUNTED = {
    "again": "It was read again later; the later one counts.",
    "anew": "Found anew, the place reads otherwise.",
    "ghost": "A middle reading may be a ghost. Repeat it in low impedance to the return.",
    "zero": "A zero counts only while the supply reads full to the same return.",
    "across": "Across a contact this counts only while the point before it is fed.",
    "other-current": "It is of the other kind of current and tells nothing of this supply.",
}
"""Why a reading is not counted."""

REASONS = {
    "supply": "A zero counts only while the supply reads full.",
    "doubt": "A middle reading decides nothing until repeated in low impedance.",
    "doubt-across": "A middle reading across decides nothing. Repeat it, leads newly put on.",
    "order": "Tells most of what is left apart for its minutes.",
    "fixed": "The next of the fixed order.",
    "only-across": "Only the meter across it tells these apart.",
    "across": "Full across it: the contact is open. Nothing across it: its wiring is.",
    "load": "A bad contact shows only under load.",
    "drop": "Volts are lost on the way to it.",
    "drop-across": "Volts are lost here: read what the contact itself drops.",
    "confirm": "Another way to the same answer, before anybody changes a part.",
    "third": "It read otherwise when it was taken again. Two of three decide.",
    "repeat": "Leads newly put on, and the return first: a clip off the return makes every reading wrong.",
    "settle": "It settles which of the readings was wrong.",
    "anew": "Other hands, another meter, the place found anew: what they read decides.",
}
"""Why a test comes next."""
