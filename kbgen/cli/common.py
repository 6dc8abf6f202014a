"""What the commands share: finding the knowledge base, progress, the gate before any output."""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from kbgen.cli.commands import COMMANDS, Parser, WrongUse, no_such
from kbgen.problems import Severity
from kbgen.ref import Kind
from kbgen.report import Located, as_text, counts, locate, prefix_to

if TYPE_CHECKING:
    from kbgen.link.base import KnowledgeBase
    from kbgen.pipeline import Compiled

__all__ = ["COMMANDS", "Parser", "WrongUse", "no_such"]

JSON_VERSION = 1
_FOLDERS = (".", "kb_source")


def known_to(names: Iterable[str], what: str) -> Callable[[str], str]:
    """Return what reads one of some names on the command line, or says which was probably meant."""
    listed = list(names)

    def read(text: str) -> str:
        if text not in listed:
            raise no_such(what, text, listed)
        return text

    return read


def add_format(parser: Parser, names: Sequence[str], says: str) -> None:
    """Add the option that says how an answer is written; `format_of` reads it."""
    parser.add_argument("--format", choices=names, type=known_to(names, "format"), help=says)


def format_of(args: argparse.Namespace) -> str:
    """Return how an answer is to be written; as text where nothing is said.

    Raises:
        WrongUse: Two ways of writing were given.
    """
    if args.json and args.format not in (None, "json"):
        raise WrongUse(f"--json and --format {args.format} are two ways of writing; leave one of them out")
    return "json" if args.json else args.format or "text"


class Commands(Protocol):
    """What ``argparse`` gives to add commands to."""

    def add_parser(self, name: str, **options: Any) -> Parser:
        """Add a command."""
        ...


def add_command(
    commands: Commands,
    name: str,
    run: Callable[[argparse.Namespace], int],
    example: str,
    *,
    reads: bool = True,
) -> Parser:
    """Add a command with the options that every command has.

    Args:
        reads: Whether it needs a knowledge base.
    """
    parser = commands.add_parser(
        name,
        help=COMMANDS[name],
        description=f"{COMMANDS[name][0].upper()}{COMMANDS[name][1:]}.",
        epilog=f"Example: {example}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    if reads:
        parser.add_argument(
            "--kb",
            metavar="DIR",
            type=Path,
            help="folder of the knowledge base (default: this folder, or kb_source below it)",
        )
        parser.add_argument(
            "--no-cache",
            action="store_true",
            help="make everything anew, and keep nothing for the next command",
        )
    parser.add_argument("--json", action="store_true", help="print one JSON object and nothing else")
    parser.set_defaults(run=run, parser=parser)
    return parser


def find_folder(given: Path | None) -> Path:
    """Return the folder of the knowledge base.

    Raises:
        WrongUse: There is none.
    """
    if given is not None:
        if given.is_file():
            raise WrongUse(f"{given} is a file; give the folder that holds kb.yaml: --kb {given.parent}")
        if not given.is_dir():
            raise WrongUse(f"there is no folder {given}; give the folder that holds kb.yaml with --kb DIR")
        return given
    for name in _FOLDERS:
        if (Path(name) / "kb.yaml").is_file():
            return Path(name)
    raise WrongUse("no kb.yaml in this folder or in kb_source; give the knowledge base with --kb DIR")


def find_equipment(base: KnowledgeBase, given: str | None) -> str | None:
    """Return the plant of ``--equipment``.

    Raises:
        WrongUse: There is no such plant.
    """
    if given is not None and base.equipment(given) is None:
        raise no_such("equipment", given, (ref.id for ref in base.entries if ref.kind is Kind.EQUIPMENT))
    return given


class Progress:
    """Says on a terminal what is being done, once it has taken a second."""

    def __init__(self) -> None:
        """Start the clock."""
        self._start = time.monotonic()
        self._shown = False

    def __call__(self, doing: str) -> None:
        """Say what is being done now."""
        if sys.stderr.isatty() and time.monotonic() - self._start > 1:
            print(f"\r\033[K{doing} …", end="", file=sys.stderr, flush=True)
            self._shown = True

    def done(self) -> None:
        """Clear the line."""
        if self._shown:
            print("\r\033[K", end="", file=sys.stderr, flush=True)


def located(compiled: Compiled) -> list[Located]:
    """Return all problems with line and column, sorted."""
    return locate(compiled.problems, compiled.documents)


def compile_any(args: argparse.Namespace, progress: Progress) -> Compiled:
    """Compile the knowledge base, sound or not."""
    # Imported late, like everything large: `check` may know the answer without it.
    from kbgen.pipeline import compile_folder

    return compile_folder(
        find_folder(args.kb), progress, store=args.store, sites=not getattr(args, "without_sites", False)
    )


def compile_sound(args: argparse.Namespace, progress: Progress) -> Compiled | None:
    """Compile the knowledge base; print its errors and return ``None`` when nothing may be made of it."""
    compiled = compile_any(args, progress)
    if compiled.sound:
        return compiled
    progress.done()
    found = located(compiled)
    errors = [problem for problem in found if problem.severity is Severity.ERROR]
    if args.json:
        print_json(compiled.edition, {"problems": [problem_data(each) for each in errors]})
    print(as_text(errors, prefix_to(compiled.root, Path.cwd())), file=sys.stderr)
    print(f"{counts(found)}; nothing was made while an error stands", file=sys.stderr)
    return None


def problem_data(problem: Located) -> dict[str, Any]:
    """Return one problem in short, for outputs that were refused."""
    return {
        "rule": problem.rule,
        "path": problem.path,
        "line": problem.line,
        "column": problem.column,
        "message": problem.message,
        "hint": problem.hint,
    }


def print_json(edition: tuple[str, str], fields: dict[str, Any]) -> None:
    """Print one JSON object with version and edition (id and date) before the fields."""
    name, date = edition
    whole = {"version": JSON_VERSION, "edition": {"id": name, "date": date}, **fields}
    # Where the stream cannot hold every sign, JSON has its own way to write it.
    plain = not (sys.stdout.encoding or "ascii").lower().replace("-", "").startswith("utf")
    print(json.dumps(whole, ensure_ascii=plain, indent=2))


def shown(path: Path) -> str:
    """Return a path as the user would type it."""
    return path.as_posix()


def count(number: int, what: str, plural: str | None = None) -> str:
    """Return a number with its noun.

    >>> count(1, "entry", "entries"), count(2, "page")
    ('1 entry', '2 pages')
    """
    return f"{number} {what if number == 1 else plural or what + 's'}"
