"""Outcomes carry verdict words: ``go`` and ``is`` of what proves or reads something become one key."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from kbgen.migrate.layout import CannotEdit
from kbgen.migrate.old_words import IS_WORDS, NO, OTHER, READ, YES, Meant, meant, only_doubt, usual
from kbgen.migrate.page import Page, Plan
from kbgen.migrate.step import BY_HEAD, Shop, Step, head_of, steps
from kbgen.model.procedure import ProcedureStep
from kbgen.model.verdicts import GONE, REAL, WITHIN, WORDS, Verdicts
from kbgen.ref import Kind

_COMMON = {key.rstrip("_") for key in ProcedureStep.__dataclass_fields__} - {"action", "ways", "route"}
_QUESTIONS: dict[str, tuple[str, ...]] = {
    "identify": (
        "are they all the same",
        "is it the same",
        "do all of them carry the same number",
        "do all three carry the same number",
    ),
    "prove_dead": ("is it dead", "is it dead, and did the meter read on the proving unit both times"),
    "leak_check": ("is it tight", "is everything tight"),
    "find_cause": ("is the cause found and mended",),
    "observe": (
        "was all of it as it should be",
        "purge, light-up, firing and stop all as they should be",
    ),
    "volts": (
        "what does the meter read",
        "what does it read",
        "what does the meter show",
        "what does it show",
    ),
}
"""Old questions that say nothing more than the action asks by itself."""

_IS_GONE = re.compile(
    r"(?<![\d.,])0 ?(?:mbar|bar|hPa|kPa|Pa|psi|in wc)\b|\bzero\b|\bgone\b|\b(?:no|without|without any) (?:pressure|rise)\b",
    re.IGNORECASE,
)
_ABOVE = re.compile(r"\b(?:above|over|more than|not|rises?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Asked:
    """A step whose outcomes are looked at: where it stands, and what each outcome meant."""

    route: tuple[str | int, ...]
    step: Mapping[str, Any]
    outcomes: list[dict[str, Any]]
    meant: list[Meant]

    @property
    def is_old(self) -> bool:
        return any("go" in each or "is" in each for each in self.outcomes)

    def item(self, index: int) -> tuple[str | int, ...]:
        return (*self.route, "outcomes", index)

    def targets(self, *, word: str = "", doubt: bool = False) -> set[str]:
        """Return where the outcomes of a word lead, or those that take whoever is not sure."""
        return {
            next((outcome[key] for key in ("go", *WORDS) if key in outcome), "")
            for outcome, said in zip(self.outcomes, self.meant, strict=True)
            if (said.doubt if doubt else said.word == word)
        }


def _run(page: Page, _: Shop) -> None:
    for route, step in steps(page):
        outcomes = step.get("outcomes")
        if not isinstance(outcomes, list) or not all(_readable(each) for each in outcomes):
            continue  # the check tells it
        asked = _Asked(route, step, outcomes, [meant(each) for each in outcomes])
        if asked.is_old:
            try:
                _step(page, asked)
            except CannotEdit:
                page.leave((*route, "outcomes"), "the text stands so that it cannot be changed safely")


def _readable(outcome: object) -> bool:
    return isinstance(outcome, dict) and all(isinstance(each, str | None) for each in outcome.values())


def _step(page: Page, asked: _Asked) -> None:
    unknown = [index for index, each in enumerate(asked.outcomes) if each.get("is", OTHER) not in IS_WORDS]
    if unknown:
        page.leave((*asked.item(unknown[0]), "is"), f"`is` is one of {', '.join(IS_WORDS)}")
        return
    head = head_of(asked.step)
    if not head and any("is" in each for each in asked.outcomes) and _strange(asked.step):
        names = ", ".join(f"`{key}`" for key in _strange(asked.step))
        page.leave((*asked.route, "outcomes"), f"what the step does is not understood: mend {names} first")
        return
    verdicts = _row(head, asked)
    if verdicts is None:
        _plain(page, asked)
        return
    words = [_verdict(verdicts, said) for said in asked.meant]
    why = _turned(verdicts, asked)
    if not verdicts.must and not _told(verdicts, asked):
        if _told(
            verdicts, replace(asked, meant=[meant({"when": each.get("when")}) for each in asked.outcomes])
        ):
            # Without `is` the words would mean something else.
            page.leave(
                (*asked.route, "outcomes"), "`is` says something else than the words: say it in the words"
            )
        else:
            _plain(page, asked)
    elif why:
        page.leave((*asked.route, "ask" if "ask" in asked.step else "outcomes"), why)
    else:
        _with_words(page, asked, head, verdicts, words)


def _told(verdicts: Verdicts, asked: _Asked) -> bool:
    """Return whether every outcome has a verdict word, and none could mean the other one."""
    return all(_verdict(verdicts, said) for said in asked.meant) and not _turned(verdicts, asked)


def _strange(step: Mapping[str, Any]) -> list[str]:
    return [key for key in step if key not in _COMMON]


def _row(head: str, asked: _Asked) -> Verdicts | None:
    if not head:
        return None
    found = BY_HEAD[head].verdicts
    verdicts = found.get(str(asked.step[head])) if isinstance(found, Mapping) else found
    if verdicts is not GONE:
        return verdicts
    question = _question(asked)
    if not _IS_GONE.search(question):
        return WITHIN
    # "Is it above 0 mbar?" asks the other way round.
    without = re.sub(r"\b(?:no|without|without any) rise\b", "", question, flags=re.IGNORECASE)
    return None if _ABOVE.search(without) else GONE


def _verdict(verdicts: Verdicts, said: Meant) -> str:
    """Return the verdict word of an outcome; empty where it cannot be told."""
    word, doubt = said
    if verdicts.reads:
        # A word of the row cannot also take doubt, but the last can.
        if word in READ:
            return word if not doubt or word == verdicts.doubtful else ""
        return verdicts.doubtful if doubt and not word else ""
    found = {YES: verdicts.words[0], NO: verdicts.words[-1], "": verdicts.doubtful if doubt else ""}.get(
        word, ""
    )
    return found if not doubt or found == verdicts.doubtful else ""


def _turned(verdicts: Verdicts, asked: _Asked) -> str:
    """Return why it cannot be told which answer is the good one; empty where it can."""
    if verdicts.reads or {YES, NO}.isdisjoint(said.word for said in asked.meant):
        return ""
    doubt = asked.targets(doubt=True)
    yes, no = asked.targets(word=YES), asked.targets(word=NO)
    takes, other = (yes, no) if verdicts is REAL else (no, yes)
    good = " or ".join(f"`{word}:`" for word in verdicts.words)
    if not doubt:
        return f"no outcome says where not sure leads; write {good} in place of `go:`"
    if doubt & other and not doubt & takes:
        return f"not sure leads where `{verdicts.doubtful}` would not; say which answer is which: {good} in place of `go:`"
    return ""


def _plain(page: Page, asked: _Asked) -> None:
    plan = Plan()
    for index, outcome in enumerate(asked.outcomes):
        if "is" in outcome:
            page.drop(plan, (*asked.item(index), "is"))
    page.commit(plan)
    for index, outcome in enumerate(asked.outcomes):
        if "is" in outcome:
            said = f"outcome `{outcome.get('when')}`: `is: {outcome['is']}` is gone, it leads on by `go`"
            page.tell((*asked.item(index), "is"), "is removed", said)


def _with_words(page: Page, asked: _Asked, head: str, verdicts: Verdicts, words: list[str]) -> None:
    given = [next((key for key in WORDS if key in each), "") for each in asked.outcomes]
    undecided = [index for index, word in enumerate(words) if not word and not given[index]]
    dropped = [] if undecided or any(given) else _dropped(asked, verdicts, words)
    kept = {
        index: word
        for index, word in enumerate(words)
        if word and not given[index] and "go" in asked.outcomes[index]
    }
    shown = {index: word for index, word in kept.items() if index not in dropped}
    usual_ = _QUESTIONS.get("volts" if verdicts.reads else head, ())
    own = _question(asked) not in usual_
    if not undecided and not (own and not verdicts.reads) and _says_nothing(asked, verdicts, shown):
        try:
            _shrink(page, asked, shown, own=own)
        except CannotEdit:
            pass  # a comment inside: the outcomes stay, with their words
        else:
            return
    _in_place(page, asked, kept, dropped)
    for index in undecided:
        choice = ", ".join(f"`{word}:`" for word in verdicts.words)
        said = asked.outcomes[index].get("when")
        page.leave(asked.item(index), f"outcome `{said}`: write {choice} in place of `go:` and `is:`")


def _dropped(asked: _Asked, verdicts: Verdicts, words: list[str]) -> list[int]:
    """Return the outcomes that say only that one is not sure, and lead where doubt leads anyway."""
    pure = [
        index
        for index, each in enumerate(asked.outcomes)
        if only_doubt(each) and each.keys() <= {"when", "go", "is", "at_most"}
    ]
    takes = {
        (outcome.get("go"), outcome.get("at_most"))
        for index, outcome in enumerate(asked.outcomes)
        if words[index] == verdicts.doubtful and index not in pure
    }
    ways = {(asked.outcomes[index].get("go"), asked.outcomes[index].get("at_most")) for index in pure}
    others = any(said.doubt for index, said in enumerate(asked.meant) if index not in pure)
    return pure if takes == ways and len(takes) == 1 and not others else []


def _question(asked: _Asked) -> str:
    typed = asked.step.get("ask")
    return " ".join(typed.split()).rstrip("?").casefold() if isinstance(typed, str) else ""


def _says_nothing(asked: _Asked, verdicts: Verdicts, shown: dict[int, str]) -> bool:
    """Return whether the outcomes say nothing more than the page says by itself."""
    return (
        bool(_question(asked))
        and sorted(shown.values()) == sorted(verdicts.needed)
        and all(usual(each) and each.keys() <= {"when", "go", "is"} for each in asked.outcomes)
    )


def _shrink(page: Page, asked: _Asked, shown: dict[int, str], *, own: bool) -> None:
    plan = Plan()
    if not own:
        page.drop(plan, (*asked.route, "ask"))
    page.shrink(
        plan, (*asked.route, "outcomes"), {word: (*asked.item(index), "go") for index, word in shown.items()}
    )
    page.commit(plan)
    new = ", ".join(f"`{word}: {asked.outcomes[index]['go']}`" for index, word in shown.items())
    what = "outcomes" if own else "question and outcomes"
    page.tell((*asked.route, "outcomes" if own else "ask"), "shrunk", f"{what} became {new}")


def _in_place(page: Page, asked: _Asked, kept: dict[int, str], dropped: list[int]) -> None:
    plan, told = Plan(), []
    for index, outcome in enumerate(asked.outcomes):
        item, when = asked.item(index), outcome.get("when")
        if index in dropped and page.can_drop(item):
            page.drop(plan, item)
            told.append(
                (item, "not sure dropped", f"outcome `{when}` is gone: the page leads it there itself")
            )
        elif index in kept:
            page.rename(plan, (*item, "go"), kept[index])
            became = f"`go` became `{kept[index]}`"
            if "is" in outcome:
                page.drop(plan, (*item, "is"))
                became += f", `is: {outcome['is']}` is gone"
            told.append(((*item, "go"), "verdict word", f"outcome `{when}`: {became}"))
    page.commit(plan)
    for route, kind, says in told:
        page.tell(route, kind, says)


STEP = Step(
    "An outcome of a step that proves or reads something carries its verdict word in place of `go` and `is`; "
    "what the page asks and adds by itself is left out; on other questions `is` is gone.",
    Kind.PROCEDURE,
    _run,
)
