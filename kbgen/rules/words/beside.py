"""What words tell that no action of their step does."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kbgen.model import action as act
from kbgen.position import Route
from kbgen.problems import shown
from kbgen.rules.words.clauses import is_mark, plain
from kbgen.rules.words.found import WORDS, Found, Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.subject import device_of, target, wants
from kbgen.rules.words.table import Table
from kbgen.rules.words.told import ALTER, Told

WORDS_TELL_MORE = WORDS.error(
    "words-tell-more",
    "What only the words tell is done by people and unknown to the check: it still takes the cock for open.",
    "- do: Shut the burner cock. Then switch Q2 off.\n  shut_valve: burner-cock",
    "- do: Shut the burner cock.\n  shut_valve: burner-cock\n- do: Switch Q2 off.\n  isolate: control",
    rests_on="The table of words of the shop's language, and the names of the plant's own parts; other words go unread.",
    safety=True,
)
WORDS_TELL_ALTERATION = WORDS.error(
    "words-tell-alteration",
    "A jumper that stands in the words alone is on no list, and nobody is told to take it out.",
    "- do: Bridge X3 and X4 with a wire.",
    "- do: Bridge X3 and X4 with a wire. Tag it.\n  fit: jumper\n  name: jumper-1\n  from: X3\n  to: X4",
    rests_on="The table of words of the shop's language: what alters, and where it lies; other words go unread.",
    safety=True,
)


_TURNS = frozenset(("shut", "open", "off", "on"))
_OPENINGS = frozenset(("open-test-point", "hose"))
_SWITCHES = frozenset(("off", "on"))
_MOVES = frozenset(("start", "on"))
_PROTECTS = frozenset(("shut", "off", "lock", "put-on"))
_ALWAYS = {
    "reset": "the reset",
    "start": "the start",
    "open-gas": "the opening",
    "unguard": "the supply behind it, proved dead,",
    "hands": "what hands do at terminals (`work_in` of a zone of the plant, or `replace`)",
    "lock": "the lock",
    "unlock": "the lock",
}
# Words of an action that may speak of tape, plugs, held buttons or turned screws.
_ALTERS = act.Fit | act.Undo | act.Hold | act.Cap | act.Adjust
_LOOKS = act.Inspect | act.Record | act.Identify | act.Observe
_BY_HAND = act.Hold | act.Adjust
# Leads are held on terminals while a reading is taken.
_HOLDS_LEADS = (("hold",), ("keep",), ("put",), ("touch",))
_PRESSES = (("press",), ("push",))
_LEAVES = (("leave",), ("keep",))
_LOCKS = act.Isolate | act.Lock | act.Restore | act.Unlock


def beside(
    ground: Ground, action: act.AnyAction | None, told: Told, route: Route, *, told_here: bool
) -> Iterator[Found]:
    """Yield what a text of a step tells and its action does not do.

    Args:
        route: The field, from the step.
        told_here: Whether a thing that is only shown is told: not in what is to be noted down.
    """
    if told.kind == ALTER:
        if not _may_alter(ground, action, told) and (told_here or not told.shown):
            yield alteration(told, route, "the step has no `fit`")
        return
    # What is done in an emergency stands behind its condition and protects.
    if told.shown or (told.if_so and told.kind in _PROTECTS):
        return
    # "Feed only a boiler that is cold" says what is never done otherwise.
    if told.kind == "feed" and not ground.reader.table.admits.isdisjoint(told.tokens):
        return
    # "Shut the gas on the way out if you can": whoever leaves in danger may, and nothing relies on it.
    evacuated = isinstance(action, act.End) and action.end == "evacuated"
    if told.kind == "shut" and evacuated:
        return
    # "Push the red stop outside as you pass": the emergency stop is there for whoever leaves.
    if (
        evacuated
        and told.kind == "off"
        and any(stop <= set(told.tokens) for stop in ground.reader.table.stops)
    ):
        return
    if (
        _holds(ground, action, told)
        or _runs(ground, action, told)
        or _opens(action, told)
        or _caps(action, told)
    ):
        return
    named = _named(ground, action, told)
    if named and named <= _own_test(ground, action, told):
        return
    if isinstance(action, act.WorkIn) and told.kind in _MOVES:
        yield Found(
            WORDS_TELL_MORE,
            route,
            f"`{shown(told.words)}` starts something while hands are in `{action.work_in}`",
            "Take it out; a start is tried before hands go in (`try_start`), with everybody clear.",
        )
        return
    fed = "the feeding" if told.kind == "feed" and isinstance(action, _LOOKS) else ""
    what = fed or _ALWAYS.get(told.kind) or (f"`{min(named)}`" if named else _nameless(ground, action, told))
    if not what or (told.kind in wants(action) and not _another(ground, action, told, named)):
        return
    yield more(told, route, what)


def more(told: Told, route: Route, what: str = "it") -> Found:
    """Say that words tell a deed that no action of their step does."""
    return Found(
        WORDS_TELL_MORE,
        route,
        f"`{shown(told.words)}` is told here, and no action of this step does it",
        f"Give {what} a step of its own with its action, or take it out of these words.",
    )


def alteration(told: Told, route: Route, lack: str) -> Found:
    """Say that an alteration stands in the words alone."""
    return Found(
        WORDS_TELL_ALTERATION,
        route,
        f"`{shown(told.words)}` tells somebody to alter the plant, and {lack}",
        "Write a step with `fit` and one with `undo`, or say only what is seen.",
    )


def standing(said: str, route: Route) -> Found:
    """Say that a text beside the steps has an alteration in the plant."""
    return Found(
        WORDS_TELL_ALTERATION,
        route,
        f"`{shown(said)}` leaves something altered in the plant, and no step fits it or takes it out",
        "Take it out of this text. What is fitted for a test stands in a step with `fit`, and one with `undo` follows.",
    )


def _may_alter(ground: Ground, action: act.AnyAction | None, told: Told) -> bool:
    if isinstance(action, act.Guard):
        return set(words_of(action.with_)) >= _foreign(ground.reader.table, told)
    if isinstance(action, _BY_HAND):
        # A hand holds the button or turns the screw; a coin or a strip of tape would stay there.
        return (ground.reader.table.things | ground.reader.table.fasteners).isdisjoint(told.tokens)
    if isinstance(action, _ALTERS):
        # Thread tape goes round; what is put over an opening closes nothing.
        over = not (ground.reader.table.fasteners.isdisjoint(told.tokens) or "over" not in told.tokens)
        return not (isinstance(action, act.Cap) and over)
    if isinstance(action, act.Measure | act.Watch | act.ProveDead) and told.tokens[:1] in _HOLDS_LEADS:
        return told.tokens[1:2] in (("them",), ("leads",), ("tips",))
    table = ground.reader.table
    if _carries(table, told):
        return True
    if isinstance(action, act.Replace):
        # The new part goes in and its wires go on; a wire or wedge of somebody's own is still told.
        held = any(verb in table.holding for token in told.tokens for verb, _ in table.forms.get(token, ()))
        return not (held and table.fasteners & set(told.tokens)) and (
            table.things - table.own_wires | table.sides
        ).isdisjoint(told.tokens)
    if isinstance(action, act.Reset):
        # A button that is pressed in once; held or stuck it would be more than a reset.
        return told.tokens[:1] in _PRESSES and (table.things | table.fasteners).isdisjoint(told.tokens)
    if told.tokens[:1] in _LEAVES:
        return _locked_with(ground, told)
    if isinstance(action, act.Clip | act.Unclip):
        return not (table.things | table.fasteners) & set(told.tokens) - table.leads_of_meter
    source = ground.sources.get(target(action)) if isinstance(action, _LOCKS) else None
    if source is None:
        return False
    # A wedge may be what this plant locks a wheel with; then the source says so.
    locks = set(words_of(plain(f"{source.isolate} {source.lock}")))
    return bool(locks & set(told.tokens) & ground.reader.table.fasteners)


def _comes_off(table: Table, told: Told) -> bool:
    """Return whether what is taken leaves its place: "off", "out"; who takes something down writes it."""
    # A wet load is carried out of the drum, and no part of the plant with it.
    return not (table.bared | table.idle).isdisjoint(told.tokens) and table.loads.isdisjoint(told.tokens)


def _foreign(table: Table, told: Told) -> frozenset[str]:
    """Return the things and fasteners that a deed names."""
    return (table.things | table.fasteners) & frozenset(told.tokens) - table.leads_of_meter


def _carries(table: Table, told: Told) -> bool:
    """Return whether an instrument is held somewhere by hand: "hold the gas detector in", no button of it."""
    tokens = told.tokens
    places = table.places | table.along | frozenset(("in", "into", "up", "to"))
    return (
        tokens[0] in table.holding
        and tokens[1:3] in table.carried
        and set(tokens[3:4]) <= places
        and (table.things | table.fasteners | table.switches).isdisjoint(tokens)
    )


def _locked_with(ground: Ground, told: Told) -> bool:
    """Return whether what is left in is what this plant is locked with: "leave the wedge in the wheel"."""
    table = ground.reader.table
    locks = {word for source in ground.sources.values() for word in words_of(plain(source.lock))}
    small = table.leads | table.places | table.along | table.joins | table.toward | ground.reader.particles
    named = set(told.tokens[1:]) - small - table.locks - table.beside_lock
    return bool(table.fasteners & named) and named <= locks | table.rest


def _holds(ground: Ground, action: act.AnyAction | None, told: Told) -> bool:
    """Return whether a plate, cap or plug goes on or off with the lock that holds it there."""
    goes = isinstance(action, act.Lock) and told.kind in ("off", "shut", "put-on")
    comes = isinstance(action, act.Unlock) and (
        told.kind in ("on", "off", "open", "take-off") or "lock" in told.tokens
    )
    off = isinstance(action, act.Unlock) and told.kind == "lock" and "off" in told.tokens
    table = ground.reader.table
    return ((goes or comes) and bool(table.holds & set(told.tokens))) or (
        off and bool(table.beside_lock & set(told.tokens[:2]))
    )


def _opens(action: act.AnyAction | None, told: Told) -> bool:
    """Return whether the screw of a test point comes out where its opening is the alteration."""
    return told.kind == "open-gas" and isinstance(action, act.Fit) and action.fit in _OPENINGS


def _caps(action: act.AnyAction | None, told: Told) -> bool:
    """Return whether a joint is made tight where its closing is the action: no mark of a terminal in the words."""
    return told.kind == "hands" and isinstance(action, act.Cap | act.OpenGasTrain) and not told.marks


def _runs(ground: Ground, action: act.AnyAction | None, told: Told) -> bool:
    """Return whether what runs already is let go on while it is watched: "let it run up until it stops"."""
    table = ground.reader.table
    return (
        told.kind == "start"
        and isinstance(action, act.ProveTrip | act.Observe | act.Watch)
        and told.tokens[0] in table.lets
        and "run" in told.tokens
        and "it" in told.tokens
        and table.machines.isdisjoint(told.tokens)
    )


def _another(ground: Ground, action: act.AnyAction | None, told: Told, named: set[str]) -> bool:
    """Return whether a deed of the action's kind is done to something else, or to something else as well."""
    like, own = ground.like(action), target(action)
    if like is None:
        return False
    foreign = named - {own} - ground.names.source_valves.get(own, frozenset())
    return bool(like.named(told.tokens) - {own}) or (bool(foreign) and own not in named)


