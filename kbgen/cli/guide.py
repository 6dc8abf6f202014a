"""``kbgen guide``."""

from __future__ import annotations

import argparse
import gc
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kbgen.cli.common import (
    Commands,
    Progress,
    WrongUse,
    add_command,
    compile_sound,
    count,
    find_equipment,
    find_folder,
    known_to,
    print_json,
    shown,
)
from kbgen.cli.place import refuse_other_file, refuse_source, writing
from kbgen.outputs.booklet import make_pocket, plants_of
from kbgen.outputs.guide import Made, make_binder
from kbgen.outputs.labels import make_label_sheets
from kbgen.problems import Severity
from kbgen.render.guide.impose import SIGNATURES
from kbgen.render.guide.paper import PAGE_OF_SHEET, PAPERS, SHEETS
from kbgen.report import as_text, locate, prefix_to

if TYPE_CHECKING:
    from kbgen.pipeline import Compiled

FOLDER = Path("pocket-guide")
ALL_PAPERS = (*SHEETS, *PAPERS)


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(commands, "guide", run, "kbgen guide --kb kb_source --out pocket-guide")
    parser.add_argument("--equipment", metavar="ID", help="only this plant")
    parser.add_argument(
        "--paper",
        choices=sorted(ALL_PAPERS),
        type=known_to(ALL_PAPERS, "paper"),
        help=f"page of a booklet ({', '.join(SHEETS)}) or sheet of a binder ({', '.join(PAPERS)}); default: by kb.yaml",
    )
    parser.add_argument("--binder", action="store_true", help="the complete form, for a shelf")
    parser.add_argument(
        "--labels",
        action="store_true",
        help="plates with a code that opens the plant's page, tags with an eyelet, a lock list",
    )
    parser.add_argument(
        "--at",
        metavar="ADDRESS",
        type=_address,
        help="with --labels: where the web edition stands, such as https://kb.example",
    )
    parser.add_argument(
        "--impose",
        metavar="SHEET",
        choices=sorted(PAGE_OF_SHEET),
        type=known_to(PAGE_OF_SHEET, "sheet"),
        help="lay a booklet onto a4 or letter sheets for a printer with both sides: cut once, fold, staple",
    )
    parser.add_argument(
        "--signature",
        metavar="PAGES",
        type=_signature,
        help=f"with --impose: the most pages folded into one another, one of {', '.join(map(str, SIGNATURES))} (default: 64)",
    )
    parser.add_argument(
        "--out",
        metavar="PLACE",
        type=Path,
        default=FOLDER,
        help="folder for a file a plant, or one file that ends in .pdf (default: pocket-guide)",
    )


def run(args: argparse.Namespace) -> int:
    """Typeset what is asked for; of several plants each in a process of its own."""
    one_file = args.out.suffix == ".pdf"
    refuse_source(args.out, find_folder(args.kb))
    if one_file:
        refuse_other_file(args.out, b"%PDF-", "PDF")
    _refuse_paper(args)
    progress = Progress()
    compiled = compile_sound(args, progress)
    if compiled is None:
        return 1
    equipment = find_equipment(compiled.base, args.equipment)
    plants = plants_of(compiled.base)
    if equipment is None and not (one_file and args.binder):
        if not plants:
            progress.done()
            return _nothing()
        if one_file and len(plants) > 1:
            raise WrongUse(
                f"{len(plants)} plants are {len(plants)} files: give a folder with --out, or one with --equipment"
            )
        if not one_file:
            return _each(args, compiled, plants, progress)
        equipment = plants[0]
    out = args.out if one_file else args.out / _name(args, str(equipment))
    progress("typesetting")
    made = _put(args, compiled, out, equipment, progress)
    if made is None:
        return 1
    if not made.pages:
        return _nothing()
    if args.json:
        print_json(compiled.edition, {**_fields(made), "out": out.as_posix()})
    else:
        edition = f"edition {compiled.edition.id} of {compiled.edition.date}"
        print(f"{_counted(made.entries)} on {count(made.pages, 'page')}, {edition}")
        for said in made.said:
            print(said)
        print(f"open {shown(out)}")
    return 0


def _put(
    args: argparse.Namespace, compiled: Compiled, out: Path, equipment: str | None, progress: Progress
) -> Made | None:
    """Make one file and print what is wrong with it; ``None`` when it was not written for an error."""
    refuse_other_file(out, b"%PDF-", "PDF")
    with writing(out):
        made = _make(args, compiled, out, equipment)
    progress.done()
    found = locate(made.problems, compiled.documents)
    if found:
        print(as_text(found, prefix_to(compiled.root, Path.cwd())), file=sys.stderr)
    if any(problem.severity is Severity.ERROR for problem in found):
        print("the guide was not written", file=sys.stderr)
        return None
    return made


