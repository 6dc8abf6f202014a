"""``kbgen rename``."""

from __future__ import annotations

import argparse
import json
import re

from kbgen.cli.common import (
    JSON_VERSION,
    Commands,
    WrongUse,
    add_command,
    count,
    find_folder,
    known_to,
    no_such,
)
from kbgen.cli.place import writing
from kbgen.ref import FOLDERS, Kind

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_MOST = 60


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(commands, "rename", run, "kbgen rename device first-low-water low-water-float")
    parser.add_argument("kind", type=known_to([str(kind) for kind in Kind], "kind"), help="kind of the entry")
    parser.add_argument("old", help="its id")
    parser.add_argument("new", help="its new id")


def run(args: argparse.Namespace) -> int:
    """Rename an entry."""
    from kbgen.rewrite.rename import CannotRename, rename

    root, kind = find_folder(args.kb), Kind(args.kind)
    if not _ID.fullmatch(args.new) or len(args.new) > _MOST:
        raise WrongUse(f"`{args.new}` is no id; use lower-case letters, digits and hyphens, at most {_MOST}")
    ids = sorted(path.stem for path in (root / FOLDERS[kind]).glob("*.yaml"))
    if args.old not in ids:
        raise no_such(str(kind), args.old, ids)
    try:
        with writing(root / FOLDERS[kind] / f"{args.new}.yaml"):
            done = rename(root, kind, args.old, args.new, args.store)
    except CannotRename as fault:
        raise WrongUse(f"{kind}:{args.old} was not renamed: {fault}") from fault
    if args.json:
        fields = {"files": dict(done.files), "signed": [str(ref) for ref in done.signed]}
        print(json.dumps({"version": JSON_VERSION, **fields}, ensure_ascii=False, indent=2))
        return 0
    for path, number in done.files.items():
        print(f"{path}: {count(number, 'name')}")
    print(
        f"{kind}:{args.old} is now {kind}:{args.new}; its old address keeps working. "
        f"The signatures of {count(len(done.signed), 'entry', 'entries')} went along."
    )
    return 0
