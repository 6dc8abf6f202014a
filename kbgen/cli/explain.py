"""``kbgen explain``."""

from __future__ import annotations

import argparse
import json
from textwrap import indent

from kbgen.cli.common import JSON_VERSION, Commands, WrongUse, add_command, no_such
from kbgen.rule import Rule
from kbgen.rules.registry import BY_NAME, RULES


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "explain",
        run,
        "kbgen explain unknown-reference",
        reads=False,
    )
    parser.add_argument("rule", nargs="?", metavar="RULE", help="name of the rule, as the check prints it")
    parser.add_argument(
        "--all", action="store_true", help="print every rule, as one Markdown page or as JSON"
    )


def run(args: argparse.Namespace) -> int:
    """Explain a rule, or all of them."""
    if args.all:
        print(_json({"rules": [_data(rule) for rule in RULES]}) if args.json else page().rstrip())
        return 0
    if args.rule is None:
        raise WrongUse("name a rule as the check prints it, or write --all for a page of all rules")
    name = args.rule.strip("[]")
    rule = BY_NAME.get(name)
    if rule is None:
        raise no_such("rule", name, BY_NAME, "kbgen explain --all lists every rule")
    if args.json:
        print(_json(_data(rule)))
        return 0
    print(f"{rule.name} ({rule.severity}, {rule.family.title})\n\n{rule.why}\n")
    print(f"Wrong:\n{indent(rule.before.rstrip(), '    ')}\n\nRight:\n{indent(rule.after.rstrip(), '    ')}")
    print(f"\nRests on: {rule.family.practice}")
    if rule.safety:
        print("\nIt protects somebody's life; no entry can accept it.")
    return 0


def _json(fields: dict[str, object]) -> str:
    return json.dumps({"version": JSON_VERSION, **fields}, ensure_ascii=False, indent=2)


def _data(rule: Rule) -> dict[str, object]:
    return {
        "name": rule.name,
        "family": rule.family.title,
        "why": rule.why,
        "before": rule.before,
        "after": rule.after,
        "rests_on": rule.family.practice,
        "safety": rule.safety,
        "severity": str(rule.severity),
    }


def page() -> str:
    """Write the page of all rules from their records, family by family."""
    lines = ["# What the check looks for", ""]
    for family in dict.fromkeys(rule.family.title for rule in RULES):
        lines += [f"## {family}", ""]
        for rule in RULES:
            if rule.family.title == family:
                lines += _entry(rule)
    return "\n".join(lines)


def _entry(rule: Rule) -> list[str]:
    lines = [f"### `{rule.name}` ({rule.severity})", "", rule.why, ""]
    lines += ["Wrong:", "", "```yaml", rule.before.rstrip(), "```", ""]
    lines += ["Right:", "", "```yaml", rule.after.rstrip(), "```", ""]
    lines += [f"Rests on: {rule.family.practice}", ""]
    if rule.safety:
        lines += ["It protects somebody's life; no entry can accept it.", ""]
    return lines
