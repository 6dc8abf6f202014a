"""Rules about answers: what proves something says so by its verdict word, and doubt never proves anything."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.hazard import READINGS
from kbgen.model import verdicts as v
from kbgen.model.action import AnyAction, CheckReal, FindCause, row
from kbgen.model.answers import answers, doubts, verdict, words_for
from kbgen.model.entry import Entry
from kbgen.model.procedure import ProcedureStep
from kbgen.model.verdicts import Verdicts
from kbgen.nearest import one_of
from kbgen.position import Route, Spot
from kbgen.problems import Problem
from kbgen.rules.material import Check, Material

ANSWERS = READINGS.on("A proof is a proof by its result, never by having been looked for.")

VERDICT_MISSING = ANSWERS.hazard(
    "verdict-missing",
    "What the check does not understand proves nothing: bubbles are seen, and the page goes on to the flame.",
    "leak_check: [p2]\nask: Do you see bubbles?\noutcomes:\n  - {when: 'No', go: relight}\n  - {when: 'Yes', go: safe}",
    "leak_check: [p2]\nask: Do you see bubbles?\noutcomes:\n  - {when: 'No', tight: relight}\n"
    "  - {when: 'Yes', leaks: safe}",
    rests_on="The verdict words of the table of actions and the outcomes of the step.",
)
VERDICT_FOREIGN = ANSWERS.hazard(
    "verdict-foreign",
    "A verdict of another action says nothing about this one.",
    "leak_check: [p2]\nask: Any bubbles?\noutcomes:\n  - {when: 'No', dead: relight}\n  - {when: 'Yes', live: safe}",
    "leak_check: [p2]\nask: Any bubbles?\noutcomes:\n  - {when: 'No', tight: relight}\n  - {when: 'Yes', leaks: safe}",
    rests_on="The verdict words of the table of actions.",
)
OUTCOME_LEADS_BADLY = ANSWERS.hazard(
    "outcome-leads-badly",
    "An outcome with two ways is followed on the wrong one.",
    "outcomes:\n  - {when: 'No', go: relight, tight: relight}",
    "outcomes:\n  - {when: 'No', tight: relight}",
    rests_on="The fields of the outcome.",
)
DOUBT_DECIDES = ANSWERS.hazard(
    "doubt-decides",
    "Whoever is not sure has not seen it. Doubt about a trip is a real trip; doubt about a proof is none.",
    "outcomes:\n  - {when: 'Yes', leaks: safe}\n  - {when: No or not sure, tight: relight}",
    "outcomes:\n  - {when: 'Yes', leaks: safe}\n  - {when: 'No', tight: relight}",
    rests_on="Words of doubt in `when`, and where the table of actions says that doubt goes.",
)
FAILS_ALIKE = ANSWERS.hazard(
    "fails-alike",
    "A proof whose failure leads on like its pass was not needed by anybody, or is crossed.",
    "prove_dead: control\ndead: reach-in\nlive: reach-in",
    "prove_dead: control\ndead: reach-in\nlive: not-dead",
    rests_on="Where the verdict words of one step lead.",
)
DOUBT_UNNAMED = ANSWERS.hazard(
    "doubt-unnamed",
    "Where one verdict leads several ways, somebody in doubt takes the nearest.",
    "outcomes:\n  - {when: Low in the glass, real: fill}\n  - {when: Out of sight, real: stop}\n"
    "  - {when: In the middle, faulty: mend}",
    "outcomes:\n  - {when: Low in the glass, real: fill}\n  - {when: Out of sight or not sure, real: stop}\n"
    "  - {when: In the middle, faulty: mend}",
    rests_on="The outcomes with one verdict that lead several ways.",
)

_PROOFS = (v.SAME, v.DEAD, v.AWAY, v.GONE, v.AGREES)
"""Rows whose last word never leads on. A leak that does, and a trip that stays owed, the walk follows by itself."""


def _answers(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        searched = {
            step.id: step.action.find_cause
            for step in procedure.steps
            if step.id and isinstance(step.action, FindCause)
        }
        for number, step in enumerate(procedure.steps, start=1):
            yield from _of_step(entry, step, number, searched)


def _of_step(entry: Entry, step: ProcedureStep, number: int, searched: dict[str, str]) -> Iterator[Problem]:
    verdicts = words_for(step)
    yield from _leads_badly(entry, step, number)
    if step.action is not None and verdicts is not None:
        yield from _missing(entry, step, step.action, verdicts, number)
        yield from _doubt(entry, step, verdicts, number, searched)
    yield from _foreign(entry, step, verdicts, number)


def _leads_badly(entry: Entry, step: ProcedureStep, number: int) -> Iterator[Problem]:
    for outcome in step.outcomes:
        ways = [word for word, _ in outcome.ways] + (["go"] if outcome.go else [])
        if len(ways) != 1:
            yield OUTCOME_LEADS_BADLY.at(
                Spot(entry.path, (*outcome.route, ways[-1] if ways else "when")),
                f"`{outcome.when}` in step {number} leads {'two ways' if ways else 'nowhere'}",
                "Give it one way: `go:` or the verdict word of the step's action, with the id of a step.",
            )
    if step.ways and (step.outcomes or step.go):
        word = step.ways[0][0]
        yield OUTCOME_LEADS_BADLY.at(
            Spot(entry.path, (*step.route, word)),
            f"step {number} answers with `{word}:` and with `{'outcomes' if step.outcomes else 'go'}:` as well",
            "Keep one of them: verdict words on the step itself, or outcomes that carry them.",
        )


def _missing(
    entry: Entry, step: ProcedureStep, action: AnyAction, verdicts: Verdicts, number: int
) -> Iterator[Problem]:
    name = row(action).name
    listed = " and ".join(f"`{word}: STEP`" for word in verdicts.needed)
    if verdicts.must and not verdicts.reads and not step.ways and not step.outcomes:
        yield VERDICT_MISSING.at(
            Spot(entry.path, (*step.route, name)),
            f"step {number} `{name}` goes on whatever is found; nothing says it is {verdicts.passing}",
            f"Write {listed} beside it; the page then asks by itself.",
        )
        return
    given = {verdict(outcome) for outcome in step.outcomes} - {""}
    if not verdicts.must and not given:
        return
    for outcome in step.outcomes:
        if not outcome.ways and outcome.go:
            yield VERDICT_MISSING.at(
                Spot(entry.path, (*outcome.route, "go")),
                f"step {number} `{name}`: `{outcome.when}` leads on and says nothing of what was found",
                f"Write {one_of(f'`{word}: {outcome.go}`' for word in verdicts.words)} in place of `go`; "
                "`kbgen migrate` does it in pages of an older form.",
            )


def _foreign(entry: Entry, step: ProcedureStep, verdicts: Verdicts | None, number: int) -> Iterator[Problem]:
    found: list[tuple[str, Route]] = [(word, (*step.route, word)) for word, _ in step.ways]
    found += [(word, (*outcome.route, word)) for outcome in step.outcomes for word, _ in outcome.ways]
    for word, route in found:
        if verdicts is None or word not in verdicts.words:
            name = f"`{row(step.action).name}`" if step.action is not None else "a step without an action"
            words = one_of(f"`{each}`" for each in verdicts.words) if verdicts else "`go`"
            words += ", or of an own question `go`" if verdicts is not None and not verdicts.must else ""
            yield VERDICT_FOREIGN.at(
                Spot(entry.path, route),
                f"step {number}: `{word}` is no answer to {name}",
                f"Write {words}.",
            )


def _doubt(
    entry: Entry, step: ProcedureStep, verdicts: Verdicts, number: int, searched: dict[str, str]
) -> Iterator[Problem]:
    asked = answers(step)
    for outcome in step.outcomes:
        word = verdict(outcome)
        if word in verdicts.words and word != verdicts.doubtful and doubts(outcome.when):
            yield DOUBT_DECIDES.at(
                Spot(entry.path, (*outcome.route, word)),
                f"step {number}: not being sure counts as `{word}`",
                f"Lead doubt by `{verdicts.doubtful}:`.",
            )
    if verdicts.doubt:
        # Of the job check both ways are safe to the walk; only where they lead apart is the check one. Both may lead
        # to the search for the cause of that very trip: what is found there decides.
        cause = {
            place
            for place, device in searched.items()
            if isinstance(step.action, CheckReal) and device == step.action.check_real
        }
        faulty = {answer.go for answer in asked if answer.verdict != verdicts.doubt} - cause
        for answer in asked:
            if answer.verdict == verdicts.doubt and answer.go in faulty:
                yield DOUBT_DECIDES.at(
                    Spot(entry.path, answer.route),
                    f"step {number}: `{answer.when}` leads where a faulty device leads",
                    "Let it lead where the trip is taken as real.",
                )
    passed = {answer.go for answer in asked if answer.verdict == verdicts.passing}
    for answer in asked if verdicts in _PROOFS else ():
        if answer.verdict == verdicts.words[-1] and answer.go in passed:
            yield FAILS_ALIKE.at(
                Spot(entry.path, answer.route),
                f"step {number}: `{answer.verdict}` leads where `{verdicts.passing}` leads",
                "Lead it to a step of its own that stops, mends or hands over.",
            )
    ways = {answer.go for answer in asked if answer.verdict == verdicts.doubtful}
    if len(ways) > 1 and not any(doubts(outcome.when) for outcome in step.outcomes):
        yield DOUBT_UNNAMED.at(
            Spot(entry.path, (*step.route, "outcomes")),
            f"step {number}: `{verdicts.doubtful}` leads {len(ways)} ways and nothing says which one doubt takes",
            "Add `or not sure` to the most cautious of them.",
        )


PAGE_CHECKS: tuple[Check, ...] = (_answers,)
