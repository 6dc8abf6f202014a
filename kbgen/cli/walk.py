"""``kbgen walk``."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from kbgen.cli.common import Commands, Progress, add_command, compile_any, count, no_such, print_json
from kbgen.compute.walk import Walk, rules_resting
from kbgen.model.answers import answers, question
from kbgen.model.build import head_key
from kbgen.model.procedure import Procedure
from kbgen.ref import Kind, Ref
from kbgen.text import words
from kbgen.views.notice import NOTICE

Rules = tuple[tuple[str, int], ...]


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "walk",
        run,
        "kbgen walk sb-make-safe --kb kb_source",
    )
    parser.add_argument(
        "procedure", metavar="PROCEDURE", help="id of the procedure: its file name without .yaml"
    )
    parser.add_argument(
        "--expanded",
        action="store_true",
        help="print the steps that its routines and endings stand for, as YAML, and walk nothing",
    )


def run(args: argparse.Namespace) -> int:
    """Walk one procedure; a broken one is walked too, that is what the command is for."""
    progress = Progress()
    compiled = compile_any(args, progress)
    progress.done()
    procedure = compiled.base.procedure(args.procedure)
    if procedure is None:
        names = [entry.ref.id for entry, _ in compiled.base.of(Procedure)]
        raise no_such(
            "procedure",
            args.procedure,
            names,
            "kbgen check says whether its file could be read" if names else "",
        )
    if args.expanded:
        steps = compiled.base.entries[Ref(Kind.PROCEDURE, args.procedure)].data["steps"]
        if args.json:
            print_json(compiled.edition, {"steps": steps})
        else:
            print("\n".join(expanded(steps)))
        return 0
    walk = compiled.walks[Ref(Kind.PROCEDURE, args.procedure)]
    entry = compiled.base.entries[Ref(Kind.PROCEDURE, args.procedure)]
    rules = () if walk.violations else rules_resting(compiled.base, entry, walk.arrival)
    if args.json:
        print_json(compiled.edition, _data(walk, rules))
    else:
        _print(procedure, walk)
        if not walk.violations:
            _rests(procedure, walk, rules)
        print(f"\n{NOTICE}")
    return 1 if walk.violations else 0


def expanded(steps: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """Yield the lines of steps as YAML; before those that their author did not write, where they come from."""
    yield "steps:"
    before = None
    for step in steps:
        origin = step.get("origin") or {}
        now = (origin.get("ending", ""), origin.get("at"), origin.get("line"), origin.get("routine", ""))
        if origin and now != before:
            ending = f"ending {origin['ending']}" if origin.get("ending") else ""
            parts = [origin.get("routine", ""), ending, f"line {origin['line'] + 1} of the steps"]
            yield f"  # {', '.join(part for part in parts if part)}"
        before = now
        for number, (key, value) in enumerate((k, v) for k, v in step.items() if k != "origin"):
            yield f"  {'  ' if number else '- '}{key}: {json.dumps(value, ensure_ascii=False)}"


def _data(walk: Walk, rules: Rules) -> dict[str, object]:
    return {
        "paths": walk.paths,
        "states": walk.states,
        "minutes": {
            "least": walk.minutes.least,
            "most": walk.minutes.most,
            "untimed_steps": walk.minutes.untimed,
        },
        "complete": walk.complete,
        "needs": walk.contract.needs,
        "may_find": walk.contract.finds,
        "leaves": [
            {"step": each.step + 1, "left": each.lines, "tag": each.tag} for each in walk.contract.leaves
        ],
        "steps": [
            {"step": number, "before": [condition.line() for condition in conditions]}
            for number, conditions in enumerate(walk.before, start=1)
        ],
        "rests_on": {
            "rules": dict(rules),
            "not_relied_on": [index + 1 for index in walk.rests.idle],
            "claims": walk.rests.claims,
            "verdicts": walk.rests.verdicts,
            "told_only": walk.rests.told,
        },
        "problems": [
            {"rule": found.rule.name, "step": found.step + 1, "message": found.sentence(), "hint": found.hint}
            for found in walk.violations
        ],
    }


def _print(procedure: Procedure, walk: Walk) -> None:
    for title, lines in (("needs", walk.contract.needs), ("may find", walk.contract.finds)):
        for line in lines:
            print(f"{title}: {line}")
    tags = {each.step: each.lines for each in walk.contract.leaves}
    before = ""
    for number, (step, conditions) in enumerate(zip(procedure.steps, walk.before, strict=True), start=1):
        state = " · ".join(condition.line() for condition in conditions)
        if state != before:
            print(f"      [{state or 'as found'}]")
            before = state
        # Of a page that was written out its author knows the ids, not the numbers.
        called = f"  ({step.id})" if procedure.written and step.id else ""
        print(f"{number:4}. {words(step.do)}{called}")
        if asked := question(step):
            print(f"      {asked}")
        for answer in answers(step):
            means = f" [{answer.verdict}]" if answer.verdict else ""
            claims = f" [claims {', '.join(answer.claims)}]" if answer.claims else ""
            print(f"        {answer.when}{means}{claims} → {answer.go}")
        for name in dict.fromkeys(each.rule.name for each in walk.violations if each.step == number - 1):
            print(f"      from here on taken as mended: {name}")
        for line in tags.get(number - 1, ()):
            print(f"      leaves: {line}")
    print(
        f"\n{count(walk.paths, 'way')} through {count(len(procedure.steps), 'step')}, {count(walk.states, 'state')}"
    )
    most = (
        "no limit: a loop has no at_most"
        if walk.minutes.most is None
        else f"{walk.minutes.most:g} min at most"
    )
    untimed = f" ({count(walk.minutes.untimed, 'step')} without minutes)" if walk.minutes.untimed else ""
    print(f"{walk.minutes.least:g} min at least, {most}{untimed}")
    for found in walk.violations:
        print(f"\n{found.sentence()} [{found.rule.name}]\n  hint: {found.hint}")
    if not walk.violations:
        print("nothing is left in, live or unproved on any way")


def _rests(procedure: Procedure, walk: Walk, rules: Rules) -> None:
    """Print what the green rests on."""
    print("\nThis rests on:")
    print(f"  rules kept, and where a step of this page is what keeps them: {_listed(rules) or 'none'}")
    steps = [(index, procedure.steps[index].action) for index in walk.rests.idle]
    idle = ", ".join(f"{index + 1} ({head_key(type(action))})" for index, action in steps)
    print(f"  steps that no rule and no end relies on: {idle or 'none'}")
    print(
        "  the author's word: "
        f"{count(walk.rests.claims, 'claim')}, {count(walk.rests.verdicts, 'answer')} with a verdict, "
        f"{count(walk.rests.told, 'step')} in words only"
    )


def _listed(rules: Rules) -> str:
    return ", ".join(f"{name} ({times})" for name, times in rules)
