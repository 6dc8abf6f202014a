"""One step: what its words tell, held against what its action says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from kbgen.model import action as act
from kbgen.model.answers import question
from kbgen.model.procedure import ProcedureStep
from kbgen.position import Route
from kbgen.problems import shown
from kbgen.rules.words.beside import beside, more, standing
from kbgen.rules.words.clauses import is_mark
from kbgen.rules.words.differ import anothers_lock, differences, left_in, left_undone
from kbgen.rules.words.fields import against_fields
from kbgen.rules.words.found import WORDS, Found, Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.naming import not_named, tells_whole
from kbgen.rules.words.people import hands_in_question
from kbgen.rules.words.standing import held_there
from kbgen.rules.words.subject import never, show, target, wants
from kbgen.rules.words.table import Table
from kbgen.rules.words.telling import not_told
from kbgen.rules.words.told import ALTER, Told
from kbgen.rules.words.unknown import told_of, unknown_orders
from kbgen.rules.words.verdict import contradicts

WORDS_AGAINST_ACTION = WORDS.error(
    "words-against-action",
    "People do what the words say; the check has followed the action. One of them opens what the other shuts.",
    "- do: Open the burner cock.\n  shut_valve: burner-cock",
    "- do: Shut the burner cock.\n  shut_valve: burner-cock",
    rests_on="The table of words of the shop's language, and the names of the plant's own parts; other words go unread.",
    safety=True,
)

WORDS_AGAINST_VERDICT = WORDS.error(
    "words-against-verdict",
    "Bubbles are seen, and the page goes on to the flame because its author took the answer for the other one.",
    "leak_check: [p2]\nask: Do you see bubbles?\noutcomes:\n  - {when: 'Yes', tight: relight}\n  - {when: 'No', leaks: safe}",
    "leak_check: [p2]\nask: Do you see bubbles?\noutcomes:\n  - {when: 'No', tight: relight}\n  - {when: 'Yes', leaks: safe}",
    rests_on="The words of question and answer by the table of the language; what they leave open passes.",
    safety=True,
)
ACTION_NOT_TOLD = WORDS.error(
    "action-not-told",
    "Whoever reads these words does something else, or nothing; the check goes on as if the action were done.",
    "- do: See to the burner cock.\n  shut_valve: burner-cock",
    "- do: Shut the burner cock.\n  shut_valve: burner-cock",
    rests_on="The table of words of the shop's language, and the names of the plant's own parts; what they do not know is refused.",
    safety=True,
)
ORDER_NOT_KNOWN = WORDS.error(
    "order-not-known",
    "What only the words tell is done by people and unknown to the check; what nobody understands is not taken for harmless.",
    "- do: Write the reading down. Twirl the regulator two turns.",
    "- do: Write the reading down.",
    rests_on="The table of words of the shop's language: what is in none of its lists is refused.",
    safety=True,
)

_HINT = "Correct the words or the action, so that both say the same."
# These name no part: whatever is told the other way round is meant.
_ANSWERED = (("ask",), ("expect",))
"""Texts that speak of what was done; "after you have turned it off" tells it to whoever reads."""
# What is seen there is that nothing moves: "Is it turning nicely?" asks for the other one.
_AT_REST = {"seen": "at-rest", "not-seen": "turning"}
_SHOWN_COVER = {"off": "take-off", "on": "put-on"}
_WITH_A_HOSE = ("open-test-point", "open-drain", "open-vent", "hose")
_NAMELESS = act.StartDemand | act.StopDemand | act.Fit | act.Undo | act.Clip | act.Unclip


def judge(ground: Ground, step: ProcedureStep, texts: list[tuple[Route, str]]) -> Iterator[Found]:
    """Yield what does not go together in a step.

    Args:
        texts: Its texts with their routes from the step.
    """
    action = step.action
    for route, text in texts:
        told = _of_cover(action, ground.reader.told(text))
        against = list(_instruction(ground, action, told, text)) if action and route == ("do",) else []
        if route == ("do",):
            against += left_in(ground, text)
            against += anothers_lock(ground, action, text) if action is not None else ()
        yield from (Found(WORDS_AGAINST_ACTION, route, message, _HINT) for message in against)
        if route == ("do",):
            yield from _not_understood(ground, step, told, text, told_wrong=bool(against))
            if said := held_there(ground, text):
                yield standing(said, route)
        if action is not None and route == ("expect",):
            for message in _expected(ground, action, text):
                yield Found(WORDS_AGAINST_ACTION, route, message, _HINT)
        if route == ("ask",):
            for message in hands_in_question(ground, action, text):
                yield Found(WORDS_AGAINST_ACTION, route, message, _HINT)
        if route in _ANSWERED:
            supposed = [each for each in ground.reader.supposed(text) if each.kind not in wants(action)]
            yield from (more(each, route) for each in supposed)
        for at, each in enumerate(told):
            # Words that contradict the action tell something else as well; that is said once.
            if (against and each.kind != ALTER) or _put_back(ground, action, each, told[at + 1 :]):
                continue
            yield from beside(ground, action, each, route, told_here=route != ("note_down",))
    yield from _answers(ground, step)


def _of_cover(action: act.AnyAction | None, told: tuple[Told, ...]) -> tuple[Told, ...]:
    """Return deeds, where a cover is only shown as off or on in the kinds that covers have."""
    if not isinstance(action, act.CloseCover | act.OpenCover):
        return told
    return tuple(
        replace(each, kind=_SHOWN_COVER.get(each.kind, each.kind)) if each.shown else each for each in told
    )


def _not_understood(
    ground: Ground, step: ProcedureStep, told: tuple[Told, ...], text: str, *, told_wrong: bool
) -> Iterator[Found]:
    """Yield what an instruction does not tell of its action, and what it orders in words that no table knows."""
    action, route = step.action, ("do",)
    lack = None
    if action is not None and not told_wrong:
        lack = not_told(ground, step, told, text) or not_named(ground, action, text, step.ask)
    if lack is not None:
        yield Found(ACTION_NOT_TOLD, route, *lack)
        return
    own = partial(ground.own, action) if action is not None else lambda _: False
    done = partial(tells_whole, ground, action)
    for order in unknown_orders(ground.reader, action, text, own, done):
        yield Found(ORDER_NOT_KNOWN, route, *told_of(order))


def _put_back(ground: Ground, action: act.AnyAction | None, each: Told, later: tuple[Told, ...]) -> bool:
    """Return whether a part comes out of a zone that nothing reaches, and goes in again in the same words."""
    table = ground.reader.table
    if isinstance(action, act.ProveDead) and each.kind == "unguard":
        # Who proves what lies behind it takes the shroud off for the proof alone.
        return any(it.kind == "put-on" and not table.shrouds.isdisjoint(it.tokens) for it in later)
    if not isinstance(action, act.WorkIn) or each.kind not in (ALTER, "unguard"):
        return False
    foreign = table.things | table.fasteners | table.shrouds
    off = each.kind == "unguard" or each.tokens[0] in table.takes
    return off and foreign.isdisjoint(each.tokens) and any(it.kind in ("back", "put-on") for it in later)


def _answers(ground: Ground, step: ProcedureStep) -> Iterator[Found]:
    """Yield the answers of a step whose words say another verdict than they carry."""
    asked = question(step)
    still = isinstance(step.action, act.Observe) and step.action.observe == "standstill"
    for index, outcome in enumerate(step.outcomes):
        for word, _ in outcome.ways:
            if contradicts(
                asked, outcome.when, _AT_REST.get(word, word) if still else word, ground.reader.table
            ):
                yield Found(
                    WORDS_AGAINST_VERDICT,
                    ("outcomes", index, word),
                    f"`{shown(outcome.when)}` to `{shown(asked)}` does not mean `{word}`",
                    "Give this answer the verdict that its words say, or ask so that nobody can take it for the other.",
                )


def _instruction(ground: Ground, action: act.AnyAction, told: tuple[Told, ...], text: str) -> Iterator[str]:
    described = _of_cover(action, tuple(ground.reader.described(text)))
    does = any(each.kind in wants(action) for each in (*told, *described))
    for each in described:
        named = ground.own(action, each.tokens) or ground.held_with(action, each.tokens)
        against = each.kind in never(action) and not _goes_with(ground, action, each)
        if against and (named or _vague(ground, action, each)):
            yield f"`{shown(each.words)}` is the opposite of `{show(action)}`"
            return
    for each in told:
        if (
            each.kind in never(action)
            and not _goes_with(ground, action, each)
            and (
                ground.own(action, each.tokens)
                or ground.own_thing(action, each.tokens)
                or (not does and _vague(ground, action, each))
            )
        ):
            yield f"`{shown(each.words)}` is the opposite of `{show(action)}`"
            return
        if isinstance(action, act.Lock) and each.kind == "on" and ground.locked_with(action, each.tokens):
            yield f"`{shown(each.words)}` takes out what `{show(action)}` locks with"
            return
    yield from left_undone(ground, action, text)
    yield from differences(ground, action, told, text)
    yield from against_fields(ground, action, text, does=does)


def _goes_with(ground: Ground, action: act.AnyAction, told: Told) -> bool:
    """Return whether a deed of the other kind is no opposite here.

    A start may name what stays off, in its own words or by another mark.
    """
    if isinstance(action, act.Isolate | act.Restore) and ground.electric(action):
        # Electricians open a switch to turn it off. "Shut Q2" may mean either, "close Q2" does not.
        return told.kind == ("open" if isinstance(action, act.Isolate) else "shut")
    if isinstance(action, act.Unlock):
        # "Padlock off the box", "lock cap off": what was put on for the lock comes off. "Lock off Q1" may mean either.
        return "off" in told.tokens and bool(ground.reader.table.beside_lock & set(told.tokens[:2]))
    if isinstance(action, act.Undo):
        # The hose that went onto the open point comes off with it.
        fit, table = ground.fits.get(action.undo), ground.reader.table
        hose = fit is not None and fit.fit in _WITH_A_HOSE and told.tokens[0] in table.takes
        back = told.shown and not table.back.isdisjoint(told.tokens)
        wires = ((table.things - table.own_wires) | table.fasteners).isdisjoint(told.tokens)
        return (
            (back and wires)
            or (hose and bool(table.not_things & set(told.tokens)))
            or _lands(fit, told, table)
        )
    if not isinstance(action, act.StartDemand | act.StopDemand):
        return False
    joined = next((at for at, word in enumerate(told.tokens) if word in ground.reader.table.joins), None)
    if ground.reader.table.stays & set(told.tokens[:joined]):
        return True  # "heat switch left at OFF": nobody turns it; the start is by another
    own = target(action)
    said = any(each.kind == told.kind for each in ground.reader.told(own))
    marks = frozenset(word for word in words_of(own, fold=False) if is_mark(word))
    return said or bool(told.marks and marks and not told.marks & marks)


def _lands(fit: act.Fit | None, told: Told, table: Table) -> bool:
    """Return whether a lifted wire goes back onto its own terminal, and to no other; which one, its own page says."""
    return (
        (fit is None or fit.fit == "lifted-wire")
        and any(verb in table.lands for token in told.tokens for verb, _ in table.forms.get(token, ()))
        and len(told.marks) == 1
        and (fit is None or told.marks <= {fit.from_, fit.to})
        and ((table.things - table.own_wires) | table.fasteners).isdisjoint(told.tokens)
    )


def _vague(ground: Ground, action: act.AnyAction, told: Told) -> bool:
    """Return whether a deed names nothing at all, or a word of what the action is about."""
    if isinstance(action, _NAMELESS):
        return True
    reader, table = ground.reader, ground.reader.table
    small = table.leads | table.across | table.places | reader.particles | table.forms.keys()
    left = {word for word in told.tokens if word not in small and not word.endswith(table.adverb)}
    return not left or bool(left & ground.own_words(action))


def _expected(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    if ground.like(action) is None:
        return
    for state in ground.reader.states(text):
        if state.kind in never(action) and ground.own(action, state.tokens):
            yield f"`{shown(state.words)}` cannot be expected after `{show(action)}`"
