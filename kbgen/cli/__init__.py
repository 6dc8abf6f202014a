"""The command line: one module a command, each with ``add`` (its options) and ``run``."""

from __future__ import annotations

import argparse
import gc
import sys
from collections.abc import Sequence
from importlib import import_module

from kbgen import __version__
from kbgen.cli.common import WrongUse
from kbgen.schemas import SchemaFaults
from kbgen.views.defaults import NOTICE

COMMANDS = (
    "check",
    "build",
    "guide",
    "search",
    "readings",
    "locate",
    "order",
    "walk",
    "explain",
    "export",
    "new",
)


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
    words = sys.argv[1:] if argv is None else list(argv)
    args = make_parser(words[0] if words else None).parse_args(words)
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


def make_parser(wanted: str | None = None) -> argparse.ArgumentParser:
    """Make the parser of a command, or of all commands where none of them is wanted.

    A command's module is imported only here: `check` need not wait for what `build` works with.
    """
    parser = argparse.ArgumentParser(
        prog="kbgen",
        description="Check a shop's write-ups and compile them into a web edition, a pocket guide and data.",
        epilog=NOTICE,
    )
    parser.add_argument("--version", action="version", version=f"kbgen {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for name in (wanted,) if wanted in COMMANDS else COMMANDS:
        import_module(f"kbgen.cli.{name}").add(commands)
    return parser
