"""How many contradictions of words and actions are told, and how often sound words alarm."""

from __future__ import annotations

import time
from collections import Counter

from kbgen.rules.material import Material
from kbgen.rules.words.check import CHECKS, reader_of
from tests.mutants.ground import demonstration
from tests.mutants.phrasings import phrased
from tests.mutants.words import RIGHT, WRONG, Case, Words, looks


def run() -> list[str]:
    """Make every change, judge its words, and return the figures as Markdown."""
    ground = demonstration()
    words = Words(ground)
    reader_of.cache_clear()
    start = time.process_time()
    (check,) = CHECKS
    alarms = list(check(Material(ground.base, {}, ground.schemas)))
    seconds = time.process_time() - start
    rows, missed, told, made = [], [], 0, 0
    for name, make in WRONG.items():
        cases = list(make(words))
        misses = [case for case in cases if not words.judge(case)]
        rows.append(f"| {name} | {len(cases) - len(misses)} of {len(cases)} |")
        missed += [f"- {name}, {case.name}: {case.step['do']}" for case in misses]
        told, made = told + len(cases) - len(misses), made + len(cases)
    entries = list(looks(words))
    found = sum(bool(words.other(kind, data)) for kind, data in entries)
    rows.append(f"| alteration in looks, devices, cautions, close-ups | {found} of {len(entries)} |")
    told, made = told + found, made + len(entries)
    before = {case.name for case in words.cases if words.judge(case)}
    false = []
    harmless = 0
    for name, make in RIGHT.items():
        for case in make(words):
            harmless += 1
            if case.name not in before and words.judge(case):
                false.append(f"- {name}, {case.name}: {case.step['do']}")
    wordings = _wordings(words)
    return [
        f"The demonstration as it is: {len(alarms)} alarms in {len(words.cases)} steps, {seconds:.2f} s of processor time.",
        "",
        f"- **Contradictions**: {made} changes, {told} told ({100 * told / made:.1f} %).",
        f"- **Harmless words**: {harmless} changes, {len(false)} alarms.",
        "",
        "The sentences were written by the author of the table.",
        "",
        "| Change | Told |",
        "|---|---|",
        *rows,
        "",
        f"Missed, {len(missed)} in all:" if missed else "Missed: none.",
        *missed[:12],
        "",
        f"Alarms at harmless words, {len(false)} in all:" if false else "Alarms at harmless words: none.",
        *false[:12],
        "",
        *wordings,
    ]


def _wordings(words: Words) -> list[str]:
    """Return how many wordings by kind are told, and how many quiet ones alarm."""
    told: Counter[tuple[str, bool]] = Counter()
    made: Counter[tuple[str, bool]] = Counter()
    for plant in dict.fromkeys(case.plant for case in words.cases):
        for each in phrased(words.site(plant)):
            quiet = each.kind == "quiet" or each.kind.endswith("right")
            for key in (each.kind, "alarms" if quiet else "told"):
                made[key, each.held] += 1
                told[key, each.held] += bool(words.judge(Case("phrased", plant, each.step, [])))
    kinds = dict.fromkeys(kind for kind, _ in made)
    rows = [
        f"| {kind} | {told[kind, False]} of {made[kind, False]} | {told[kind, True]} of {made[kind, True]} |"
        for kind in kinds
    ]
    return ["| Wordings by kind, told | open half | held half |", "|---|---|---|", *rows]
