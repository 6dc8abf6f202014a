"""``kbgen sign``."""

from __future__ import annotations

import argparse
import json
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from kbgen.cli.common import (
    Commands,
    Progress,
    WrongUse,
    add_command,
    compile_any,
    count,
    no_such,
    print_json,
)
from kbgen.cli.place import writing
from kbgen.model.procedure import Procedure
from kbgen.problems import Severity
from kbgen.ref import Kind, Ref

if TYPE_CHECKING:
    from kbgen.model.shop import Person
    from kbgen.pipeline import Compiled
    from kbgen.rewrite.sign import Reading


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(commands, "sign", run, "kbgen sign procedure:sb-make-safe --by MK")
    parser.add_argument(
        "ids", nargs="*", metavar="ID", help="entries, as kind:id or as id where only one has it"
    )
    parser.add_argument(
        "--by",
        metavar="XY",
        required=True,
        help="your initials, as in `people` of kb.yaml: a claim, not an identity",
    )
    which = parser.add_mutually_exclusive_group()
    which.add_argument(
        "--all", action="store_true", help="every approved entry that lacks a signature as it is"
    )
    which.add_argument(
        "--of",
        metavar="FILE",
        type=Path,
        help="every entry that a review listed: the JSON of `kbgen review --json`",
    )
    parser.add_argument("--on", metavar="DATE", help="day on which it was read (default: today)")
    for name, says in (
        (
            "did",
            "initials of who did the steps at the plant; a page that followed from a plant's entry needs it",
        ),
        ("watched", "initials of who watched"),
        ("plant", "the shop's number of that plant"),
    ):
        parser.add_argument(f"--{name}", metavar="NUMBER" if name == "plant" else "XY", help=says)
    parser.add_argument("--dry-run", action="store_true", help="show what is to be read, and sign nothing")


def run(args: argparse.Namespace) -> int:
    """Show what differs since the last signature, and sign."""
    from kbgen.rewrite.head import CannotEdit
    from kbgen.rewrite.sign import CLAIM, read_entry, sign

    if not (args.ids or args.all or args.of):
        raise WrongUse(
            "name the entries to sign, or --all, or --of FILE; kbgen check lists those that need it"
        )
    on = _day(args.on)
    progress = Progress()
    compiled = compile_any(args, progress)
    person = _person(compiled, args.by, on)
    refs = _refs(compiled, args)
    left = [fault for ref in refs if (fault := _fault(compiled, ref, args))]
    if left and not args.all:
        raise WrongUse(left[0])
    refs = [ref for ref in refs if not _fault(compiled, ref, args)]
    if refs and not args.dry_run and (args.did or args.watched or args.plant):
        _keep_walk(compiled, refs, args, on)
        compiled = compile_any(args, progress)
    readings = []
    for ref in refs:
        progress(f"reading {ref}")
        readings.append(read_entry(compiled, ref, person.initials))
    progress.done()
    drafts = _drafts(compiled) if args.all else []
    done = []
    for reading in readings:
        if not args.json:
            _show(reading, whole=not args.all)
        if args.dry_run:
            continue
        try:
            with writing(compiled.root / reading.entry.path):
                done.append(sign(compiled, reading, person, on))
        except CannotEdit:
            raise WrongUse(
                f"{reading.entry.path} cannot be signed without losing a comment inside `review` or `status`; "
                "move it to a line of its own"
            ) from None
    if args.json:
        fields = [
            {
                "entry": str(each.ref),
                "path": each.path,
                "for": [need.licence for need in each.for_],
                "lacking": list(each.lacking),
            }
            for each in done
        ]
        read = [str(each.entry.ref) for each in readings]
        print_json(compiled.edition, {"signed": fields, "read": read, "left": left, "drafts": drafts})
        return 1 if left else 0
    for each in done:
        if each.lacking:
            print(f"{each.ref}: signed, and it still needs {'; '.join(each.lacking)}")
    for fault in left:
        print(f"not signed: {fault}")
    if drafts:
        print(f"left out, for --all signs what is approved already: {count(len(drafts), 'draft')}")
        print("\n".join(f"  kbgen sign {ref} --by {person.initials}" for ref in drafts))
    if not args.dry_run:
        print(f"{count(len(done), 'entry', 'entries')} signed by {person.initials} on {on}. {CLAIM}")
    return 1 if left else 0


