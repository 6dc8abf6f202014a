"""``kbgen explain``: rules, actions and routines, written from their records and from the tables."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping
from textwrap import indent

from kbgen.cli.common import JSON_VERSION, Commands, WrongUse, add_command, no_such
from kbgen.model.action import TABLE, Row, row_verdicts
from kbgen.model.action_schema import answered_by, spared
from kbgen.model.duties import DUTIES
from kbgen.model.routine import BY_NAME as LINES
from kbgen.model.routine import RoutineRow
from kbgen.model.takes import SCOPES
from kbgen.nearest import one_of
from kbgen.resources import folder
from kbgen.rule import Rule
from kbgen.rules.registry import BY_NAME, RULES
from kbgen.rules.words.english import ENGLISH
from kbgen.rules.words.telling import ways_shown

ACTIONS = {row.name: row for row in TABLE.values()}


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "explain",
        run,
        "kbgen explain unknown-reference",
        reads=False,
    )
    parser.add_argument(
        "rule",
        nargs="?",
        metavar="RULE",
        help="name of a rule, as the check prints it, of an action or of a routine",
    )
    parser.add_argument(
        "--all",
        action="store_true",
        help="print what every page must do, every action, routine and rule, as one Markdown page or as JSON",
    )


def run(args: argparse.Namespace) -> int:
    """Explain a rule, or all of them."""
    if args.all:
        everything = {
            "page": [duty._asdict() for duty in DUTIES],
            "actions": [_row(row) for row in ACTIONS.values()],
            "routines": [_line_data(row) for row in LINES.values()],
            "rules": [_data(rule) for rule in RULES],
        }
        print(_json(everything) if args.json else page().rstrip())
        return 0
    if args.rule is None:
        raise WrongUse("name a rule as the check prints it, or write --all for a page of all rules")
    name = args.rule.strip("[]")
    if name in ACTIONS:
        print(_json(_row(ACTIONS[name])) if args.json else "\n".join(_action(ACTIONS[name])).rstrip())
        return 0
    if name in LINES:
        print(_json(_line_data(LINES[name])) if args.json else "\n".join(_line(LINES[name])).rstrip())
        return 0
    rule = BY_NAME.get(name)
    if rule is None:
        raise no_such("rule or action", name, (*BY_NAME, *ACTIONS, *LINES), "kbgen explain --all lists them")
    if args.json:
        print(_json(_data(rule)))
        return 0
    print(f"{rule.name} ({rule.severity}, {rule.family.title})\n\n{rule.why}\n")
    print(f"Wrong:\n{indent(rule.before.rstrip(), '    ')}\n\nRight:\n{indent(rule.after.rstrip(), '    ')}")
    print(f"\nRests on: {rule.rests_on}\nPractice: {rule.family.practice}")
    if rule.safety:
        print(f"\n{_accepted(rule)}")
    return 0


def _json(fields: Mapping[str, object]) -> str:
    return json.dumps({"version": JSON_VERSION, **fields}, ensure_ascii=False, indent=2)


def _data(rule: Rule) -> dict[str, object]:
    return {
        "name": rule.name,
        "family": rule.family.title,
        "why": rule.why,
        "before": rule.before,
        "after": rule.after,
        "rests_on": rule.rests_on,
        "practice": rule.family.practice,
        "safety": rule.safety,
        "severity": str(rule.severity),
    }


def _row(row: Row) -> dict[str, object]:
    return {
        "name": row.name,
        "says": row.says,
        "needs": row.needs,
        "gives": row.gives,
        "owes": row.owes,
        "said_by": row.said_by,
        "fields": {
            key: {
                "says": takes.says,
                "names": takes.names,
                "valid": SCOPES[takes.names] if takes.names else None,
                "words": takes.words,
            }
            for key, takes in row.takes.items()
        },
        "told_with": {"en": ways_shown(ENGLISH, row.name)},
        "verdicts": [{"words": each.words, "doubt": each.doubtful} for each in row_verdicts(row)],
    }


def _action(row: Row) -> list[str]:
    lines = [f"### `{row.name}`", "", row.says, ""]
    lines += [
        f"- {word}: {said}"
        for word, said in (("Needs", row.needs), ("Gives", row.gives), ("Owes", row.owes))
        if said
    ]
    for key, takes in row.takes.items():
        words = one_of(takes.words) if takes.words else ""
        what = f"a {takes.names}, valid in {SCOPES[takes.names]}" if takes.names else words
        lines.append(f"- `{key}`: {takes.says}" + (f" ({what})" if what else ""))
    lines += [f"- Verdict words: {said}." for said in answered_by(row)]
    lines += [f"- {spared(row)}."] if row.said_by else []
    if told := ways_shown(ENGLISH, row.name):
        lines.append(f"- In English it is told with one of: {', '.join(told)}.")
    return [*lines, ""]


def _line_data(row: RoutineRow) -> dict[str, object]:
    fields = {key: {"says": takes.says, "words": takes.words} for key, takes in row.takes.items()}
    return {"name": row.name, "says": row.says, "deeds": row.deeds, "fields": fields}


def _line(row: RoutineRow) -> list[str]:
    lines = [f"### `{row.name}`", "", row.says, "", f"- Its steps: {row.deeds}"]
    for key, takes in row.takes.items():
        words = f" ({one_of(takes.words)})" if takes.words else ""
        lines.append(f"- `{key}`: {takes.says}{words}")
    return [*lines, ""]


def page() -> str:
    """Write what every page must do, and all actions, routines and rules from their records, family by family."""
    lines = ["# What every page must do", ""]
    for duty in DUTIES:
        rules = ", ".join(f"`{name}`" for name in duty.rules)
        lines += [
            f"## {duty.head}",
            "",
            *(f"- {sentence}" for sentence in duty.says),
            "",
            f"Rules: {rules}.",
            "",
        ]
    lines += ["# A whole page that passes", "", "```yaml", *_example(), "```", ""]
    lines += ["# What a step can do", ""]
    for row in ACTIONS.values():
        lines += _action(row)
    lines += ["# Lines that stand for many steps", ""]
    for line in LINES.values():
        lines += _line(line)
    lines += ["# What the check looks for", ""]
    for family in dict.fromkeys(rule.family.title for rule in RULES):
        lines += [f"## {family}", ""]
        for rule in RULES:
            if rule.family.title == family:
                lines += _entry(rule)
    return "\n".join(lines)


def _example() -> list[str]:
    """Return the starter shop's shortest page, which its own test holds to no error."""
    text = (folder("starter_shop") / "procedures" / "example-replace-thermostat.yaml").read_text("utf-8")
    return text[text.index("title:") :].splitlines()


def _entry(rule: Rule) -> list[str]:
    lines = [f"### `{rule.name}` ({rule.severity})", "", rule.why, ""]
    lines += ["Wrong:", "", "```yaml", rule.before.rstrip(), "```", ""]
    lines += ["Right:", "", "```yaml", rule.after.rstrip(), "```", ""]
    lines += [f"Rests on: {rule.rests_on}", "", f"Practice: {rule.family.practice}", ""]
    if rule.safety:
        lines += [_accepted(rule), ""]
    return lines


def _accepted(rule: Rule) -> str:
    if rule.family.mistakable:
        return "It protects somebody's life; only somebody other than the reviewer of an entry can accept it there."
    return "It protects somebody's life; no entry can accept it."
