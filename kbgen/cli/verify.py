"""``kbgen verify``."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from kbgen.cli.common import JSON_VERSION, Commands, WrongUse, add_command, count, shown
from kbgen.render.web import WebError, grouped, hold, read_list

_MOST = 10


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "verify",
        run,
        "kbgen verify site",
        reads=False,
    )
    parser.add_argument("folder", metavar="DIR", type=Path, help="folder that kbgen build wrote")


def run(args: argparse.Namespace) -> int:
    """Print mark and fingerprint, and what is missing, changed or foreign."""
    try:
        listed = read_list(args.folder)
    except WebError as fault:
        raise WrongUse(str(fault)) from fault
    held = hold(args.folder, listed)
    if args.json:
        whole = {
            "version": JSON_VERSION,
            "edition": {"id": listed.mark, "date": listed.date},
            "fingerprint": listed.fingerprint,
            "number": listed.number,
            "files": len(listed.files),
            "missing": held.missing,
            "changed": held.changed,
            "foreign": held.foreign,
        }
        print(json.dumps(whole, ensure_ascii=False, indent=2))
    else:
        print(f"mark         {listed.mark} of {listed.date}, number {listed.number}")
        print(f"fingerprint  {grouped(listed.fingerprint)}")
    for what, paths in (("missing", held.missing), ("changed", held.changed), ("not listed", held.foreign)):
        for path in paths[:_MOST]:
            print(f"{what}: {path}", file=sys.stderr)
        if len(paths) > _MOST:
            print(f"{what}: {len(paths) - _MOST} more", file=sys.stderr)
    if not held.whole:
        print(f"{shown(args.folder)} is not the edition of its list; build it anew", file=sys.stderr)
        return 1
    if not args.json:
        print(f"all {count(len(listed.files), 'file')} are as listed")
    return 0
