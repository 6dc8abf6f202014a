"""``kbgen check``."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

from kbgen.cli.common import (
    Commands,
    Progress,
    WrongUse,
    add_command,
    count,
    find_folder,
    located,
    print_json,
)
from kbgen.pipeline import compile_folder
from kbgen.problems import Severity
from kbgen.report import as_github, as_json, as_text, counts, prefix_to


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "check",
        run,
        "list every problem of a knowledge base, each with file, line, column and what to type",
        "kbgen check --kb kb_source --strict",
    )
    parser.add_argument(
        "--format", choices=("text", "github"), default="text", help="how problems are written"
    )
    parser.add_argument("--strict", action="store_true", help="warnings count as errors")
    parser.add_argument("--today", metavar="DATE", help="warn about reviews that have run out by this day")


def run(args: argparse.Namespace) -> int:
    """Check a knowledge base."""
    root = find_folder(args.kb)
    progress = Progress()
    compiled = compile_folder(root, progress, today=_day(args.today))
    progress.done()
    found = located(compiled)
    errors = sum(problem.severity is Severity.ERROR for problem in found)
    entries = len(compiled.base.entries)
    prefix = prefix_to(root, Path.cwd())
    if args.json:
        report = as_json(found, entries, compiled.suppressed, compiled.not_run)
        print_json(compiled.edition, report)
    elif args.format == "github":
        print(as_github(found, prefix), end="")
    else:
        if found:
            print(as_text(found, prefix))
        print(f"{count(entries, 'entry', 'entries')} checked: {counts(found)}{_also(compiled.suppressed)}")
        for name in compiled.not_run:
            print(f"not run: {name}")
    return 1 if errors or (args.strict and found) else 0


def _also(suppressed: int) -> str:
    return f", {count(suppressed, 'warning')} accepted with a reason" if suppressed else ""


def _day(text: str | None) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise WrongUse(
            f"`{text}` is no date; write --today as year-month-day, for example 2026-11-25"
        ) from None
