"""Words that name another thing than their action: a valve, a cover, a source, a device, a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kbgen.model import action as act
from kbgen.problems import shown
from kbgen.rules.words.clauses import clauses, is_mark, plain, sentences
from kbgen.rules.words.found import Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.subject import device_of, first_point, points, show, target, wants
from kbgen.rules.words.told import Told

_SOURCES = act.Isolate | act.Restore | act.Lock | act.Unlock
_TURNED = act.ShutValve | act.OpenValve | act.OpenCover | act.CloseCover
# Others speak of more devices than their own: why another one did not stop the burner first.
_NEAR = 3
_ONE_DEVICE = (
    act.Adjust | act.Reset | act.Hold | act.Fit | act.Undo | act.ProveTrip | act.Measure | act.Replace
)


def differences(ground: Ground, action: act.AnyAction, told: tuple[Told, ...], text: str) -> Iterator[str]:
    """Yield what an instruction names in the place of its action's own, in one sentence each."""
    tokens = ground.reader.affirmed(text)
    yield from _things(ground, action, tokens)
    if isinstance(action, _SOURCES):
        yield from _sources(ground, action, told, tokens)
    device = device_of(action, ground.fits) or ground.names.setting_devices.get(target(action), "")
    if device and isinstance(action, _ONE_DEVICE):
        named = ground.names.devices.named(tokens) - ground.names.switches.phrases.keys()
        # A button is named by what it resets as well.
        if named and ground.names.buttons.get(device, device) not in named:
            yield f"these words name `{min(named)}`, and the action is about `{device}`"
    if isinstance(action, act.Replace):
        yield from _another_part(ground, action, tokens)
    yield from _fuel_points(ground, action, tokens)
    yield from _range(ground, action, text, tokens)
    yield from _terminals(ground, action, text)
    yield from _less(ground, action, told, tokens)
    yield from _earthed(ground, action, tokens)
    if isinstance(action, act.ProveDead):
        yield from _conductors_left_out(ground, action, text)
        if scant := ground.reader.table.scant & set(tokens):
            yield f"`{min(scant)}` does with less than every conductor to every other and to earth"
        said = f" {' '.join(tokens)} "
        source = ground.sources.get(action.prove_dead)
        # "The outgoing side, at T10 and T90": the marks say which side is meant.
        marked = source is not None and not {mark.lower() for mark in source.conductors}.isdisjoint(tokens)
        for behind in ground.reader.table.behind:
            if f" {behind} " in said and not (marked and " " not in behind):
                yield f"`{behind}` lies behind the switch; what is dead there says nothing of the supply"
                return


