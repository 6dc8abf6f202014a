"""What an action is about: its target, its device, its terminals, and what its words must and must not tell."""

from __future__ import annotations

from collections.abc import Mapping

from kbgen.model import action as act
from kbgen.rules.words.clauses import is_mark
from kbgen.rules.words.names import words_of
from kbgen.rules.words.told import ALTER

_SHUT, _OPEN = frozenset(("shut", "off")), frozenset(("open", "on"))
# "Leave it open" tells nothing new beside another action, and contradicts the one that shuts it.
_STAYS_OPEN, _STAYS_SHUT = frozenset(("stay-open",)), frozenset(("stay-shut",))
# A cap that is put on may lock a cock; on a cover it shuts it.
_CLOSE, _UNCOVER = frozenset(("shut", "put-on", "off")), frozenset(("open", "take-off", "on"))
_HANDS = frozenset(("hands",))
_NOTHING = (frozenset[str](), frozenset[str]())
_MEANS: dict[type, tuple[frozenset[str], frozenset[str]]] = {
    act.ShutValve: (_SHUT, _OPEN | _STAYS_OPEN),
    act.OpenValve: (_OPEN, _SHUT | _STAYS_SHUT),
    act.CloseCover: (_CLOSE, _UNCOVER | _STAYS_OPEN),
    act.OpenCover: (_UNCOVER, _CLOSE | _STAYS_SHUT),
    act.Isolate: (_SHUT, _OPEN),
    act.Restore: (_OPEN, _SHUT),
    act.Lock: (frozenset(("lock",)), frozenset(("unlock",))),
    act.Unlock: (frozenset(("unlock",)), frozenset(("lock",))),
    act.StopDemand: (frozenset(("off",)), frozenset(("on", "start"))),
    act.StartDemand: (frozenset(("on", "start")), frozenset(("off",))),
    act.Fit: (_HANDS | {ALTER}, frozenset(("back",))),
    act.Undo: (_HANDS | {"back"}, frozenset((ALTER,))),
    act.Clip: (frozenset(("lead-on",)), frozenset(("lead-off",))),
    act.Unclip: (frozenset(("lead-off",)), frozenset(("lead-on",))),
    act.TryStart: (frozenset(("start", "on", "off")), frozenset()),
    act.Reset: (frozenset(("reset",)), frozenset()),
    act.OpenGasTrain: (frozenset(("open-gas",)), frozenset()),
    act.WorkIn: (_HANDS, frozenset()),
    act.Replace: (_HANDS, frozenset()),
}
"""What each action's words tell, and what would be its opposite."""


def wants(action: act.AnyAction | None) -> frozenset[str]:
    """Return the deeds that an action's words tell."""
    return _MEANS.get(type(action), _NOTHING)[0]


def never(action: act.AnyAction | None) -> frozenset[str]:
    """Return the deeds that would be the opposite of an action."""
    return _MEANS.get(type(action), _NOTHING)[1]


def first_point(action: act.AnyAction) -> str:
    """Return the terminal a reading is taken at, which its words have to name."""
    return action.at if isinstance(action, act.Measure | act.Watch | act.Clip) else ""


def target(action: act.AnyAction | None) -> str:
    """Return what an action is about: the value of its first field."""
    if action is None:
        return ""
    value = getattr(action, next(iter(type(action).__dataclass_fields__)))
    return value if isinstance(value, str) else ""


def show(action: act.AnyAction) -> str:
    """Write an action as the author does: ``shut_valve: burner-cock``."""
    head = next(iter(type(action).__dataclass_fields__))
    return f"{head}: {target(action)}"


def device_of(action: act.AnyAction, fits: Mapping[str, act.Fit]) -> str:
    """Return the one device that the words of an action may name."""
    match action:
        case act.Fit():
            return action.over
        case act.Undo():
            fit = fits.get(action.undo)
            return fit.over if fit else ""
        case act.Measure():
            return action.across
        case act.Reset() | act.Hold() | act.ProveTrip() | act.CheckReal() | act.FindCause() | act.Replace():
            return target(action)
    return ""


def points(action: act.AnyAction, fits: Mapping[str, act.Fit]) -> frozenset[str]:
    """Return the terminals an action names."""
    found: tuple[str, ...] = ()
    match action:
        case act.Measure() | act.Watch() | act.Clip():
            found = (action.at, action.to)
        case act.Fit():
            found = (action.from_, action.to)
        case act.Undo() if action.undo in fits:
            found = (fits[action.undo].from_, fits[action.undo].to)
        case act.Guard():
            found = tuple(word for word in words_of(action.with_, fold=False) if is_mark(word))
        case act.ProveDead():
            found = tuple(
                word for pair in action.between for word in words_of(pair, fold=False) if is_mark(word)
            )
    return frozenset(mark for mark in found if mark)
