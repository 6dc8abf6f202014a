"""Changes that hurt nobody by the reading of the rules' author, each with its reason; the others' generator stays as it is.

What is waived and refused all the same counts as refused. Only what is missed is taken out of the count, and told.
"""

from __future__ import annotations

from typing import NamedTuple


class Waiver(NamedTuple):
    """Missed changes that are no danger.

    Attributes:
        kind: Name of the kind.
        where: Piece of the change's name; empty for all of the kind.
        because: Why nobody is hurt.
    """

    kind: str
    where: str
    because: str


_TOLD = "Everybody was told on arrival what starts, and no hands were in since."
_LIVE = "A panel is opened live for every live reading; the entry says that nothing reaches the hand there."
_ASKED = "Who goes on himself from the page before asked and compared there; a colleague is refused."
_OWN_TEST = "The page itself made it trip and wrote down what it showed before."
_CARRIED = (
    "Nothing of it is lost: what others left goes on to the page that brings energy back, and that one asks."
)
_ON = "It is on by then; the line is there for whoever comes with it off."
_NO_CONTACT = (
    "No contact lies before that point: what is less than full calls the electrician, and nothing is blamed."
)
_UNTOUCHED = "Nobody touched gas or air on this job; where somebody did, it is owed."
_STAYS_OFF = "Nothing is reset behind it, and the heater stays off."
WAIVED = (
    Waiver("prove dead without a known source", "", "The page asks for a known source before and after in any case."),
    Waiver("open cover before it is off", "box-cover", _LIVE),
    Waiver("open cover before it is off", "front", _LIVE),
    Waiver("open cover before it is off", "panel-door", _LIVE),
    Waiver("identify behind the first deed", "behind open_cover", _LIVE),
    Waiver("start too early", "before inform", _TOLD),
    Waiver("try start too early", "before inform", _TOLD),
    Waiver("restore before lock or people", "before inform", _TOLD),
    Waiver("arrival look left out", "identify: ", _ASKED),
    Waiver("arrival look left out", "smell: ", _ASKED),
    Waiver("question left out", "[smell: ", _ASKED),
    Waiver("ohms before the proof", "mah-find-open-contact-dead", "Proved dead on the page before by the same person."),
    Waiver("record behind its loss", "behind reset", _OWN_TEST),
    Waiver("start again and again", "sb-prove-combustion-air", "The fuel is shut: the fan starts, and no gas comes."),
    Waiver("gas reading left out", "ph-return-to-service", _UNTOUCHED),
    Waiver("gas reading left out", "prove-flame", _UNTOUCHED),
    Waiver("air supply not seen", "prove-flame", _UNTOUCHED),
    Waiver("unclip all but one", "td-make-safe", _CARRIED),
    Waiver("hand over without the leads", "make-safe", _CARRIED),
    Waiver("hand over without the leads", "td-prove-trips", "No page before it leaves a lead on, and it clips none on."),
    Waiver("arrival look left out", "all-locked", _ASKED),
    Waiver("identify left out", "mah-power-on", _ASKED),
    Waiver("identify left out", "sb-leak-check", _ASKED),
    Waiver("no cause leads on", "mah-prove-outlet", _OWN_TEST),
    Waiver("no cause leads on", "zellick-change-flow-switch", _STAYS_OFF),
    Waiver("find the cause of another", "zellick-change-flow-switch", _STAYS_OFF),
    Waiver("find cause behind the reset", "lockout", "The shop lets a lockout be reset once without its cause."),
    Waiver("in between decides", "[hunt-m2", _NO_CONTACT),
    Waiver("in between decides", "t19", _NO_CONTACT),
    Waiver("unlock another source", "sb-season-start [steam-bring-back", _ON),
    Waiver("restore left out", "sb-season-start [steam-bring-back", _ON),
    Waiver("open another valve", "sb-season-start [steam-bring-back", _ON),
    Waiver("record left out", "tests/kb/good/routines", "That plant shows nothing, and its lockout stays stored."),
    Waiver("record behind its loss", "tests/kb/good/routines", "That plant shows nothing, and its lockout stays stored."),
    Waiver("record without the display", "tests/kb/good/routines", "That plant shows nothing, and its lockout stays stored."),
    Waiver("close cover behind power", "lint-door-leaf", "Nothing starts before it is shut again: the start is refused with it open."),
    Waiver("end leads to a page that needs it safe", "td-prove-flame", "That page isolates, locks and proves by itself."),
    Waiver("hand over too early", "td-leave-safe", "Every page that leads here has gas and plug locked."),
    Waiver("restore before it is closed", "restore=alarm", "The leads lie in a circuit that this source does not feed."),
    Waiver("open valve too early", "upstream-wire", "The demand is off, and the valve whose wire is off stays shut; the start is refused."),
    Waiver("no cause leads on", "=lockout]", "The shop lets a lockout be reset once without its cause."),
    Waiver("open cover while it fires", "panel-door", _LIVE),
    Waiver("unlock left out", "sb-season-start [steam-bring-back", _ON),
    Waiver("answers swapped", "mah-prove-outlet", "It asks whether the plant runs again; where it does not, no trip can be seen, and the page stops."),
    Waiver("find cause left out", "lockout", "The shop lets a lockout be reset once without its cause."),
)  # fmt: skip


def waived(kind: str, change: str) -> str:
    """Return why a missed change hurts nobody; empty where it does."""
    return next((each.because for each in WAIVED if each.kind == kind and each.where in change), "")
