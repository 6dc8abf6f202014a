"""Whether an instruction tells its action at all: what nobody understands is never taken as right."""

from __future__ import annotations

from kbgen.model import action as act
from kbgen.model.action import TABLE
from kbgen.model.answers import question
from kbgen.model.procedure import ProcedureStep
from kbgen.rules.words.clauses import clauses, sentences
from kbgen.rules.words.ends import handle
from kbgen.rules.words.figures import figures
from kbgen.rules.words.found import Ground
from kbgen.rules.words.inflect import BASE
from kbgen.rules.words.names import words_of
from kbgen.rules.words.positions import put_to
from kbgen.rules.words.subject import show, wants
from kbgen.rules.words.table import Table
from kbgen.rules.words.told import Reader, Told

_SHOWN = 5
_BY_A_SWITCH = frozenset(("electric", "foreign-fed", "fuel"))


def not_told(
    ground: Ground, step: ProcedureStep, told: tuple[Told, ...], text: str
) -> tuple[str, str] | None:
    """Return that an instruction does not tell its action, and with which words it would; ``None`` where it does."""
    action = step.action
    ways = ways_of(ground, action) if action is not None else ""
    if action is None or not ways or any(each.kind in wants(action) for each in told):
        return None
    if (
        tells(ground.reader, text, ways)
        or _asked(ground.reader, step, text)
        or by_fields(ground, action, text)
    ):
        return None
    row = ground.reader.table.ways[ways][0]
    return (
        f"nothing here tells `{show(action)}` in words that we know",
        f"Say it with {', '.join(row.shown[:_SHOWN])}; `kbgen explain {TABLE[type(action)].name}` shows every word.",
    )


def by_fields(ground: Ground, action: act.AnyAction, text: str) -> bool:
    """Return whether words name all that the fields of an action say, so that no verb is missed: "J5 red, J0 black"."""
    table = ground.reader.table
    tokens = ground.reader.affirmed(text)
    match action:
        case act.Clip(at=at, to=to) | act.Measure(at=at, to=to) | act.Watch(at=at, to=to) if at and to:
            return {at.lower(), to.lower()} <= set(tokens)
        case act.Guard(with_=thing):
            first = ground.reader.affirmed(next(iter(sentences(text)), ""))
            named = set(words_of(thing)) & set(first) - table.places - table.joins - table.articles
            return len(named) > 1 and table.bared.isdisjoint(first)
        case act.Hold(hold=device):
            return device in ground.names.devices.named(tokens) and not table.body.isdisjoint(tokens)
        case act.Fit(fit="changed-setting", at=field):
            return put_to(field) != () and set(put_to(field)) <= set(put_to(text))
        case act.Adjust(to=field) | act.ProveGone(by=field):
            own = {(each.kind, each.value) for each in figures(field, table)}
            return not own.isdisjoint((each.kind, each.value) for each in figures(text, table))
        case act.ShutValve() | act.OpenValve():
            wanted = "shut" if isinstance(action, act.ShutValve) else "open"
            return any(handle(table, sentence) == wanted for sentence in sentences(text))
    return False


def _asked(reader: Reader, step: ProcedureStep, text: str) -> bool:
    """Return whether a step that only looks or notes is told without a verb: by its question, or as a bare list."""
    match step.action:
        case act.Inspect() | act.CheckReal() | act.Identify() | act.FindCause() if step.ask:
            return True
        case act.CheckReal() | act.Identify() | act.Observe():
            return bool(question(step)) and orders_nothing(reader, text)
        case act.Record():
            return orders_nothing(reader, text)  # what is written down, as a list: "Letter, dot, gauges."
    return False


def orders_nothing(reader: Reader, text: str) -> bool:
    """Return whether no clause of a text begins with a verb: "Ten minutes of S70, then heat OFF"."""
    table = reader.table
    verbs = table.harmless | table.hands
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            first = next(
                (t for t in clause.tokens if t not in table.leads and not t.endswith(table.adverb)), ""
            )
            known = first in verbs or any(form == BASE for _, form in table.forms.get(first, ()))
            if known and first not in table.not_verbs:
                return False
    return True


def tells(reader: Reader, text: str, ways: str) -> bool:
    """Return whether a sentence of a text tells an action by one of its ways."""
    table = reader.table
    before: set[str] = set()
    for sentence in sentences(text):
        words = _said(sentence, table)
        # "That padlock is yours. Take it with you": the thing stands in the sentence before.
        both = before | words if not table.objects_named_before.isdisjoint(words) else words
        before = words
        for way in table.ways[ways]:
            if any(
                way.without.isdisjoint(said) and not any(said.isdisjoint(group) for group in way.groups)
                for said in (words, both)
            ):
                return True
    return False


def ways_shown(table: Table, action: str) -> tuple[str, ...]:
    """Return the words by which an action may be told, with the most usual first."""
    names = (action, f"{action}_other")
    return tuple(
        dict.fromkeys(word for name in names for way in table.ways.get(name, ()) for word in way.shown)
    )


def words_of_ways(table: Table, action: act.AnyAction) -> frozenset[str]:
    """Return the words that tell an action and are no name of anything."""
    ways = table.ways.get(TABLE[type(action)].name, ())
    return frozenset(word for way in ways for group in way.groups for word in group)


def ways_of(ground: Ground, action: act.AnyAction) -> str:
    """Return the name of the lines for an action; empty where it has none."""
    name = TABLE[type(action)].name
    source = ground.sources.get(getattr(action, name, ""))
    if (
        source is not None
        and source.energy not in _BY_A_SWITCH
        and f"{name}_other" in ground.reader.table.ways
    ):
        return f"{name}_other"
    return name if name in ground.reader.table.ways else ""


def _said(sentence: str, table: Table) -> set[str]:
    """Return the words of a sentence in every form that they may be of, each clause up to the word before a denial."""
    found: set[str] = set()
    denying = table.negators | table.no
    for clause in clauses(sentence, table):
        tokens = clause.tokens
        # "Open nothing", "do not open": the word before the denial is denied with it. "Do not forget the tag" denies nothing.
        end = next(
            (
                at - 1
                for at, token in enumerate(tokens)
                if token in denying and table.undone.isdisjoint(tokens[at + 1 : at + 2])
            ),
            len(tokens),
        )
        for token in tokens[: max(0, end)]:
            found.add(token)
            found |= table.lemmas.get(token, frozenset())
    return found
