"""``kbgen check``."""

from __future__ import annotations

import argparse
import os
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from kbgen.cli.common import (
    Commands,
    Progress,
    WrongUse,
    add_command,
    add_format,
    count,
    find_folder,
    format_of,
    print_json,
)
from kbgen.load.discover import fingerprint
from kbgen.problems import Severity
from kbgen.program import make_key
from kbgen.report import Located, as_codequality, as_github, as_json, as_text, counts, prefix_to
from kbgen.store import Store

_FORMATS = ("text", "json", "github", "sarif", "codequality")


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a check has to say, once every place is looked up.

    Attributes:
        problems: Located and sorted.
        entries: Number of entries that could be read.
        suppressed: Number of warnings that entries accept with a reason.
        not_run: Names of the checks that could not run.
        notes: What plants' entries lack for pages that could follow from them, and whose booklet is too long.
        edition: Id and date of the edition.
    """

    problems: tuple[Located, ...]
    entries: int
    suppressed: int
    not_run: tuple[str, ...]
    notes: tuple[str, ...]
    edition: tuple[str, str]


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "check",
        run,
        "kbgen check --kb kb_source --strict",
    )
    add_format(parser, _FORMATS, "how problems are written (default: text)")
    parser.add_argument(
        "--base",
        metavar="REV",
        help="of warnings tell only those on lines that changed since this revision of git; errors always",
    )
    parser.add_argument("--strict", action="store_true", help="warnings count as errors")
    parser.add_argument(
        "--today", metavar="DATE", help="warn about reviews run out by this day, and days after it"
    )


def run(args: argparse.Namespace) -> int:
    """Check a knowledge base."""
    written = format_of(args)
    root = find_folder(args.kb)
    outcome = _outcome(root, _day(args.today), args.store)
    if args.base is not None:
        outcome = replace(outcome, problems=_changed(outcome.problems, root, args.base))
    prefix = prefix_to(root, Path.cwd())
    if written == "json":
        print_json(
            outcome.edition,
            as_json(outcome.problems, outcome.entries, outcome.suppressed, outcome.not_run)
            | {"notes": list(outcome.notes)},
        )
    elif written == "github":
        print(as_github(outcome.problems, prefix), end="")
    elif written == "codequality":
        print(as_codequality(outcome.problems, prefix), end="")
    elif written == "sarif":
        # Knows every rule, and with them half the program; the others need not wait for it.
        from kbgen.report.sarif import as_sarif

        print(as_sarif(outcome.problems, prefix, outcome.suppressed, outcome.not_run), end="")
    else:
        _print(outcome, prefix)
    errors = any(problem.severity is Severity.ERROR for problem in outcome.problems)
    return 1 if errors or (args.strict and outcome.problems) else 0


def _changed(problems: tuple[Located, ...], root: Path, revision: str) -> tuple[Located, ...]:
    from kbgen.report.changed import NoRevision, changed_lines, on_changed

    try:
        return on_changed(problems, changed_lines(root, revision))
    except NoRevision as fault:
        raise WrongUse(f"the lines that changed since {revision} cannot be told: {fault}") from fault


def _outcome(root: Path, today: date | None, store: Store) -> Outcome:
    """Check, or recall what the last check of the very same files found."""
    now = fingerprint(root) if store.keeps else None
    if now is None:
        return _checked(root, today, store)
    key = make_key("outcome", str(root), str(today), os.environ.get("SOURCE_DATE_EPOCH", ""), now)
    # A file saved while the check ran must not be answered with what it was before.
    return store.value(key, lambda: _checked(root, today, store), sure=lambda: fingerprint(root) == now)


def _checked(root: Path, today: date | None, store: Store) -> Outcome:
    # Imported late: an unchanged knowledge base is answered before this would be loaded.
    from kbgen.outputs.booklet import length_notes
    from kbgen.pipeline import compile_folder
    from kbgen.report import locate
    from kbgen.rewrite.editor import renew

    progress = Progress()
    compiled = compile_folder(root, progress, today, store)
    progress.done()
    renew(root, compiled.schemas, compiled.base.entries)
    return Outcome(
        problems=tuple(locate(compiled.problems, compiled.documents)),
        entries=len(compiled.base.entries),
        suppressed=compiled.suppressed,
        not_run=compiled.not_run,
        notes=(*compiled.verdict.notes, *(length_notes(compiled) if compiled.sound else ())),
        edition=(compiled.edition.id, compiled.edition.date),
    )


def _print(outcome: Outcome, prefix: str) -> None:
    if outcome.problems:
        print(as_text(outcome.problems, prefix))
    accepted = (
        f", {count(outcome.suppressed, 'warning')} accepted with a reason" if outcome.suppressed else ""
    )
    print(f"{count(outcome.entries, 'entry', 'entries')} checked: {counts(outcome.problems)}{accepted}")
    for name in outcome.not_run:
        print(f"not run: {name}")
    for note in outcome.notes:
        print(f"note: {prefix}{note}")


def _day(text: str | None) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise WrongUse(
            f"`{text}` is no date; write --today as year-month-day, for example 2026-11-25"
        ) from None
