"""Words against what the other fields of an action say: figures, a proof, a zone, the range of a meter."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.model import action as act
from kbgen.problems import shown
from kbgen.rules.words.clauses import clauses, folded, plain, sentences
from kbgen.rules.words.found import Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.subject import show
from kbgen.rules.words.table import Table

_FIGURE = re.compile(r"-?\d+(?:[.,]\d+)?")
_NEAR = 3


def against_fields(ground: Ground, action: act.AnyAction, text: str, *, does: bool) -> Iterator[str]:
    """Yield what an instruction says otherwise than the fields of its action, in one sentence each.

    Args:
        does: Whether another clause tells the action itself.
    """
    match action:
        case act.ProveTrip():
            yield from _other_device(ground, action, text)
        case act.Adjust():
            yield from _other_way(ground.reader.table, action, text)
        case act.ProveGone():
            yield from _other_proof(ground, action, text)
            yield from _warmer(action, text)
        case act.ProveDead():
            yield from _other_current(ground, action, text)
            yield from _other_mode(ground, action, text)
        case act.LeakCheck():
            yield from _with_a_flame(ground, text)
        case act.WorkIn():
            yield from _other_zone(ground, action, text)
        case act.CloseCover() if not does:
            yield from _left_hanging(ground, action, text)
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


_DEGREES = re.compile(r"(-?\d+(?:[.,]\d+)?)\s*°\s*([CF])\b")


def _warmer(action: act.ProveGone, text: str) -> Iterator[str]:
    """Yield that the words are content with more heat than the proof: "anything under 80 °C"."""
    for unit in "CF":
        asked = [_number(value) for value, of in _DEGREES.findall(action.by) if of == unit]
        said = [_number(value) for value, of in _DEGREES.findall(plain(text)) if of == unit]
        if asked and said and min(said) > max(asked):
            yield f"these words are content with {min(said):g} °{unit}, and the proof says `{shown(action.by)}`"


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


def _other_mode(ground: Ground, action: act.ProveDead, text: str) -> Iterator[str]:
    """Yield that a meter stands at what reads no volts: silence of a beeper is no proof."""
    said = ground.reader.table.other_modes & set(ground.reader.affirmed(text))
    if said:
        yield f"`{min(said)}` reads no volts, and the action is `{show(action)}`"


def _with_a_flame(ground: Ground, text: str) -> Iterator[str]:
    """Yield that gas is looked for with something that burns."""
    said = ground.reader.table.flames & set(ground.reader.affirmed(text))
    if said:
        yield f"`{min(said)}` lights the gas that it looks for"


def _other_zone(ground: Ground, action: act.WorkIn, text: str) -> Iterator[str]:
    """Yield that hands go where another zone is: words of its title, and none of the own one."""
    tokens = set(ground.reader.affirmed(text))
    words = ground.names.zone_words
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


def _left_hanging(ground: Ground, action: act.CloseCover, text: str) -> Iterator[str]:
    """Yield that a cover is left hanging by a screw, or may stay off."""
    table = ground.reader.table
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            tokens = set(clause.tokens)
            if clause.condition or not tokens.isdisjoint(table.negators | table.no):
                continue
            hangs = tokens & table.hanging and tokens & (table.modals | table.lets | table.by)
            off = tokens & table.stays and tokens & table.ajar and tokens & table.covering
            if hangs or off or tokens & table.half_shut:
                yield f"`{shown(' '.join(clause.words))}` leaves open what `{show(action)}` shuts"
                return


def _comes_out(table: Table, action: act.Cap, text: str) -> Iterator[str]:
    """Yield that a point is turned open until gas comes: "back the screw out until it hisses"."""
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            comes = clause.condition in table.ends and not table.escapes.isdisjoint(clause.tokens)
            if comes and (table.negators | table.no).isdisjoint(clause.tokens):
                yield f"`{shown(' '.join(clause.words))}` opens what `{show(action)}` closes"
                return
