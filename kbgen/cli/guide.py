"""``kbgen guide``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from kbgen.cli.common import (
    Commands,
    Progress,
    add_command,
    compile_sound,
    count,
    find_equipment,
    find_folder,
    known_to,
    print_json,
    shown,
)
from kbgen.cli.place import refuse_other_file, refuse_source, writing
from kbgen.outputs.guide import make_guide
from kbgen.problems import Severity
from kbgen.render.guide import PAPERS
from kbgen.report import as_text, locate, prefix_to


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "guide",
        run,
        "kbgen guide --kb kb_source --paper a6 --out pocket-guide.pdf",
    )
    parser.add_argument(
        "--paper",
        choices=sorted(PAPERS),
        type=known_to(PAPERS, "paper"),
        help="sheet (default: the one of kb.yaml)",
    )
    parser.add_argument("--equipment", metavar="ID", help="only this plant's entries, and the general ones")
    parser.add_argument(
        "--out",
        metavar="FILE",
        type=Path,
        default=Path("pocket-guide.pdf"),
        help="file to write (default: pocket-guide.pdf)",
    )


def run(args: argparse.Namespace) -> int:
    """Typeset the pocket guide."""
    refuse_source(args.out, find_folder(args.kb))
    refuse_other_file(args.out, b"%PDF-", "PDF")
    progress = Progress()
    compiled = compile_sound(args, progress)
    if compiled is None:
        return 1
    equipment = find_equipment(compiled.base, args.equipment)
    progress("typesetting")
    with writing(args.out):
        made = make_guide(compiled, args.out, args.paper, equipment)
    progress.done()
    found = locate(made.problems, compiled.documents)
    if found:
        print(as_text(found, prefix_to(compiled.root, Path.cwd())), file=sys.stderr)
    if any(problem.severity is Severity.ERROR for problem in found):
        print("the guide was not written", file=sys.stderr)
        return 1
    if not made.entries:
        print(
            "no entry is approved, so there is nothing to print and the guide was not written; "
            "an entry is printed once it says `status: approved` and is signed: kbgen sign",
            file=sys.stderr,
        )
        return 1
    if args.json:
        fields = {"entries": made.entries, "pages": made.pages, "out": args.out.as_posix()}
        print_json(compiled.edition, fields)
    else:
        edition = f"edition {compiled.edition.id} of {compiled.edition.date}"
        print(
            f"{count(made.entries, 'approved entry', 'approved entries')} on {count(made.pages, 'page')}, {edition}"
        )
        print(f"open {shown(args.out)}")
    return 0