def _keep_walk(compiled: Compiled, refs: list[Ref], args: argparse.Namespace, on: str) -> None:
    """Write into pages who walked them; those that follow from a plant's entry get their files."""
    from kbgen.model.head import Walked
    from kbgen.rewrite.head import CannotEdit
    from kbgen.rewrite.sign import keep_walk

    did, watched, plant = args.did, args.watched, args.plant
    if not (args.ids and did and watched and plant):
        raise WrongUse("name the page that was walked, and give all of --did XY --watched XY --plant NUMBER")
    if did == watched:
        raise WrongUse(
            f"{did} cannot do the steps and watch too; give the initials of somebody else who watched"
        )
    for each in (did, watched):
        _person(compiled, each, on)
    if other := next((ref for ref in refs if ref.kind is not Kind.PROCEDURE), None):
        raise WrongUse(f"{other} has no steps to walk; leave out --did, --watched and --plant for it")
    for ref in refs:
        path = compiled.base.entries[ref].path
        try:
            with writing(compiled.root / path):
                keep_walk(compiled, ref, Walked(did, watched, plant, on))
        except CannotEdit:
            raise WrongUse(f"{path}: write `walked` by hand; it has a comment that would be lost") from None


def _drafts(compiled: Compiled) -> list[str]:
    """Return the entries that nobody has approved, those that follow from a plant's entry left out."""
    return [
        str(ref)
        for ref, entry in compiled.base.entries.items()
        if entry.head.status != "approved" and not entry.head.withdrawn and ref not in compiled.derived
    ]


def _show(reading: Reading, *, whole: bool) -> None:
    ref = reading.entry.ref
    if not reading.before:
        never = "signed by others, never by you" if reading.entry.head.review else "never signed"
        print(f"{ref}: {never}, {count(len(reading.now), 'line')}")
        if whole:
            print("\n".join(f"+{line}" for line in reading.now) + "\n")
        return
    lines = list(reading.difference())
    print(f"{ref}: {'differs since you signed it' if lines else 'reads as you signed it last'}")
    if lines:
        print("\n".join(lines) + "\n")


def _person(compiled: Compiled, initials: str, on: str) -> Person:
    from kbgen.compute.signing import person_of

    person = person_of(compiled.base.shop, initials)
    if person is None:
        known = ", ".join(each.initials for each in compiled.base.shop.people)
        raise WrongUse(
            f"kb.yaml names nobody with the initials {initials} in `people`"
            + (f"; it names {known}" if known else f"; write there: people: [{{initials: {initials}}}]")
        )
    if person.until and person.until < on:
        raise WrongUse(f"{initials} could sign until {person.until}, as `people` of kb.yaml says")
    return person


def _refs(compiled: Compiled, args: argparse.Namespace) -> list[Ref]:
    from kbgen.rewrite.sign import unsigned

    refs = [_ref(compiled, each) for each in args.ids]
    if args.all:
        refs += [ref for ref in unsigned(compiled) if ref not in refs]
    if args.of:
        refs += [ref for each in _listed(args.of) if (ref := _ref(compiled, each)) not in refs]
    return refs


def _listed(file: Path) -> list[str]:
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
        # The settings have no signature.
        return [str(each) for each in found["unsigned"] if each != "kb.yaml"]
    except OSError as fault:
        raise WrongUse(f"{file} cannot be read: {(fault.strerror or str(fault)).lower()}") from fault
    except (ValueError, KeyError, TypeError) as fault:
        raise WrongUse(
            f"{file} is not what `kbgen review --json` writes: it has no list `unsigned`"
        ) from fault


def _ref(compiled: Compiled, given: str) -> Ref:
    kind, colon, entry_id = given.rpartition(":")
    found = [
        ref for ref in compiled.base.entries if ref.id == entry_id and (not colon or kind == str(ref.kind))
    ]
    if len(found) > 1:
        raise WrongUse(f"there are several entries `{given}`; name one: {', '.join(map(str, found))}")
    if not found:
        raise no_such("entry", given, (str(ref) if colon else ref.id for ref in compiled.base.entries))
    return found[0]


def _fault(compiled: Compiled, ref: Ref, args: argparse.Namespace) -> str:
    """Return why nobody can vouch for an entry now; empty where somebody can."""
    entry = compiled.base.entries[ref]
    page = entry.record
    follows = isinstance(page, Procedure) and (page.derived or page.taken_over)
    told = args.dry_run or args.did or args.watched or args.plant
    if follows and entry.head.walked is None and not told:
        return (
            f"{ref} follows from the plant's entry; walk it at a plant while somebody watches, "
            "then give --did XY --watched XY --plant NUMBER"
        )
    if entry.head.withdrawn:
        return f"{ref} is withdrawn; take `withdrawn` out of {entry.path} first"
    for problem in compiled.problems:
        if problem.place.path == entry.path and problem.severity is Severity.ERROR:
            return f"{ref} has an error ({problem.rule}); mend what kbgen check says first"
    return ""


def _day(text: str | None) -> str:
    if text is None:
        return datetime.now(UTC).date().isoformat()
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise WrongUse(f"`{text}` is no date; write --on as year-month-day, for example 2026-11-25") from None
