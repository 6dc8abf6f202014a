"""The answers to a step's question: what the person reads, what each means, where each leads.

Graph, walk, page and command line take them from here, so that they cannot disagree.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kbgen.model.action import Measure, Watch, row, verdicts_of
from kbgen.model.procedure import Outcome, ProcedureStep
from kbgen.model.verdicts import GONE, WITHIN, Verdicts
from kbgen.model.wording import ANSWERS, OR_NOT_SURE, OWN_ANSWERS, QUESTIONS
from kbgen.position import Route

_DOUBT = re.compile(
    r"\b(?:not\s+(?:quite\s+|really\s+)?(?:sure|certain)|unsure|uncertain|cannot\s+tell|can't\s+tell|unclear|in\s+doubt|don't\s+know|do\s+not\s+know|no\s+idea|maybe|perhaps|hard\s+to\s+(?:say|tell))\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer.

    Attributes:
        when: What the person reads.
        go: Id of the step it leads to.
        verdict: Its verdict word; empty where the answer means nothing to the check.
        doubt: Whether whoever is not sure goes this way.
        at_most: How often it may be taken; 0 for no limit.
        claims: What is said of the plant by it.
        are_on: Sources that are on by it, open and without a lock.
        danger: Whether it leads to leaving at once.
        route: Where it stands in the step's file.
    """

    when: str
    go: str
    verdict: str = ""
    doubt: bool = False
    at_most: int = 0
    route: Route = ()
    claims: tuple[str, ...] = ()
    danger: bool = False
    are_on: tuple[str, ...] = ()


def doubts(words: str) -> bool:
    """Return whether the words of an outcome take in that one is not sure.

    >>> doubts("No, or not sure"), doubts("Surely not")
    (True, False)
    """
    return _DOUBT.search(words) is not None


def question(step: ProcedureStep) -> str:
    """Return what the page asks after a step: the author's question, else that of its action."""
    if step.ask or not step.ways or step.action is None:
        return step.ask
    if isinstance(step.action, Measure | Watch):
        words = words_for(step)
        return QUESTIONS["pressure" if words is GONE else "volts" if words and words.reads else "within"]
    return QUESTIONS.get(row(step.action).name, "")


def words_for(step: ProcedureStep) -> Verdicts | None:
    """Return the row of verdict words that a step's answers are taken from.

    A pressure is either seen gone or held against what is right, a voltage is read as full or nothing or held
    against what is right; the author's words say which.
    """
    verdicts = verdicts_of(step.action)
    either = verdicts is not None and (verdicts is GONE or verdicts.reads)
    return WITHIN if either and _given(step) & set(WITHIN.words) else verdicts


def answers(step: ProcedureStep) -> tuple[Answer, ...]:
    """Return the answers of a step in the order they are shown; none where it asks nothing."""
    return tuple(_answers(step))


def _answers(step: ProcedureStep) -> Iterator[Answer]:
    verdicts = words_for(step)
    doubtful = verdicts.doubtful if verdicts else ""
    if not step.outcomes:
        own = OWN_ANSWERS.get(row(step.action).name, {}) if step.action else {}
        for word, go in step.ways:
            doubt = word == doubtful
            shown = own.get(word, ANSWERS[word])
            yield Answer(
                OR_NOT_SURE.format(shown) if doubt else shown, go, word, doubt, 0, (*step.route, word)
            )
        return
    said = any(doubts(outcome.when) for outcome in step.outcomes)
    for outcome in step.outcomes:
        word = verdict(outcome)
        go = outcome.ways[0][1] if outcome.ways else outcome.go
        doubt = doubts(outcome.when) or (not said and bool(word) and word == doubtful)
        when = OR_NOT_SURE.format(outcome.when) if doubt and not doubts(outcome.when) else outcome.when
        route = (*outcome.route, word or "go")
        yield Answer(
            when, go, word, doubt, outcome.at_most, route, outcome.claims, outcome.danger, outcome.are_on
        )


def verdict(outcome: Outcome) -> str:
    """Return the verdict word of an outcome; empty without one."""
    return outcome.ways[0][0] if outcome.ways else ""


def _given(step: ProcedureStep) -> set[str]:
    return {word for word, _ in step.ways} | {verdict(outcome) for outcome in step.outcomes}
