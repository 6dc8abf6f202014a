"""``kbgen export``."""

from __future__ import annotations

import argparse
from pathlib import Path

from kbgen.cli.common import (
    Commands,
    Progress,
    add_command,
    compile_sound,
    count,
    find_folder,
    print_json,
    shown,
)
from kbgen.cli.place import refuse_other_file, refuse_source, writing
from kbgen.outputs.export import write_export


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "export",
        run,
        "kbgen export --kb kb_source --out knowledge.json",
    )
    parser.add_argument("--out", metavar="FILE", type=Path, required=True, help="file to write")


def run(args: argparse.Namespace) -> int:
    """Export the knowledge base."""
    refuse_source(args.out, find_folder(args.kb))
    refuse_other_file(args.out, b'{\n "version"', "export")
    progress = Progress()
    compiled = compile_sound(args, progress)
    progress.done()
    if compiled is None:
        return 1
    with writing(args.out):
        write_export(compiled, args.out)
    entries = len(compiled.base.entries)
    if args.json:
        print_json(compiled.edition, {"entries": entries, "out": args.out.as_posix()})
    else:
        print(f"{count(entries, 'entry', 'entries')} in {shown(args.out)}")
    return 0
