"""The table of what a step does, in the words a reviewer reads when it comes or goes.

Every action of ``kbgen/model/action.py`` has a row, and every field of it a place: in what the deed is, among what is
compared beside it, or left to the words of the step.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from kbgen.model import action as act
from kbgen.quantity import QuantityError, parse
from kbgen.review.change import Weight
from kbgen.review.texts import compared

LESS, SAFER, OPEN, WORDS = Weight.LESS_SAFE, Weight.SAFER, Weight.UNDECIDED, Weight.WORDS
Weigh = Callable[[str, str], Weight]
"""Weighs a value that is another now."""


def _seconds(text: str) -> float | None:
    try:
        return parse(text, "time").value
    except QuantityError:
        return None


def shorter_is_worse(before: str, after: str) -> Weight:
    """Weigh a time that protects: a wait, a watch."""
    one, other = _seconds(before), _seconds(after)
    if one is None or other is None:
        return LESS if one is not None else SAFER if other is not None else OPEN
    return LESS if other < one else SAFER if other > one else WORDS


def longer_is_worse(before: str, after: str) -> Weight:
    """Weigh a time in which something is held against its will."""
    return {LESS: SAFER, SAFER: LESS}.get(weight := shorter_is_worse(before, after), weight)


def by_words(before: str, after: str) -> Weight:
    """Weigh a text."""
    if not after:
        return LESS
    return compared(before, after) if before else SAFER


def figure(before: str, after: str) -> Weight:
    """Weigh a value that is right or wrong, neither safer by being more nor by being less."""
    return OPEN if not (before and after) else Weight.FIGURE


def span(text: str) -> tuple[float, float] | None:
    """Return the least and the greatest of a reading in its base unit; nothing for what is no plain quantity."""
    for dimension in ("voltage", "resistance", "current"):
        try:
            found = parse(text, dimension)
        except QuantityError:
            continue
        return found.lo, found.hi
    return None


def wider_is_worse(before: str, after: str) -> Weight:
    """Weigh between which values a reading counts as right: what lets more pass, and shuts nothing out, is less safe."""
    one, other = span(before), span(after)
    wider = (
        one is not None and other is not None and one != other and other[0] <= one[0] and one[1] <= other[1]
    )
    return LESS if wider else figure(before, after)


def from_to(safe: str, other: str) -> Weigh:
    """Weigh a choice of two of which one is the safer."""

    def weigh(before: str, after: str) -> Weight:
        return (
            LESS if (before, after) == (safe, other) else SAFER if (after, before) == (safe, other) else OPEN
        )

    return weigh


@dataclass(frozen=True, slots=True)
class Deed:
    """One row.

    Attributes:
        says: What the page does; ``{isolate}`` stands for the title of what the field names.
        is_: The fields that make it this deed and no other, beside its head.
        beside: The fields that are compared where the deed is in both versions, each in words and with its weight.
        left: The fields that the words of the step say as well, or that only name.
        gone: The weight when the page does it no longer.
        new: The weight when the page does it now.
        fact: The kind of fact it brings about; where that is told to be missing, the deed tells it.
    """

    says: str
    is_: tuple[str, ...] = ()
    beside: dict[str, tuple[str, Weigh]] = field(default_factory=dict)
    left: tuple[str, ...] = ()
    gone: Weight = LESS
    new: Weight = SAFER


def _exposes(
    says: str, is_: tuple[str, ...], beside: dict[str, tuple[str, Weigh]] | None = None, *left: str
) -> Deed:
    """Return the row of a deed that puts somebody or the plant at more risk."""
    return Deed(says, is_, beside or {}, left, gone=SAFER, new=LESS)


def _goes_on(
    says: str, is_: tuple[str, ...], beside: dict[str, tuple[str, Weigh]] | None = None, *left: str
) -> Deed:
    """Return the row of a deed of which more or less is neither safer nor less safe by itself."""
    return Deed(says, is_, beside or {}, left, gone=OPEN, new=OPEN)


_READ = {
    "meter": ("the meter stands at", from_to("low-impedance", "high-impedance")),
    "leads": ("the leads are", from_to("clipped-dead", "held")),
    "reads": ("is expected to read", wider_is_worse),
}
DEEDS: dict[type, Deed] = {
    act.Identify: Deed("makes sure that it is the right plant", (), {"identify": ("by", by_words)}),
    act.Record: Deed("notes the evidence ({record})", ("record",)),
    act.Isolate: Deed("isolates {isolate}", ("isolate",)),
    act.Lock: Deed("locks {lock}", ("lock",)),
    act.ProveDead: Deed(
        "proves {prove_dead} dead",
        ("prove_dead",),
        {"known_source": ("the meter is checked on", by_words)},
        ("between",),
    ),
    act.ProveGone: Deed(
        "proves {prove_gone} gone",
        ("prove_gone",),
        {"by": ("is shown by", by_words), "point": ("is read at", figure)},
    ),
    act.Unlock: _goes_on("takes the lock off {unlock}", ("unlock",)),
    act.Restore: _goes_on("brings {restore} back", ("restore",)),
    act.TryStart: Deed(
        "tries a start with everything locked off", (), {"try_start": ("is tried by", by_words)}
    ),
    act.OpenCover: _goes_on("opens {open_cover}", ("open_cover",)),
    act.CloseCover: Deed("closes {close_cover}", ("close_cover",)),
    act.Guard: Deed("covers {guard}, which stays live", ("guard",), {"with_": ("is covered with", by_words)}),
    act.ShutValve: Deed("shuts {shut_valve}", ("shut_valve",)),
    act.OpenValve: _goes_on("opens {open_valve}", ("open_valve",)),
    act.Clip: _goes_on("clips leads on at {at} and {to}", ("at", "to", "circuit"), {}, "clip"),
    act.Unclip: Deed("takes the leads off ({unclip})", ("unclip",)),
    act.WorkIn: _goes_on("works in {work_in}", ("work_in",)),
    act.Replace: _goes_on("changes {replace} for a new one", ("replace",)),
    act.Measure: Deed(
        "measures {measure}{at}{to}{across}{point}{place}",
        ("measure", "circuit", "at", "to", "across", "point", "place"),
        _READ,
    ),
    act.Watch: Deed(
        "watches {watch}{at}{to}{across}{point}",
        ("watch", "circuit", "at", "to", "across", "point"),
        {key: _READ[key] for key in ("leads", "reads")} | {"for_": ("is watched for", shorter_is_worse)},
    ),
    act.Fit: _exposes(
        "fits a temporary alteration ({fit}{over}{from_}{to}{point}{name})",
        ("fit", "over", "from_", "to", "point", "name"),
        {},
        *("circuit", "at", "back", "back_expect"),
    ),
    act.Undo: Deed("takes {undo} out again", ("undo",)),
    act.Hold: _exposes(
        "holds the test button of {hold}", ("hold",), {"for_": ("is held for", longer_is_worse)}
    ),
    act.ProveTrip: Deed("proves that {prove_trip} trips", ("prove_trip",)),
    act.CheckReal: Deed("checks whether {check_real} was right to open", ("check_real",)),
    act.OpenGasTrain: _exposes("opens the gas train at {open_gas_train}", ("open_gas_train",)),
    act.Cap: Deed("closes the gas train at {cap}", ("cap",)),
    act.LeakCheck: Deed(
        "proves {leak_check} tight", ("leak_check",), {"with_": ("is filled with", from_to("gas", "air"))}
    ),
    act.Reset: _exposes("resets {reset}", ("reset",)),
    act.FindCause: Deed("looks for the cause of the trip of {find_cause}, and mends it", ("find_cause",)),
    act.Observe: Deed("watches the plant: {observe}", ("observe",)),
    act.StartDemand: _exposes("lets the plant start", (), {"start_demand": ("is started by", compared)}),
    act.StopDemand: Deed("stops the plant", (), {"stop_demand": ("is stopped by", by_words)}),
    act.Adjust: _exposes(
        "changes the setting {adjust}",
        ("adjust",),
        {
            "from_": ("is changed from", figure),
            "to": ("is changed to", figure),
            "gauge": ("is watched at", by_words),
        },
    ),
    act.Inspect: Deed("looks at {inspect}", ("inspect",)),
    act.Wait: Deed("waits{for_}", ("for_",), {"wait": ("waits", shorter_is_worse)}),
    act.Inform: Deed("tells the people concerned", (), {"inform": ("tells", compared)}),
    act.HandOver: _goes_on(
        "hands the job over{next}",
        ("next",),
        {"still_on": ("says that leads are on:", by_words)},
        "hand_over",
        "next_step",
    ),
    act.End: _goes_on(
        "can end as {end}{next}",
        ("end", "next"),
        {key: (key, by_words) for key in ("label", "notice", "tell")},
    ),
}
"""A row for each action."""

Key = tuple[str, ...]
"""Head key and the values of what makes the deed."""


def weigh_end(key: Key, *, new: bool) -> Weight:
    """Weigh an end that is new or gone."""
    end = key[1]
    if end == "evacuated":
        return SAFER if new else LESS
    return (OPEN if new else WORDS) if end in ("left-safe", "unsafe-left-off") else OPEN
