"""Words against what the other fields of an action say: figures, a proof, a zone, the range of a meter."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kbgen.model import action as act
from kbgen.problems import shown
from kbgen.rules.words.clauses import clauses, folded, plain, sentences, telling
from kbgen.rules.words.ends import other_end
from kbgen.rules.words.figures import other_figures, sets_elsewhere
from kbgen.rules.words.found import Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.people import other_hands
from kbgen.rules.words.positions import other_positions, repeated
from kbgen.rules.words.subject import show
from kbgen.rules.words.table import Table
from kbgen.rules.words.told import Reader

_FIGURE = re.compile(r"-?\d+(?:[.,]\d+)?")
_TURNED = re.compile(r"(-?\d+(?:[.,]\d+)?)[^\d,.;:]{0,8}?\s(?:(?:up|down|back)\s)?to\s(-?\d+(?:[.,]\d+)?)")
_NEAR = 3


def against_fields(ground: Ground, action: act.AnyAction, text: str, *, does: bool) -> Iterator[str]:
    """Yield what an instruction says otherwise than the fields of its action, in one sentence each.

    Args:
        does: Whether another clause tells the action itself.
    """
    yield from other_figures(ground, action, text)
    yield from sets_elsewhere(ground.reader.table, action, text)
    yield from other_positions(ground, action, text)
    yield from repeated(ground, action, text)
    yield from other_end(ground, action, text)
    yield from other_hands(ground, action, text)
    match action:
        case act.ProveTrip():
            yield from _other_device(ground, action, text)
        case act.Adjust():
            yield from _other_way(ground.reader.table, action, text)
        case act.ProveGone():
            yield from _other_proof(ground, action, text)
            yield from _other_instrument(ground, action, text)
            yield from _counted(ground.reader.table, ground.reader.affirmed(text))
        case act.ProveDead():
            yield from _other_current(ground, action, text)
            yield from _other_mode(ground, action, text)
            if scant := ground.reader.table.scant & set(ground.reader.affirmed(text)):
                yield f"`{min(scant)}` does with less than the action asks"
        case act.LeakCheck():
            yield from _let_pass(ground.reader.table, ground.reader.affirmed(text))
            yield from _with_a_flame(ground, text)
            yield from _by_nose(ground.reader.table, ground.reader.affirmed(text))
        case act.OpenGasTrain():
            yield from _with_a_flame(ground, text)
        case act.Measure(measure="volts") | act.Watch(watch="volts"):
            yield from _other_mode(ground, action, text)
        case act.WorkIn():
            yield from _other_zone(ground, action, text)
        case act.CloseCover() if _held_off(ground.reader.table, text):
            yield f"something lies in the gap of what `{show(action)}` shuts"
        case act.CloseCover():
            yield from _left_hanging(ground, action, text, does=does)
        case act.Hold() | act.Guard():
            yield from _held_by(ground.reader, action, text)
        case act.Observe(observe="standstill"):
            tokens = set(ground.reader.affirmed(text))
            if tokens & ground.reader.table.turning and tokens.isdisjoint(ground.reader.table.at_rest):
                yield f"`{min(tokens & ground.reader.table.turning)}` is not what `{show(action)}` waits for"
        case act.Fit():
            yield from _other_kind(ground, action, text)
        case act.Cap():
            yield from _comes_out(ground.reader.table, action, text)


def _other_way(table: Table, adjust: act.Adjust, text: str) -> Iterator[str]:
    """Yield that the figures stand the other way round, or that it is turned the other way."""
    found, left = _FIGURE.search(adjust.from_), _FIGURE.search(adjust.to)
    if found is None or left is None or found[0] == left[0]:
        return
    up = _number(left[0]) > _number(found[0])
    said = plain(text)
    was = {each[0] for each in _FIGURE.finditer(said) if _role(table.was, said, each.start())}
    named = {each[0] for each in _FIGURE.finditer(said)}
    for first, last in _TURNED.findall(said):
        if (first, last) == (left[0], found[0]):
            yield f"these words go from {first} to {last}, and the action from `{adjust.from_}` to `{adjust.to}`"
            return
    if left[0] in was and found[0] in named - was:
        yield f"these words say that it was {left[0]}, and the action leaves it at `{adjust.to}`"
        return
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            tokens = clause.tokens
            # The screw may go down while the value goes up.
            if clause.condition or not (table.cover_screws | table.negators).isdisjoint(tokens):
                continue
            first = next((token for token in tokens if token not in table.leads), "")
            raised = first in table.raises or (first in table.turns and "up" in tokens)
            lowered = first in table.lowers or (first in table.turns and "down" in tokens)
            if raised not in (lowered, up):
                yield f"`{shown(' '.join(clause.words))}` goes the other way than from `{adjust.from_}` to `{adjust.to}`"
                return


def _role(roles: frozenset[str], text: str, at: int) -> bool:
    """Return whether one of the words that tell what a figure was stands shortly before it, in its own clause."""
    return not roles.isdisjoint(words_of(re.split(r"[,;.:]\s", text[:at])[-1])[-_NEAR:])


def _number(figure: str) -> float:
    return float(figure.replace(",", "."))


def _other_proof(ground: Ground, action: act.ProveGone, text: str) -> Iterator[str]:
    """Yield that a part stands the other way than in what proves it: a drain shut that shall be open."""
    table = ground.reader.table
    wanted = [*_standing(table, action.by)]
    told = [*_standing(table, text)]
    for thing, state, words in told:
        for other, proof, _ in wanted:
            same = thing & other
            if same and state != proof and not any(same & each and of == proof for each, of, _ in told):
                yield f"`{shown(words)}` is not how it stands in the proof: `{shown(action.by)}`"
                return


def _other_instrument(ground: Ground, action: act.ProveGone, text: str) -> Iterator[str]:
    """Yield that a hand proves what the field has an instrument for, or that it is held elsewhere than there."""
    table = ground.reader.table
    by, tokens = folded(words_of(action.by), table), ground.reader.affirmed(text)
    with_ = table.instruments & set(by)
    if with_ and table.instruments.isdisjoint(tokens) and not table.body.isdisjoint(tokens):
        yield f"these words prove it by hand, and the proof says `{shown(action.by)}`"
        return
    at = next((at for at, word in enumerate(by) if word in table.put_to - {"to"}), len(by))
    places = (
        frozenset(word for word in by[at + 1 :] if word.isalpha() and len(word) > _NEAR)
        - table.every
        - table.numbers.keys()
    )
    elsewhere = (
        [
            other
            for one, other in pairwise(tokens)
            if one == by[at] and other.isalpha() and other not in table.objects
        ]
        if at < len(by)
        else []
    )
    if with_ & set(tokens) and places and elsewhere and places.isdisjoint(tokens):
        yield f"`{elsewhere[0]}` is not where the proof is made: `{shown(action.by)}`"


def _counted(table: Table, tokens: tuple[str, ...]) -> Iterator[str]:
    """Yield that something is taken for gone that the proof does not name: "it counts as cold"."""
    gone = next(row["gone"] for row in table.verdicts if "gone" in row)
    for one, other, taken in zip(tokens, tokens[1:], tokens[2:], strict=False):
        if one in table.counts and other in table.counted_as and taken in gone:
            yield f"`{one} {other} {taken}` takes for gone what nobody proved"
            return


def _standing(table: Table, text: str) -> Iterator[tuple[frozenset[str], str, str]]:
    """Yield the words for a thing and whether it is open or shut, of each clause that says so, with the clause."""
    small = (
        table.leads | table.places | table.joins | table.articles | table.be | table.being | table.unspecific
    )
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            tokens = folded(clause.tokens, table)
            state = next(
                (table.states[token] for token in tokens if table.states.get(token) in ("open", "shut")), ""
            )
            if state and not clause.condition and (table.negators | table.no).isdisjoint(tokens):
                thing = frozenset(
                    token for token in tokens if token not in small and token not in table.states
                )
                yield thing, state, " ".join(clause.words)


def _other_current(ground: Ground, action: act.ProveDead, text: str) -> Iterator[str]:
    """Yield that a meter stands at the other kind of current, where it shows nothing of what is live."""
    source = ground.sources.get(action.prove_dead)
    if source is None or source.voltage is None:
        return
    currents = ground.reader.table.currents
    own = currents & set(words_of(str(source.voltage.text))) or frozenset(("ac",))
    said = currents & set(words_of(plain(text)))
    if said and said.isdisjoint(own):
        yield f"`{min(said).upper()}` shows nothing of {source.title}, which is {min(own).upper()}"


def _other_mode(ground: Ground, action: act.ProveDead | act.Measure | act.Watch, text: str) -> Iterator[str]:
    """Yield that a meter stands at what reads no volts: silence of a beeper is no proof."""
    table, tokens = ground.reader.table, set(ground.reader.affirmed(text))
    said = table.other_modes & tokens
    if isinstance(action, act.ProveDead) and tokens.isdisjoint(table.units["volts"]):
        said = said or table.units["ohms"] & {token for each in telling(text, table) for token in each.tokens}
    if said:
        yield f"`{min(said)}` reads no volts, and the action is `{show(action)}`"


def _with_a_flame(ground: Ground, text: str) -> Iterator[str]:
    """Yield that gas is looked for with something that burns."""
    said = ground.reader.table.flames & set(ground.reader.affirmed(text))
    if said:
        yield f"`{min(said)}` lights the gas that it looks for"


def _let_pass(table: Table, tokens: tuple[str, ...]) -> Iterator[str]:
    """Yield that less than the whole joint is looked at, or that some bubbles may come."""
    if scant := table.scant & set(tokens):
        yield f"`{min(scant)}` does with less than every joint all round"
    leaks = next(row["leaks"] for row in table.verdicts if "leaks" in row) & set(tokens)
    if leaks and not table.allowed.isdisjoint(tokens):
        yield f"`{min(leaks)}` is what `leaks` means, and these words let it pass"


def _by_nose(table: Table, tokens: tuple[str, ...]) -> Iterator[str]:
    """Yield that gas is looked for by smell alone."""
    said = table.in_air & table.sniffs & set(tokens)
    if said and table.fluids.isdisjoint(tokens):
        yield f"`{min(said)}` finds no small leak; every joint is brushed"


def _other_zone(ground: Ground, action: act.WorkIn, text: str) -> Iterator[str]:
    """Yield that hands go where another zone is: words of its title, and none of the own one."""
    tokens = set(ground.reader.affirmed(text))
    words = ground.names.zone_words
    for clause in telling(text, ground.reader.table):
        for one, other in pairwise(folded(clause.tokens, ground.reader.table)):
            zone = next((name for name, own in words.items() if other in own), action.work_in)
            if one in ground.reader.table.inside | {"into"} and zone != action.work_in:
                yield f"`{shown(' '.join(clause.words))}` goes into `{zone}`, and the action is `{show(action)}`"
                return
    others = [name for name, own in words.items() if name != action.work_in and len(own & tokens) > 1]
    if len(others) == 1 and words.get(action.work_in, frozenset()).isdisjoint(tokens):
        yield f"these words are of `{others[0]}`, and the action is `{show(action)}`"


def _other_device(ground: Ground, action: act.ProveTrip, text: str) -> Iterator[str]:
    """Yield that hands make another device trip: a word of its names alone, and none of the own device."""
    calls, table = ground.names.device_calls, ground.reader.table
    own, said = calls.get(action.prove_trip, frozenset()), ground.reader.affirmed(text)
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            worked = _worked(table, folded(clause.tokens, table)) if not clause.condition else ()
            if not own.isdisjoint({*said} - {*worked}):
                continue
            # Of "probe chamber" the first word tells which chamber.
            first = next(
                ((word, name) for word in worked for name, words in calls.items() if word in words), None
            )
            if first is not None and first[1] != action.prove_trip:
                yield f"`{first[0]}` is a word of `{first[1]}`, and the action is `{show(action)}`"
                return


def _worked(table: Table, tokens: tuple[str, ...]) -> tuple[str, ...]:
    """Return the words for what the hands of a clause are on: the probe chamber of "blow the probe chamber empty"."""
    verb = next((at for at, token in enumerate(tokens) if token not in table.leads), len(tokens))
    if verb == len(tokens) or tokens[verb] not in table.hands:
        return ()
    thing = tokens[verb + 1 : verb + 1 + _NEAR]
    end = next((at for at, token in enumerate(thing) if token in table.places | table.toward), len(thing))
    small = table.machines | table.unspecific | table.quantities
    return tuple(word for word in thing[:end] if word not in small)


def _held_by(reader: Reader, action: act.Hold | act.Guard, text: str) -> Iterator[str]:
    """Yield that something else than a hand holds a button, or than its guard covers a live part: tape, a wedge."""
    table = reader.table
    own = set(words_of(action.with_)) if isinstance(action, act.Guard) else set()
    foreign = (table.things | table.fasteners) & set(reader.affirmed(text)) - table.leads_of_meter - own
    if foreign:
        yield f"`{min(foreign)}` is not what the action does it with: `{show(action)}`"


def _left_hanging(ground: Ground, action: act.CloseCover, text: str, *, does: bool) -> Iterator[str]:
    """Yield that a cover is left hanging by a screw, or may stay off; whoever shuts it may leave it so for a purpose."""
    table = ground.reader.table
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            tokens = set(clause.tokens)
            aimed = clause.condition in table.aims
            if ((does or clause.condition) and not aimed) or not tokens.isdisjoint(table.negators | table.no):
                continue
            hangs = tokens & table.hanging and tokens & (table.modals | table.lets | table.by)
            off = tokens & table.stays and tokens & table.ajar and tokens & table.covering
            if hangs or off or tokens & table.half_shut:
                yield f"`{shown(' '.join(clause.words))}` leaves open what `{show(action)}` shuts"
                return


def _other_kind(ground: Ground, action: act.Fit, text: str) -> Iterator[str]:
    """Yield that another kind of alteration is told: words of it, and none of the own one."""
    kinds = ground.reader.table.fit_words
    said = set(ground.reader.affirmed(text))
    # A wire that is lifted and then joined to another one is a bridge.
    if action.fit == "lifted-wire" and (joined := ground.reader.table.joined & said):
        yield f"`{min(joined)}` makes a bridge of it, and the action is `{show(action)}`"
        return
    if not kinds.get(action.fit) or not kinds[action.fit].isdisjoint(said):
        return
    other = next((name for name, words in kinds.items() if words & said), "")
    if other:
        yield f"`{min(kinds[other] & said)}` tells `{other}`, and the action is `{show(action)}`"


def _held_off(table: Table, text: str) -> bool:
    """Return whether a cover is shut with something in it: "with a rag in the gap"; leads of a meter lie there rightly."""
    foreign = (table.fasteners | table.things) - table.leads_of_meter - table.own_wires
    return any(
        not table.along.isdisjoint(clause.tokens[:at]) and token in foreign
        for clause in telling(text, table)
        for at, token in enumerate(clause.tokens)
    )


def _comes_out(table: Table, action: act.Cap, text: str) -> Iterator[str]:
    """Yield that a point is turned open: "back the screw out until it hisses", "screw out two turns"."""
    for clause in telling(text, table):
        tokens = set(clause.tokens)
        if tokens & table.cover_screws and "out" in tokens and tokens.isdisjoint(table.home):
            yield f"`{shown(' '.join(clause.words))}` opens what `{show(action)}` closes"
            return
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            comes = clause.condition in table.ends and not table.escapes.isdisjoint(clause.tokens)
            if comes and (table.negators | table.no).isdisjoint(clause.tokens):
                yield f"`{shown(' '.join(clause.words))}` opens what `{show(action)}` closes"
                return
