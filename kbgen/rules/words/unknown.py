"""Orders of an instruction that no table knows: what is not understood is refused."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from kbgen.model import action as act
from kbgen.problems import shown
from kbgen.rules.words.clauses import Clause, clauses, folded, is_time, only_time, sentences
from kbgen.rules.words.inflect import BASE
from kbgen.rules.words.names import words_of
from kbgen.rules.words.table import Table
from kbgen.rules.words.telling import words_of_ways
from kbgen.rules.words.told import Reader

_NEAR = 4
# What hands do there is the action itself; other rules ask what it may do beside it.
_OF_HANDS = (
    act.WorkIn
    | act.Replace
    | act.Fit
    | act.Undo
    | act.FindCause
    | act.Cap
    | act.OpenGasTrain
    | act.ProveTrip
    | act.CheckReal
    | act.ProveGone
    | act.Adjust
    | act.Guard
    | act.Clip
    | act.Unclip
    | act.Hold
    | act.TryStart
    | act.LeakCheck
    | act.Isolate
    | act.Restore
    | act.Lock
    | act.Unlock
)


@dataclass(frozen=True, slots=True)
class Order:
    """An order that no table knows.

    Attributes:
        verb: Its verb as typed.
        words: Its clause.
        known: Whether it is a verb of hands; then it is its object that no action has.
    """

    verb: str
    words: str
    known: bool


def unknown_orders(
    reader: Reader,
    action: act.AnyAction | None,
    text: str,
    own: Callable[[tuple[str, ...]], bool],
    done: Callable[[Clause, tuple[str, ...]], bool] = lambda _, __: False,
) -> Iterator[Order]:
    """Yield the orders of an instruction that are neither a known deed nor harmless.

    Args:
        own: Whether words name what the action is about; it may be turned or pulled in a clause of its own.
        done: Whether a clause, with the words of its end, tells the whole action, whatever its verb is: "whip the cap off".
    """
    if isinstance(action, _OF_HANDS):
        return
    ways = words_of_ways(reader.table, action) if action else frozenset()
    told = {each.words for each in reader.told(text)}
    denying = reader.table.no | reader.table.negators
    for sentence in sentences(text):
        forbidden = said = quoted = False
        before: tuple[str, ...] = ()
        every = [*clauses(sentence, reader.table)]
        for at, clause in enumerate(every):
            # "Never tape, wedge or tie a switch" forbids all three.
            forbidden = (forbidden and clause.shares) or not denying.isdisjoint(clause.tokens[:_NEAR])
            # "Tell the painters to stop spraying and clear the booth": both are said, and neither is done.
            said = (said and clause.joined in reader.table.joins - reader.table.leads) or _says_to(
                reader.table, action, clause
            )
            # "Tell the painters: stop spraying, clear the booth": what stands behind the colon is what they are told.
            quoted = quoted or (clause.joined == ":" and _speaks(reader.table, action, before))
            given, before = _gives(reader.table, before, clause), clause.tokens
            if (
                given
                or said
                or quoted
                or forbidden
                or clause.condition
                or any(each.startswith(" ".join(clause.words)) for each in told)
            ):
                continue
            order = _order(reader, clause)
            if order is None or order.verb.lower() in ways or _with_cover(reader.table, action, clause):
                continue
            if not order.known and _calls(reader.table, action, clause):
                continue
            # "Crack the cock and bring it all the way open": what the other clause tells is done to the same thing.
            turns = own(folded(clause.tokens, reader.table)) and (
                order.verb.lower() in reader.table.turns or (order.known and _goes_on(reader, text))
            )
            # "Whack the cock round till it sits across the pipe": the end belongs to the deed.
            ends = [each for each in every[at + 1 : at + 2] if each.condition in reader.table.ends]
            if not turns and not done(clause, ends[0].words if ends else ()):
                yield order


def _goes_on(reader: Reader, text: str) -> bool:
    """Return whether another clause does a known deed to "it": "crack the cock and bring it all the way open"."""
    return any(not reader.table.objects.isdisjoint(each.tokens) for each in reader.told(text))


def _says_to(table: Table, action: act.AnyAction | None, clause: Clause) -> bool:
    """Return whether a clause tells people what they shall do: "tell the painters to stop", "they stop and clear the booth"."""
    speaks = _speaks(table, action, clause.tokens) and "to" in clause.tokens
    return speaks or (isinstance(action, act.Inform) and not table.those_told.isdisjoint(clause.tokens[:1]))


def _speaks(table: Table, action: act.AnyAction | None, tokens: tuple[str, ...]) -> bool:
    """Return whether a clause speaks to those whom the action informs: "tell the painters"."""
    return isinstance(action, act.Inform) and not table.speaks.isdisjoint(tokens[:1])


def told_of(order: Order) -> tuple[str, str]:
    """Return message and hint of an order that no table knows."""
    if order.known:
        return (
            f"`{shown(order.words)}` is told here, and no action of this step does it",
            "Give it a step of its own with its action, or take it out of these words.",
        )
    return (
        f"`{shown(order.words)}` is told here, and `{shown(order.verb)}` is no word that we know",
        "Say what is done in words of the step's action, or take it out of these words.",
    )


def _order(reader: Reader, clause: Clause) -> Order | None:
    table, tokens = reader.table, clause.tokens
    small = table.leads | (table.joins if clause.joined == "," else frozenset())
    at = next((at for at, t in enumerate(tokens) if t not in small and not t.endswith(table.adverb)), None)
    if at is None:
        return None
    verb, rest = tokens[at], tokens[at + 1 :]
    if verb in table.harmless or _harmless_with(table, verb, rest):
        return None
    follows = rest[:1]
    if verb in table.not_verbs and not (table.articles.intersection(follows) or at + 1 in clause.marks):
        return None  # "Fire off first", "gun off"
    order = Order(clause.words[at], " ".join(clause.words), verb in table.hands)
    if order.known or any(form == BASE for _, form in table.forms.get(verb, ())):
        if not rest or not (table.in_hand | table.people).isdisjoint(rest) or not _object(table, clause, at):
            return None
        return Order(order.verb, order.words, known=True)
    # "Doing its job", "hands off the panel", "takes the shroud off": no order ends like that.
    if verb in table.not_verbs or (
        verb.endswith(table.no_order) and not verb.endswith(table.order_after_all)
    ):
        return None
    return order if _object(table, clause, at) else None


def _harmless_with(table: Table, verb: str, rest: tuple[str, ...]) -> bool:
    """Return whether words behind a verb of hands take it from the plant: "give it 30 s", "take all with you"."""
    # "Give the dryer back": to whoever uses it; a key or a lock is another thing.
    given_back = verb in table.gives and rest[-1:] == (table.given_back,) and table.in_hand.isdisjoint(rest)
    return (
        given_back
        or only_time(table, verb, rest)
        or any(pair in table.with_oneself for pair in pairwise(rest))
    )


def _gives(table: Table, before: tuple[str, ...], clause: Clause) -> bool:
    """Return whether a clause is the end of one that only gives time: "give door and vent a good hour to cool"."""
    said = [word for word in clause.tokens if word not in table.articles | table.good]
    return (
        set(before[:1]) <= table.gives
        and bool(before)
        and clause.joined in table.joins
        and any(is_time(word, table) for word in said[1:3])
        and not any(is_time(word, table) for word in before)
        and set(clause.tokens[1:2]) <= table.articles | table.good | table.numbers.keys()
    )


def _with_cover(table: Table, action: act.AnyAction | None, clause: Clause) -> bool:
    """Return whether the screws of a cover go the way of the cover itself."""
    last = clause.tokens[-1]
    if table.cover_screws.isdisjoint(clause.tokens[1:4]) or clause.marks:
        return False
    ways = {act.CloseCover: ("in", "home", "tight"), act.OpenCover: ("out",)}
    return last in ways.get(type(action), ())


def _calls(table: Table, action: act.AnyAction | None, clause: Clause) -> bool:
    """Return whether a verb has those for its object whom the action informs: "bell the shift lead"."""
    if not isinstance(action, act.Inform):
        return False
    whom = frozenset(words_of(action.inform)) - table.articles - table.joins
    object_ = [word for word in clause.tokens[1:] if word not in table.articles]
    return bool(object_) and object_[0] in whom | table.people


def _object(table: Table, clause: Clause, at: int) -> bool:
    """Return whether what follows a word is what an order is done to: an article, a mark, "it".

    "Mat down" ends there and orders nothing; "hoick out the plug" does not.
    """
    tokens = clause.tokens
    if tokens[at + 1 : at + 2] and tokens[at + 1] in table.adverbs_after:
        at += 1
    follows = tokens[at + 1 : at + 2]
    if follows and clause.words[at + 1] in table.letters:
        return False  # "letter A"
    return at + 1 in clause.marks or bool(follows and follows[0] in table.articles | table.objects)
