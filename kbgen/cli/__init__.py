"""The command line: one module a command, each with ``add`` (its options) and ``run``."""

from __future__ import annotations

import argparse
import gc
import sys
from collections.abc import Sequence

from kbgen import __version__
from kbgen.cli import build, check, explain, export, guide, locate, new, order, readings, search, walk
from kbgen.cli.common import WrongUse
from kbgen.schemas import SchemaFaults
from kbgen.views.defaults import NOTICE

COMMANDS = (check, build, guide, search, readings, locate, order, walk, explain, export, new)


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command.

    Args:
        argv: The words after ``kbgen``; those of the process when ``None``.

    Returns:
        0 when all is well, 1 when there is at least one error, 2 when the command was used wrongly.
    """
    # A command builds one large value and ends; looking through it for garbage again and again would
    # make five thousand entries cost eight times as much as a thousand.
    gc.disable()
    parser = make_parser()
    args = parser.parse_args(argv)
    try:
        return int(args.run(args))
    except WrongUse as fault:
        print(f"kbgen: {fault}", file=sys.stderr)
        return 2
    except SchemaFaults as broken:
        print("kbgen: its own schema files have mistakes; no entry was read", file=sys.stderr)
        for each in broken.faults:
            print(f"  {each}", file=sys.stderr)
        return 1
    except BrokenPipeError:
        # The reader of a pipe went away, as `head` does; that is no mistake.
        sys.stderr.close()
        return 0
    except KeyboardInterrupt:
        print("kbgen: stopped; nothing was replaced", file=sys.stderr)
        return 130


def make_parser() -> argparse.ArgumentParser:
    """Make the parser of all commands."""
    parser = argparse.ArgumentParser(
        prog="kbgen",
        description="Check a shop's write-ups and compile them into a web edition, a pocket guide and data.",
        epilog=NOTICE,
    )
    parser.add_argument("--version", action="version", version=f"kbgen {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for command in COMMANDS:
        command.add(commands)
    return parser
