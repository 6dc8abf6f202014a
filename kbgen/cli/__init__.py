"""The command line: one module a command, each with ``add`` (its options) and ``run``."""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from kbgen import __version__
from kbgen.cli.commands import COMMANDS, Parser, WrongUse, no_such
from kbgen.nearest import one_of
from kbgen.store import open_store
from kbgen.views.notice import NOTICE

_WITHOUT_COMMAND = ("-h", "--help", "--version")


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
    # The matrices of a circuit are small: a second thread doubles the work of the processor and saves no time.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    words = sys.argv[1:] if argv is None else list(argv)
    _never_fail_on_encoding()
    try:
        args = read(words)
        with open_store(cached=not getattr(args, "no_cache", True)) as args.store:
            status = int(args.run(args))
            # What cannot be written is said here, not after the end.
            sys.stdout.flush()
            return status
    except WrongUse as fault:
        print(f"kbgen: {fault}", file=sys.stderr)
        return 2
    except BrokenPipeError:
        # The reader of a pipe went away, as `head` does; that is no mistake.
        sys.stderr.close()
        return 0
    except OSError as fault:
        where = f"{os.fsdecode(fault.filename)}: " if fault.filename is not None else ""
        print(f"kbgen: {where}{fault.strerror or fault}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("kbgen: stopped; nothing was replaced", file=sys.stderr)
        return 130


def _never_fail_on_encoding() -> None:
    """Let a sign that the terminal's encoding does not have be written by its number."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def read(words: Sequence[str]) -> argparse.Namespace:
    """Read the words after ``kbgen``.

    Raises:
        WrongUse: There is no such command or option, or a word too many or too few.
    """
    wanted = words[0] if words else ""
    if not wanted:
        raise WrongUse(f"name a command: {one_of(COMMANDS)}; kbgen --help says what each of them does")
    if wanted.startswith("-") and wanted not in _WITHOUT_COMMAND:
        raise WrongUse(f"the command comes first: kbgen check {wanted} ...; kbgen --help lists all commands")
    if wanted not in (*COMMANDS, *_WITHOUT_COMMAND):
        raise no_such("command", wanted, COMMANDS, f"there are {', '.join(COMMANDS)}")
    args, more = make_parser(wanted).parse_known_args(words)
    if more and not more[0].startswith("-") and getattr(args, "name", None) == "":
        # A word that may be left out is given up by argparse once an option stands before it.
        args.name, *more = more
    if more:
        raise args.parser.too_much(more[0])
    return args


def make_parser(wanted: str | None = None) -> argparse.ArgumentParser:
    """Make the parser of a command, or of all commands where none of them is wanted.

    A command's module is imported only here, and only where it is wanted: `check` need not wait for what `build`
    works with, and the list of all commands for none of them.
    """
    parser = Parser(
        prog="kbgen",
        description="Check a shop's write-ups and compile them into a web edition, a pocket guide and data. "
        "Every command ends with 0 when all is well, 1 when an error stands, 2 when it was used wrongly.",
        epilog=NOTICE,
    )
    parser.add_argument("--version", action="version", version=f"kbgen {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    if wanted in COMMANDS:
        import_module(f"kbgen.cli.{wanted}").add(commands)
    else:
        for name, says in COMMANDS.items():
            commands.add_parser(name, help=says)
    return parser