def left_undone(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that what a source is held off with is left where it lies: "the wedge stays on its hook"."""
    source = ground.sources.get(target(action)) if isinstance(action, act.Lock | act.Isolate) else None
    if source is None:
        return
    table = ground.reader.table
    with_ = table.holds | table.fasteners | table.beside_lock | table.locks
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            tokens = clause.tokens
            at = next((at for at, token in enumerate(tokens) if token in table.stays), -1)
            put_by = "key" not in tokens and not table.stored.isdisjoint(tokens)
            if with_ & set(tokens) and (put_by or (at >= 0 and table.idle & set(tokens[at:]))):
                yield f"`{shown(' '.join(clause.words))}` leaves undone what `{show(action)}` says"
                return


def _less(
    ground: Ground, action: act.AnyAction, told: tuple[Told, ...], tokens: tuple[str, ...]
) -> Iterator[str]:
    """Yield that less is done than the source's own entry asks: a switch for its plug, a tag for its lock."""
    source = ground.sources.get(target(action)) if isinstance(action, act.Isolate | act.Lock) else None
    table = ground.reader.table
    if source is None:
        return
    if isinstance(action, act.Isolate):
        said = source.words.switch_off.do if source.words.switch_off else plain(source.isolate)
        plugs = table.plugs & {word for each in ground.reader.told(said) for word in each.tokens}
        done = {word for each in told if each.kind == "off" for word in each.tokens}
        if plugs and done & table.switches - table.plugs and not done & plugs:
            yield f"these words work a switch, and the entry of {source.title} says: `{shown(said)}`"
    elif (
        set(tokens) & table.flimsy
        and not set(tokens) & table.bars
        and set(words_of(source.lock)) & table.bars
    ):
        yield f"what these words put on holds nothing, and the entry of {source.title} says: `{shown(plain(source.lock))}`"


def anothers_lock(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that somebody else's lock comes off with one's own: "both padlocks, yours and the one of the electrician"."""
    table = ground.reader.table
    people = table.people - table.selves
    for sentence in sentences(text) if isinstance(action, act.Unlock) else ():
        words = words_of(sentence)
        # "Let the electrician take his off": who owns it takes it.
        if not table.locks & set(words) or words[0] in table.have | people:
            continue
        if any(pair in table.keys_of_others for pair in pairwise(words)):
            yield f"`{shown(sentence)}` takes off a lock without whoever put it on"
            return
        # "The one of the electrician", "that of the electrician": no condition.
        pointing = {one for one, of in pairwise(words) if of in table.owning}
        if table.conditions & set(words) - pointing:
            continue
        for at, word in enumerate(words):
            follows = words[at + 1 : at + 4]
            owner = word.partition("'")[0].partition("’")[0]
            if (word in table.owning and people & set(follows)) or (word != owner and owner in people):
                yield f"`{shown(sentence)}` takes off somebody else's lock"
                return


def left_in(ground: Ground, text: str) -> Iterator[str]:
    """Yield that a load stays where the plant's own entry wants it out before hands go in."""
    table = ground.reader.table
    wanted = {
        word: source.id
        for source in ground.sources.values()
        if source.moves
        for word in table.loads & set(words_of(plain(source.isolate)))
    }
    for sentence in sentences(text) if wanted else ():
        for clause in clauses(sentence, table):
            tokens = set(clause.tokens)
            denied = tokens & (table.negators | table.no)
            named = sorted(wanted.keys() & tokens)
            # "Look at the wet load through the glass; it stays in the drum": the clause before names it.
            if (
                tokens & table.stays
                and tokens & table.inside
                and not denied
                and not clause.condition
                and (named or "it" in tokens)
            ):
                told = named or sorted(wanted.keys() & set(words_of(plain(text))))
                if told:
                    yield f"`{shown(' '.join(clause.words))}` leaves in what `{wanted[told[0]]}` wants out"
                    return


def _things(ground: Ground, action: act.AnyAction, tokens: tuple[str, ...]) -> Iterator[str]:
    like, own = ground.like(action), target(action)
    if like is None or not like.phrases.get(own):
        return
    named = like.named(tokens)
    # "Burner and pilot cock" names both by words that stand apart.
    apart = any(set(phrase) <= set(tokens) for phrase in like.phrases[own])
    if named and own not in named and not apart:
        yield f"these words name `{min(named)}`, and the action is `{show(action)}`"
    elif not named and isinstance(action, _TURNED):
        # "The cock in the thin line that feeds the pilot": a word that only one of them has.
        words = ground.names.part_words
        others = [name for name in like.phrases if name != own and words.get(name, frozenset()) & set(tokens)]
        if not others and isinstance(action, act.ShutValve | act.OpenValve):
            # "Return valve": it stops water, and the action is about fuel.
            words_of_sources = ground.names.source_words.items()
            others = [
                name
                for name, of in words_of_sources
                if ground.sources[name].energy != "fuel" and of & set(tokens)
            ]
        if len(others) == 1 and words.get(own, frozenset()).isdisjoint(tokens):
            yield f"these words are of `{others[0]}`, and the action is `{show(action)}`"


def _another_part(ground: Ground, action: act.Replace, tokens: tuple[str, ...]) -> Iterator[str]:
    """Yield that another part is changed: words that only the name of one other device has, and none of its own."""
    words = ground.names.device_words
    others = [name for name, own in words.items() if name != action.replace and own & set(tokens)]
    if len(others) == 1 and words.get(action.replace, frozenset()).isdisjoint(tokens):
        yield f"these words are of `{others[0]}`, and the action is `{show(action)}`"


def _fuel_points(ground: Ground, action: act.AnyAction, tokens: tuple[str, ...]) -> Iterator[str]:
    """Yield that another point of the fuel train is opened, closed or proved than the action says."""
    match action:
        case act.OpenGasTrain(open_gas_train=point) | act.Cap(cap=point):
            own = {point}
        case act.LeakCheck():
            own = set(action.leak_check)
        case act.Measure(point=point) if point:
            own = {point}
        case _:
            return
    marks = ground.names.fuel_points
    named = marks & set(tokens)
    if named - own and not own & marks <= named:
        yield f"these words name `{min(named - own).upper()}`, and the action `{', '.join(sorted(own))}`"


def _range(ground: Ground, action: act.AnyAction, text: str, tokens: tuple[str, ...]) -> Iterator[str]:
    """Yield that the meter is set to another range, or reads something else, than the action says."""
    if not isinstance(action, act.Measure):
        return
    units = ground.reader.table.units
    others = [name for name, words in units.items() if name != action.measure and words & set(tokens)]
    own_unit = units.get(action.measure, frozenset())
    # "Set the dial to V~": a sign is a unit only where something is set to it.
    signs = {other for one, other in pairwise(tokens) if one in ground.reader.table.put_to}
    others += [
        name for name, sign in ground.reader.table.signs.items() if name != action.measure and sign in signs
    ]
    if others and own_unit and own_unit.isdisjoint(tokens):
        yield f"these words read {others[0]}, and the action reads `{action.measure}`"
    if not action.meter:
        return
    said = f" {' '.join(tokens)} ".replace("-", " ")
    ranges = ground.reader.table.ranges
    other = [name for name, words in ranges.items() if any(f" {each} " in said for each in words)]
    if other and action.meter not in other:
        yield f"these words set the meter to {other[0]}, and the action to `{action.meter}`"
    elif not other and any(
        f" {each} " in f" {' '.join(words_of(text))} ".replace("-", " ")
        for each in ranges.get(action.meter, ())
    ):
        yield f"these words do without the range of the action, `{action.meter}`"


def _sources(
    ground: Ground, action: act.AnyAction, told: tuple[Told, ...], tokens: tuple[str, ...]
) -> Iterator[str]:
    names, own = ground.names, target(action)
    if own in ground.sources and ground.sources[own].energy == "heat":
        return  # nobody switches heat: the words say what is waited for
    done = [each.tokens for each in told if each.kind in wants(action)]
    valves = frozenset(name for each in done for name in names.valves.named(each))
    if mark := names.foreign_isolator(tokens):
        yield f"this plant has no isolator `{mark}`"
    elif valves and names.source_valves.get(own) and not valves & names.source_valves[own]:
        yield f"these words name `{min(valves)}`, and the action is `{show(action)}`"
    elif not ground.own(action, tokens) and not names.source_words.get(own, frozenset()) & set(tokens):
        said = {word for each in done for word in each} or set(tokens)
        for other, words in names.source_words.items():
            if other != own and words & said:
                yield f"`{min(words & said)}` is a word of `{other}`, and the action is `{show(action)}`"
                return


def _terminals(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    own, known = points(action, ground.fits), ground.names.terminals
    if isinstance(action, act.ProveDead) and action.prove_dead in ground.sources:
        own |= frozenset(ground.sources[action.prove_dead].conductors)
    if not own:
        return
    if isinstance(action, act.ProveDead | act.Guard):
        known = known.union(*(source.conductors for source in ground.sources.values()))
    letters = {mark.rstrip("0123456789") for mark in known}
    # "D6 to D8 is open at rest": what is only said of other terminals, after the instruction, is no order.
    first, *rest = [*sentences(text)] or [""]
    orders = [first, *(each for each in rest if not ground.reader.table.said & set(words_of(each)))]
    words = words_of(" ".join(orders), fold=False)
    told = [
        word
        for word in words
        if word in own or (is_mark(word) and (word in known or word.rstrip("0123456789") in letters))
    ]
    beside = _beside(ground, words) if not own.isdisjoint(told) else frozenset()
    foreign = [mark for mark in told if mark not in own and mark not in beside]
    laid = [mark for before, mark in pairwise(words) if mark in own and _toward(ground, before)]
    if len(own) > 1 and len(laid) > 1 and len({*laid}) == 1 and not foreign and len({*told}) == 1:
        yield f"these words lay both leads on `{laid[0]}`, and the action `{', '.join(sorted(own))}`"
        return
    # A proof may go on to further marks, the return among them: more is proved, not something else.
    if not foreign or (isinstance(action, act.ProveDead) and not own.isdisjoint(told)):
        return
    first = first_point(action)
    # The conductors of another supply, and none of its own: that one is proved, and this one is not.
    missing = (
        isinstance(action, act.ProveDead) or len(set(told)) <= len(own) if not first else first not in told
    )
    # One mark more may be what a reading is compared with; where a lead goes to it, it is none.
    leads_to = [mark for before, mark in pairwise(words) if mark in foreign and _toward(ground, before)]
    if missing or leads_to:
        yield f"these words name `{(leads_to or foreign)[0]}`, and the action `{', '.join(sorted(own))}`"


def _beside(ground: Ground, words: tuple[str, ...]) -> frozenset[str]:
    """Return the marks that only say where another one is: "next to H7"."""
    near = ground.reader.table.nearby
    found = {mark for before, mark in pairwise(words) if is_mark(mark) and before.lower() in near}
    # "Next to": the word before the one that leads there.
    return frozenset(
        found
        | {
            c
            for a, _, c in zip(words, words[1:], words[2:], strict=False)
            if is_mark(c) and a.lower() in near
        }
    )


def _earthed(ground: Ground, action: act.AnyAction, tokens: tuple[str, ...]) -> Iterator[str]:
    """Yield that the second lead goes to earth where the action has another point."""
    if not isinstance(action, act.Measure | act.Watch | act.Clip) or not is_mark(action.to):
        return
    table = ground.reader.table
    if not table.earths.isdisjoint(words_of(action.to)):
        return
    for at, token in enumerate(tokens):
        before = tokens[max(0, at - _NEAR) : at]
        # "Stand on dry ground" says where somebody stands.
        leads = not (table.toward | table.sides).isdisjoint(before) and table.at_rest.isdisjoint(before)
        if token in table.earths and leads:
            yield f"`{token}` is where these words lay the second lead, and the action lays it on `{action.to}`"
            return


def _conductors_left_out(ground: Ground, action: act.ProveDead, text: str) -> Iterator[str]:
    """Yield that a conductor of the source is not named where others are."""
    source = ground.sources.get(action.prove_dead)
    conductors = source.conductors if source is not None else ()
    letters = {mark.rstrip("0123456789") for mark in conductors}
    words = words_of(text, fold=False)
    marks = {word for word in words if is_mark(word) and word.rstrip("0123456789") in letters}
    own = {*conductors, *points(action, ground.fits), *(source.also_dead if source is not None else ())}
    left = [mark for mark in conductors if mark not in marks]
    # "T10, T19 and T20 dead" goes to the return by itself; one mark to earth, or a foreign one for its own, does not.
    alone = len(marks) == 1 and not ground.reader.table.earths.isdisjoint(words)
    if left and len(left) < len(conductors) and (alone or not own.issuperset(marks)):
        yield f"these words leave out `{left[0]}`, a conductor of {source.title if source else ''}"


def _toward(ground: Ground, word: str) -> bool:
    return word.lower() in ground.reader.table.toward
