"""``kbgen migrate``."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from kbgen.cli.common import JSON_VERSION, Commands, WrongUse, add_command, count, find_folder
from kbgen.migrate import migrate
from kbgen.report import prefix_to


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "migrate",
        run,
        "kbgen migrate --kb kb_source --dry-run",
    )
    parser.add_argument(
        "--dry-run", action="store_true", help="tell what would become of the files, and write nothing"
    )


def run(args: argparse.Namespace) -> int:
    """Migrate the knowledge base."""
    root = find_folder(args.kb)
    try:
        done = migrate(root, dry_run=args.dry_run)
    except OSError as fault:
        why = (fault.strerror or str(fault)).lower()
        raise WrongUse(
            f"a file in {root} cannot be written: {why}; those before it are migrated, run it again after that"
        ) from fault
    if args.json:
        fields = {
            "changes": [each._asdict() for each in done.changes],
            "left": [each._asdict() for each in done.left],
            "files": list(done.files),
            "dry_run": args.dry_run,
        }
        print(json.dumps({"version": JSON_VERSION, **fields}, ensure_ascii=False, indent=2))
        return 1 if done.left else 0
    prefix = prefix_to(root, Path.cwd())
    for change in done.changes:
        print(f"{prefix}{change.path}:{change.line}: {change.says}")
    if done.left:
        print("\nLeft for a person:" if done.changes else "Left for a person:")
    for left in done.left:
        print(f"{prefix}{left.path}:{left.line}: {left.says}")
    would = "would be made" if args.dry_run else "made"
    print(
        f"{count(len(done.changes), 'change')} {would} in {count(len(done.files), 'file')}, "
        f"{count(len(done.left), 'place')} left for a person"
    )
    return 1 if done.left else 0
