"""How a deed ends: a valve left half way, a handle along the pipe, a thing that stays where it should come out."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kbgen.model import action as act
from kbgen.problems import shown
from kbgen.rules.words.clauses import Clause, clauses, folded, is_mark, sentences, telling
from kbgen.rules.words.found import Ground
from kbgen.rules.words.subject import never, show, wants
from kbgen.rules.words.table import Table

_ALONG, _ACROSS = "open", "shut"
_WORKED = (
    act.ShutValve
    | act.OpenValve
    | act.Isolate
    | act.Restore
    | act.OpenCover
    | act.CloseCover
    | act.Unlock
    | act.Lock
)


def other_end(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that words end a deed otherwise than the action does."""
    table = ground.reader.table
    match action:
        case act.ShutValve() | act.OpenValve():
            wanted = _ACROSS if isinstance(action, act.ShutValve) else _ALONG
            for sentence in sentences(text):
                if handle(table, sentence) not in (wanted, ""):
                    yield f"`{shown(sentence)}` puts the handle the other way than `{show(action)}`"
                    return
            yield from _part_way(table, action, text)
        case act.Lock():
            yield from _lock_open(table, action, text)
        case act.End() | act.HandOver():
            for clause in telling(text, table):
                if not table.half_shut.isdisjoint(clause.tokens):
                    yield f"`{shown(' '.join(clause.words))}` leaves open what nobody shuts any more"
                    return
        case act.Unclip():
            yield from _lead_stays(table, action, text)
        case act.Fit(fit=kind) if kind in ("lifted-wire", "unplugged-tube"):
            yield from _stays_on(table, action, text)
    if isinstance(action, _WORKED):
        yield from _turned_back(ground, action, text)
        yield from _left_alone(ground, action, text)


def handle(table: Table, sentence: str) -> str:
    """Return how a handle ends towards its pipe, as what that makes of the valve; empty where nothing says so."""
    for clause in clauses(sentence, table):
        tokens = clause.tokens
        # "Turn it until the handle lies across": the end of the deed. What is denied or asked is none.
        if not (table.negators | table.no).isdisjoint(tokens) or clause.condition not in table.ends | {""}:
            continue
        # "Firing valve and pilot shutoff stay across the pipe": others, which nobody turns.
        if table.pipes.isdisjoint(tokens) or not table.stays.isdisjoint(tokens):
            continue
        across = not table.crosswise.isdisjoint(tokens)
        along = not table.lengthwise.isdisjoint(tokens)
        if across != along:
            return _ACROSS if across else _ALONG
    return ""


def _part_way(table: Table, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that a valve is left between shut and open; "a little at first, then fully" is not."""
    for clause in telling(text, table):
        tokens = clause.tokens
        parts = [
            one
            for one, other in pairwise((*tokens, ""))
            if one in table.part_way and other not in table.whole_turns and other not in table.seconds
        ]
        if parts and table.fully.isdisjoint(tokens):
            yield f"`{shown(' '.join(clause.words))}` stops on the way, and the action is `{show(action)}`"
            return


def _lock_open(table: Table, action: act.Lock, text: str) -> Iterator[str]:
    """Yield that a lock is hung on and not shut."""
    told = [*telling(text, table)]
    locked = any(not table.locks.isdisjoint(each.tokens) for each in told)
    for clause in told:
        alone = len(clause.tokens) == 1 and locked
        if not table.unlocked.isdisjoint(clause.tokens) and (
            alone or not table.locks.isdisjoint(clause.tokens)
        ):
            yield f"`{shown(' '.join(clause.words))}` leaves open what `{show(action)}` locks"
            return


def _turned_back(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that what was worked goes the other way again: "then back on again", told without a verb."""
    table = ground.reader.table
    small = table.leads | table.articles | table.back | table.joins
    for clause in telling(text, table):
        said = _up_to_purpose(table, clause)
        states = [table.states[token] for token in said if token in table.states]
        rest = {token for token in said if token not in table.states and token not in small}
        turned = clause.joined and states and states[0] in never(action) and not rest
        if turned and not (table.back | table.leads).isdisjoint(said):
            yield f"`{shown(' '.join(clause.words))}` takes back what `{show(action)}` does"
            return


def _up_to_purpose(table: Table, clause: Clause) -> tuple[str, ...]:
    tokens = folded(clause.tokens, table)
    return tokens[
        : next((at for at, token in enumerate(tokens) if at and token in table.openers - {"on"}), len(tokens))
    ]


def _left_alone(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that the thing of the action is named only as what stays as it is: "leave Q2 at 0"."""
    table = ground.reader.table
    named = [each for each in telling(text, table) if ground.own(action, folded(each.tokens, table))]
    first = next(iter(named), None)
    if first is None or len(named) > 1 or first.tokens[0] not in table.stays:
        return
    stands = {table.states[token] for token in first.tokens if token in table.states}
    if stands.isdisjoint(wants(action)):
        yield f"`{shown(' '.join(first.words))}` leaves alone what `{show(action)}` works"


def _lead_stays(table: Table, action: act.Unclip, text: str) -> Iterator[str]:
    """Yield that one lead stays on: "the black one may stay on"."""
    for clause in telling(text, table):
        tokens = clause.tokens
        lead = not (table.leads_of_meter | table.colours).isdisjoint(tokens)
        if lead and not table.stays.isdisjoint(tokens) and "on" in tokens:
            yield f"`{shown(' '.join(clause.words))}` leaves on what `{show(action)}` takes off"
            return


def _stays_on(table: Table, action: act.Fit, text: str) -> Iterator[str]:
    """Yield that the wire or tube that shall come off stays where it is."""
    own = {action.from_, action.to}
    for clause in telling(text, table):
        tokens = clause.tokens
        foreign = any(is_mark(clause.words[at]) and clause.words[at] not in own for at in clause.marks)
        lies = not (table.own_wires | table.tubes).isdisjoint(tokens) and not table.stays.isdisjoint(tokens)
        if lies and not foreign and not table.seated.isdisjoint(tokens) and table.others.isdisjoint(tokens):
            yield f"`{shown(' '.join(clause.words))}` leaves on what `{show(action)}` takes off"
            return
