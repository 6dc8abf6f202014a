"""``kbgen build``."""

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
    find_folder,
    print_json,
    shown,
)
from kbgen.cli.place import refuse_source, writing
from kbgen.outputs.web import build_edition
from kbgen.render.web import WebError


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "build",
        run,
        "kbgen build --kb kb_source --out site",
    )
    parser.add_argument(
        "--out", metavar="DIR", type=Path, default=Path("site"), help="folder to write (default: site)"
    )


def run(args: argparse.Namespace) -> int:
    """Build the web edition."""
    refuse_source(args.out, find_folder(args.kb))
    progress = Progress()
    compiled = compile_sound(args, progress)
    if compiled is None:
        return 1
    try:
        with writing(args.out):
            result = build_edition(compiled, args.out, progress)
    except WebError as fault:
        raise WrongUse(str(fault)) from fault
    finally:
        progress.done()
    entries = len(compiled.base.entries)
    if args.json:
        print_json(compiled.edition, {"entries": entries, "pages": result.pages, "out": args.out.as_posix()})
    else:
        edition = f"edition {compiled.edition.id} of {compiled.edition.date}"
        print(f"{count(entries, 'entry', 'entries')} on {count(result.pages, 'page')}, {edition}")
        print(f"open {shown(args.out / 'index.html')}")
    return 0
