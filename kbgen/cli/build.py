"""``kbgen build``."""

from __future__ import annotations

import argparse
import sys
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
from kbgen.render.web import WebError, WebResult, grouped

# More than this a weak signal does not bring in an evening, and two editions have to lie side by side.
_LARGE = 50_000_000


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "build",
        run,
        "kbgen build --kb kb_source --out site",
    )
    parser.add_argument(
        "--without-sites",
        action="store_true",
        help="leave out where the shop works: for a host that everybody can read",
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
        fields = {
            "entries": entries,
            "pages": result.pages,
            "out": args.out.as_posix(),
            "bytes": result.listed.size,
            "number": result.listed.number,
            "fingerprint": result.listed.fingerprint,
        }
        print_json(compiled.edition, fields)
    else:
        edition = f"edition {compiled.edition.id} of {compiled.edition.date}"
        print(f"{count(entries, 'entry', 'entries')} on {count(result.pages, 'page')}, {edition}")
        print(
            f"{_megabytes(result.listed.size)} for a tablet, fingerprint {grouped(result.listed.fingerprint)}"
        )
        print(f"open {shown(args.out / 'index.html')}")
    if result.listed.size > _LARGE:
        print(_too_large(result), file=sys.stderr)
    return 0


def _megabytes(size: int) -> str:
    return f"{size / 1e6:.1f} MB"


def _too_large(result: WebResult) -> str:
    photos = f"{_megabytes(result.photos)} of it are photos"
    return (
        f"warning: {_megabytes(result.listed.size)} is much for a tablet ({_megabytes(_LARGE)} at most); {photos}; "
        "take pictures nobody needs out of photos/"
    )
