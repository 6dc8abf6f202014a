"""``kbgen export``."""

from __future__ import annotations

import argparse
from pathlib import Path

from kbgen.cli.common import (
    Commands,
    Progress,
    WrongUse,
    add_command,
    compile_sound,
    count,
    print_json,
    shown,
)
from kbgen.outputs import write_export


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "export",
        run,
        "write the whole linked knowledge base as JSON",
        "kbgen export --kb kb_source --out knowledge.json",
    )
    parser.add_argument("--out", metavar="FILE", type=Path, required=True, help="file to write")


def run(args: argparse.Namespace) -> int:
    """Export the knowledge base."""
    progress = Progress()
    compiled = compile_sound(args, progress)
    progress.done()
    if compiled is None:
        return 1
    if args.out.is_dir():
        raise WrongUse(f"{args.out} is a folder; give a file name with --out")
    write_export(compiled, args.out)
    entries = len(compiled.base.entries)
    if args.json:
        print_json(compiled.edition, {"entries": entries, "out": args.out.as_posix()})
    else:
        print(f"{count(entries, 'entry', 'entries')} in {shown(args.out)}")
    return 0