def _make(args: argparse.Namespace, compiled: Compiled, out: Path, equipment: str | None) -> Made:
    if args.labels and equipment is not None:
        return make_label_sheets(compiled, out, equipment, args.paper, args.at or "")
    if args.binder or equipment is None:
        return make_binder(compiled, out, args.paper, equipment)
    if args.impose:
        return make_pocket(
            compiled, out, equipment, PAGE_OF_SHEET[args.impose], args.signature or SIGNATURES[-1]
        )
    return make_pocket(compiled, out, equipment, args.paper)


def _address(text: str) -> str:
    if not re.fullmatch(r"https?://[^\s/?#]+(/[^\s?#]*)?", text):
        raise WrongUse(f"`{text}` is no address that a code can open; give one that begins with https://")
    return text


def _signature(text: str) -> int:
    if text not in map(str, SIGNATURES):
        raise WrongUse(
            f"`{text}` pages are not folded together; give one of {', '.join(map(str, SIGNATURES))}"
        )
    return int(text)


def _refuse_paper(args: argparse.Namespace) -> None:
    """Refuse a paper that what is asked for is not printed on.

    Raises:
        WrongUse: It is another's.
    """
    whole = [form for form in ("binder", "labels") if getattr(args, form)]
    if len(whole) > 1:
        raise WrongUse("a binder and labels are two things; leave out --binder or --labels")
    if args.at and not args.labels:
        raise WrongUse("--at says what the code on a label opens; give it with --labels")
    if args.signature and not args.impose:
        raise WrongUse(
            "--signature says how many pages are folded together; give it with --impose a4 or letter"
        )
    if args.impose and whole:
        what = "a binder is printed as it is" if args.binder else "labels are printed as they are"
        raise WrongUse(f"{what}; leave out --impose or --{whole[0]}")
    if args.impose and args.paper not in (None, PAGE_OF_SHEET[args.impose]):
        raise WrongUse(
            f"{args.impose} sheets carry pages of {PAGE_OF_SHEET[args.impose]}; leave out --paper {args.paper}"
        )
    fits = PAPERS if whole else SHEETS
    if args.paper and args.paper not in fits:
        what = "a binder is" if args.binder else "labels are" if args.labels else "a booklet is"
        raise WrongUse(f"{what} not printed on {args.paper}; give one of {', '.join(fits)}")


def _name(args: argparse.Namespace, equipment: str) -> str:
    form = next((f"-{each}" for each in ("binder", "labels") if getattr(args, each)), "")
    form = f"-{args.impose}" if args.impose else form
    return f"{equipment}{form}.pdf"


def _each(args: argparse.Namespace, compiled: Compiled, plants: tuple[str, ...], progress: Progress) -> int:
    """Make one file a plant, one after another.

    What takes memory is the typesetter, and each of its settings is a process of its own. The base is read once: read
    anew for every plant, it would make the total go with the square of the plants.
    """
    books: list[tuple[str, Path, Made]] = []
    # The base stays to the end: looked through for garbage after each plant, it too would cost the square of them.
    gc.collect()
    gc.freeze()
    for plant in plants:
        progress(f"typesetting {plant}")
        out = args.out / _name(args, plant)
        made = _put(args, compiled, out, plant, progress)
        if made is None:
            return 1
        books.append((plant, out, made))
        # The command line leaves the collector off; what a book was made of is let go here.
        gc.collect()
    if args.json:
        told = [{"equipment": plant, **_fields(made), "out": out.as_posix()} for plant, out, made in books]
        print_json(compiled.edition, {"books": told})
    else:
        for _, out, made in books:
            print(f"{out.as_posix()}: {count(made.pages, 'page')}")
            for said in made.said:
                print(f"  {said}")
    return 0


def _fields(made: Made) -> dict[str, Any]:
    return {
        "entries": made.entries,
        "pages": made.pages,
        "sections": dict(made.sections),
        "said": list(made.said),
    }


def _counted(entries: int) -> str:
    return count(entries, "approved entry", "approved entries")


def _nothing() -> int:
    print(
        "no entry is approved, so there is nothing to print and the guide was not written; a plant has a booklet once "
        "its own entry says `status: approved` and is signed: kbgen sign. Entries of no plant are printed by "
        "kbgen guide --binder --out FILE.pdf",
        file=sys.stderr,
    )
    return 1