def _named(ground: Ground, action: act.AnyAction | None, told: Told) -> set[str]:
    """Return what a deed names of which the check has to know."""
    names, tokens = ground.names, told.tokens
    named: set[str] = set()
    if told.kind in _TURNS:
        named |= names.valves.named(tokens)
    if told.kind in _SWITCHES and not _proves(action, told):
        named |= names.sources.named(tokens) | names.switches.named(tokens)
    if told.kind in ("shut", "open", "put-on", "take-off"):
        named |= names.covers.named(tokens, names.devices)
    # "Feed stop valve": one word alone may stand in any sentence.
    if not named and told.kind in _TURNS and not isinstance(action, _ALTERS):
        named |= {
            name
            for name, words in names.source_words.items()
            if len(words & set(tokens)) > 1
            and not (_of_valve(action) and ground.sources[name].energy == "fuel")
        }
    return named


def _of_valve(action: act.AnyAction | None) -> bool:
    return isinstance(action, act.ShutValve | act.OpenValve)


def _nameless(ground: Ground, action: act.AnyAction | None, told: Told) -> str:
    """Return what a deed is about where it says so by no name."""
    table, tokens = ground.reader.table, told.tokens
    typed = told.words.lower().split()
    follows = any(
        word in table.fuel and before in {*table.forms, *table.articles} for before, word in pairwise(typed)
    )
    # "Open the gas filter": the opening itself; a cock named with it would be another deed.
    part = isinstance(action, act.OpenGasTrain | act.Cap) and table.fuel.isdisjoint(tokens)
    if told.kind in _TURNS and not part and (follows or table.gas & set(tokens[:4])):
        return "the valve"
    if isinstance(action, act.Fit) and told.kind in _SWITCHES and table.machines & set(tokens[1:5]):
        # "Pump switch S2, at HAND": S1 is another one.
        own = {
            word for word in words_of(f"{action.at} {action.from_} {action.to}", fold=False) if is_mark(word)
        }
        return "the switch" if own and told.marks and own.isdisjoint(told.marks) else ""
    if (
        isinstance(action, _LOOKS)
        and told.kind == "take-off"
        and _comes_off(table, told)
        and table.covers.isdisjoint(tokens)
    ):
        return "what comes off"
    if told.kind not in _SWITCHES or _proves(action, told) or isinstance(action, _ALTERS):
        return ""
    held = table.holds & ground.names.all_source_words
    if (table.supply | held) & set(tokens[:4]):
        # What is locked may be switched off once more.
        return "" if isinstance(action, act.Lock) and told.kind == "off" else "the supply"
    if told.kind == "on" and told.marks and isinstance(action, _LOOKS | act.Inform | act.Wait | act.End):
        return "the switch"
    handled = isinstance(action, act.Lock | act.Unlock) and "handle" in tokens
    return "the switch" if handled or table.machines & set(tokens[1:5]) else ""


def _own_test(ground: Ground, action: act.AnyAction | None, told: Told) -> frozenset[str]:
    """Return what a device is tripped by, or worked with while its contact is read."""
    device = device_of(action, ground.fits) if action else ""
    covers = ground.names.opened.get(device, frozenset())
    match action:
        case act.ProveTrip() | act.CheckReal():
            return covers
        case act.Measure(measure="ohms"):
            return frozenset({device}) | (covers if told.kind in _PROTECTS else frozenset())
    return frozenset()


def _proves(action: act.AnyAction | None, told: Told) -> bool:
    """Return whether a switch is turned off in a proof: its own, or to stop the burner after another."""
    return told.kind == "off" and isinstance(action, act.ProveTrip)
