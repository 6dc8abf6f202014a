"""Who does it and with what: a thing or somebody else in the place of a hand, a key that goes to another."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kbgen.model import action as act
from kbgen.problems import shown
from kbgen.rules.words.clauses import clauses, sentences, telling
from kbgen.rules.words.found import Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.subject import show, target

_LOOKS = (
    act.Inspect
    | act.CheckReal
    | act.Observe
    | act.Identify
    | act.Record
    | act.Inform
    | act.Wait
    | act.FindCause
)
_BRINGS_BACK = ("on", "unlock", "reset")
_LOCKED = act.Lock | act.Unlock | act.Isolate | act.End | act.Inform
"""Where nobody hands a key on; who takes the job over gets the keys with it."""


def other_hands(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that an instruction gives to a thing, to a body part or to somebody else what the action gives to a person."""
    table = ground.reader.table
    if isinstance(action, _LOCKED):
        for clause in telling(text, table):
            tokens = clause.tokens
            given = table.hands_over.isdisjoint(tokens) or table.keys.isdisjoint(tokens)
            # "Your key goes into your pocket": it stays with whoever locked.
            if not given and table.stored.isdisjoint(tokens):
                yield f"`{shown(' '.join(clause.words))}` lets somebody else open the lock"
                return
    if isinstance(action, act.Hold) and any(each in " ".join(words_of(text)) for each in table.limitless):
        yield f"these words give no limit, and the action holds for `{action.for_.text if action.for_ else ''}`"
    yield from _button(ground, action, text)
    if isinstance(action, act.HandOver | act.End):
        for clause in telling(text, table):
            at = next((at for at, token in enumerate(clause.tokens) if at and token in table.permits), 0)
            deeds = ground.reader.told(" ".join(clause.words[at + 1 :])) if at else ()
            # "The fan may run on" lets nobody do anything.
            if any(each.kind in _BRINGS_BACK and each.tokens[0] != "run" for each in deeds):
                yield f"`{shown(' '.join(clause.words))}` lets others bring back what `{show(action)}` leaves off"
                return
    if isinstance(action, act.HandOver):
        yield from _to_another(ground, action, text)
    if isinstance(action, act.Observe | act.Wait | act.StartDemand):
        for clause in telling(text, table):
            bare = [*_bare(clause.tokens, table.articles), ""]
            for one, other, behind in zip(bare, bare[1:], bare[2:], strict=False):
                # "With a hand at the switch": ready to, and not at it yet.
                ready = one in table.along and behind in table.put_to
                if one in table.with_tool and other in table.body and not ready:
                    yield f"`{shown(' '.join(clause.words))}` puts a hand to it, and the action is `{show(action)}`"
                    return


def _button(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that a button is pressed that erases a memory, or one of another colour than the entry's."""
    table, names = ground.reader.table, ground.names
    own = target(action) if isinstance(action, act.Reset) else ""
    colours = table.colours & set(words_of(names.presses.get(own, "")))
    for clause in telling(text, table):
        tokens = clause.tokens
        first = next((token for token in tokens if token not in table.leads), "")
        if first not in table.presses or not table.stays.isdisjoint(tokens):
            continue
        labels = {label for name, of in names.button_labels.items() for label in of if name != own}
        labels -= {
            label
            for name, of in names.button_labels.items()
            for label in of
            if names.buttons.get(name) == own
        }
        # "Press START" starts where the action says so, though it erases a memory as well.
        # "Look how far the button stands out, and push it home": whoever only looks presses nothing.
        looked_at = (
            isinstance(action, _LOOKS) and target(action) in names.presses and table.tests.isdisjoint(tokens)
        )
        meant = (*tokens, *words_of(text)) if not table.objects.isdisjoint(tokens) else tokens
        if looked_at and not table.buttons.isdisjoint(meant):
            yield f"`{shown(' '.join(clause.words))}` presses what it is reset by, and the action is `{show(action)}`"
            return
        pressed = labels.intersection(clause.words) - set(words_of(show(action), fold=False))
        other = table.colours & set(tokens)
        if pressed or (colours and other and other.isdisjoint(colours)):
            yield f"`{shown(' '.join(clause.words))}` presses another button than `{show(action)}`"
            return


def _bare(tokens: tuple[str, ...], articles: frozenset[str]) -> list[str]:
    return [token for token in tokens if token not in articles]


def _to_another(ground: Ground, action: act.HandOver, text: str) -> Iterator[str]:
    """Yield that the job goes to somebody whom the field does not name."""
    table = ground.reader.table
    field = set(words_of(action.hand_over))
    for clause in telling(text, table):
        tokens = clause.tokens
        if tokens[:1] and tokens[0] in table.hands_over and field.isdisjoint(tokens):
            to = {word for one, word in pairwise(_bare(tokens, table.articles)) if one in table.infinitive}
            if to and to.isdisjoint(table.objects):
                yield f"`{shown(' '.join(clause.words))}` hands it to another, and the action is `{show(action)}`"
                return


def hands_in_question(ground: Ground, action: act.AnyAction | None, ask: str) -> Iterator[str]:
    """Yield that a question sends hands to the plant in a step that only looks: "when you reach into the collar"."""
    if not isinstance(action, _LOOKS):
        return
    table = ground.reader.table
    for sentence in sentences(ask.replace("?", ".")):
        for clause in clauses(sentence, table):
            tokens = clause.tokens
            if not clause.condition or not (table.negators | table.no).isdisjoint(tokens):
                continue
            for one, other in pairwise(tokens):
                if one in table.selves and other in table.hands | table.reaches:
                    yield f"`{shown(' '.join(clause.words))}` sends hands to it, and the action is `{show(action)}`"
                    return
