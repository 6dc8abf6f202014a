"""``kbgen review``."""

from __future__ import annotations

import argparse
import re
from dataclasses import replace
from pathlib import Path

from kbgen.cli.common import (
    Commands,
    Progress,
    WrongUse,
    add_command,
    add_format,
    find_folder,
    format_of,
    print_json,
)

_FORMATS = ("text", "markdown", "json")
_PRINT = re.compile(r"\b[0-9a-f]{12}\b")


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(commands, "review", run, "kbgen review --base main --kb kb_source")
    parser.add_argument(
        "--base",
        metavar="REV",
        required=True,
        help="revision of git that the change is held against, or a folder that holds the version before",
    )
    add_format(
        parser, _FORMATS, "how it is written (default: text); markdown is for the comment of a pull request"
    )
    parser.add_argument(
        "--seen",
        metavar="FILE",
        type=Path,
        help="file with the fingerprints a reviewer has approved; these are not told again",
    )


def run(args: argparse.Namespace) -> int:
    """Tell what changed; 1 where safety is touched and the signature is that of before."""
    written = format_of(args)
    root = find_folder(args.kb)
    seen = _seen(args.seen)
    from kbgen.report import prefix_to
    from kbgen.review import NoBase, base_of, review
    from kbgen.review.shown import as_data, as_markdown, as_text

    progress = Progress()
    try:
        with base_of(root, args.base) as base:
            report = replace(review(root, base.folder, base.name, args.store, progress), seen=seen)
    except NoBase as fault:
        raise WrongUse(str(fault)) from fault
    finally:
        progress.done()
    if written == "json":
        print_json(report.edition, as_data(report))
    elif written == "markdown":
        print(as_markdown(report), end="")
    else:
        print(as_text(report, prefix_to(root, Path.cwd())))
    return 1 if report.unsigned() else 0


def _seen(file: Path | None) -> frozenset[str]:
    if file is None:
        return frozenset()
    try:
        return frozenset(_PRINT.findall(file.read_text(encoding="utf-8")))
    except FileNotFoundError:
        raise WrongUse(f"there is no file {file}; write one fingerprint a line into it") from None
    except UnicodeDecodeError:
        raise WrongUse(f"{file} is no text; write one fingerprint a line into it") from None
