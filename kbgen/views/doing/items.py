"""What stands on the plant at a step, in words that speak of a person and a time."""

from __future__ import annotations

from collections.abc import Iterable

from kbgen.compute.walk import state as s
from kbgen.compute.walk.contract import words
from kbgen.compute.walk.nodes import HOLDS, MAY_BE_LIVE, OUTSTANDING, PROOFS, UNDER_WAY
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import Fact
from kbgen.model.action import Clip, Fit
from kbgen.model.wording import spoken

PROOF, UNDO, OWED, LIVE = "p", "u", "o", "l"
"""Proved, lost with a break; still to undo, confirmed at the place; outstanding; may be live."""

_SHORT = {
    s.LOCKED: "lock",
    s.OFF: "off",
    s.SHUT: "shut",
    s.GUARDED: "guard",
    s.CLIPPED: "lead",
    s.FITTED: "in",
    s.COVER: "cover",
    s.UNSEEN: "look",
    s.OPENING: "gas",
    s.PROVED: "dead",
    s.TRIED: "tried",
    s.SEEN_GONE: "zero",
    MAY_BE_LIVE: "live",
    UNDER_WAY + s.LOCKED: "lock?",
    UNDER_WAY + s.OFF: "off?",
    UNDER_WAY + s.SHUT: "shut?",
}


def key(plant: Plant, fact: Fact) -> str:
    """Return what a fact is called on every page: alterations and leads by the name on their tag."""
    kind, name = fact
    if kind in (s.CLIPPED, s.FITTED):
        name = tag(plant, name)
    return f"{_SHORT.get(kind, kind)}:{name}"


def tag(plant: Plant, where: str) -> str:
    """Return the name on the tag of an alteration or of leads, by the step that makes them."""
    action = plant.action_at(where)
    return action.name if isinstance(action, Fit) else action.clip if isinstance(action, Clip) else where


def shown(facts: Iterable[Fact]) -> list[Fact]:
    """Return the facts that are shown, each thing by the most that is known of how it is held."""
    all_ = frozenset(facts)
    hidden = {(s.OFF, name) for kind, name in all_ if kind in (s.LOCKED, UNDER_WAY + s.LOCKED)}
    hidden |= {(UNDER_WAY + s.OFF, name) for kind, name in all_ if kind == UNDER_WAY + s.LOCKED}
    return sorted(all_ - hidden, key=in_order)


def in_order(fact: Fact) -> tuple[int, Fact]:
    """Return what facts are put in order by: what may be live first, what is outstanding last."""
    return _rank(fact[0]), fact


_ORDER = (MAY_BE_LIVE, s.CLIPPED, s.FITTED, s.OPENING, s.COVER, s.UNSEEN, s.LOCKED, s.OFF, s.SHUT)


def _rank(kind: str) -> int:
    kind = kind.removeprefix(UNDER_WAY)
    return _ORDER.index(kind) if kind in _ORDER else len(_ORDER) + (kind in OUTSTANDING)


def describe(plant: Plant, fact: Fact) -> tuple[str, str]:
    """Return what an item is for, and its words; ``{who}`` and ``{time}`` stand for who confirmed it, and when.

    >>> PROOF, UNDO, OWED, LIVE
    ('p', 'u', 'o', 'l')
    """
    kind, name = fact
    if kind == MAY_BE_LIVE:
        return LIVE, f"{_source(plant, name)}: may be live"
    if kind in OUTSTANDING:
        return OWED, "; ".join(words(plant, [fact]))
    return (PROOF if kind in (*PROOFS, s.CLIPPED) else UNDO), _words(plant, kind, name)


def _words(plant: Plant, kind: str, name: str) -> str:
    valve = plant.valves[name].title if name in plant.valves else name
    cover = plant.covers[name].title if name in plant.covers else name
    point = plant.fuel_points[name].title if name in plant.fuel_points else name
    source = _source(plant, name)
    handle = plant.sources[name].handle if name in plant.sources else ""
    # Where a lock hangs is what stands on the switch; what it keeps away comes behind it.
    held = f"{handle} ({source})" if handle else source
    if kind in (s.FITTED, s.CLIPPED):
        return _altered(plant, name) if kind == s.FITTED else _leads(plant, name)
    return {
        s.LOCKED: f"{{who}} locked {held}, {{time}}",
        s.OFF: f"{{who}} switched {held} off, {{time}}",
        s.SHUT: f"{{who}} shut {valve}, {{time}}",
        s.GUARDED: f"{{who}} guarded {source}, {{time}}",
        s.PROVED: f"{source}: {{who}} proved it gone {{time}}, not since",
        s.TRIED: f"{source} locked: {{who}} tried to start {{time}}, not since",
        s.SEEN_GONE: f"Gas {name}: {{who}} saw no pressure {{time}}, not since".replace("  ", " ").replace(
            " :", ":"
        ),
        s.COVER: f"{cover} open since {{time}}",
        s.UNSEEN: f"{cover}: look whether it is closed",
        s.OPENING: f"Gas train open at {point} since {{time}}",
        UNDER_WAY + s.LOCKED: f"Lock on {held}: under way, may be live",
        UNDER_WAY + s.OFF: f"{held} off: under way, may be live",
        UNDER_WAY + s.SHUT: f"{valve}: under way, may be open",
    }[kind]


def _source(plant: Plant, name: str) -> str:
    return plant.sources[name].title if name in plant.sources else name


def _altered(plant: Plant, where: str) -> str:
    action = plant.action_at(where)
    if not isinstance(action, Fit):
        return where
    at = action.at or " to ".join(filter(None, (action.from_, action.to)))
    return f"{spoken(action.name)} in{f' at {at}' if at else ''} since {{time}}"


def _leads(plant: Plant, where: str) -> str:
    action = plant.action_at(where)
    if not isinstance(action, Clip):
        return where
    return (
        f"Leads {spoken(action.clip)} on {' and '.join(filter(None, (action.at, action.to)))} since {{time}}"
    )


def good(kind: str) -> bool:
    """Return whether a fact keeps or shows energy away."""
    return kind in (*PROOFS, *HOLDS)
