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
    Waiver("gas reading left out", "ph-return-to-service", "Nobody touched gas or air on this job; where somebody did, it is owed."),
    Waiver("restore before it is closed", "restore=alarm", "The leads lie in a circuit that this source does not feed."),
    Waiver("open valve too early", "upstream-wire", "The demand is off, and the valve whose wire is off stays shut; the start is refused."),
    Waiver("find cause left out", "lockout", "The shop lets a lockout be reset once without its cause."),
)  # fmt: skip


def waived(kind: str, change: str) -> str:
    """Return why a missed change hurts nobody; empty where it does."""
    return next((each.because for each in WAIVED if each.kind == kind and each.where in change), "")
