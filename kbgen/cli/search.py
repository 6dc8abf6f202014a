"""``kbgen search``."""

from __future__ import annotations

import argparse

from kbgen.cli.common import (
    Commands,
    Progress,
    WrongUse,
    add_command,
    compile_sound,
    find_equipment,
    known_to,
    print_json,
)
from kbgen.outputs.index import make_index
from kbgen.ref import Kind, Ref
from kbgen.views.leave_now import PARTS, TITLE
from kbgen.views.notice import NOTICE

_KINDS = [str(kind) for kind in Kind]


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "search",
        run,
        'kbgen search --kb kb_source "limits not made"',
    )
    parser.add_argument("words", nargs="+", metavar="WORDS", help="what to look for; quotes are not needed")
    parser.add_argument(
        "--kind", choices=_KINDS, type=known_to(_KINDS, "kind"), help="only entries of this kind"
    )
    parser.add_argument(
        "--equipment", metavar="ID", help="only entries about this plant, and the general ones"
    )
    parser.add_argument(
        "--limit", type=_limit, default=10, metavar="N", help="how many results (default: 10)"
    )


def run(args: argparse.Namespace) -> int:
    """Search the knowledge base."""
    query = " ".join(args.words).strip()
    if not query:
        raise WrongUse('there is nothing to look for; give words, such as kbgen search "limits not made"')
    progress = Progress()
    compiled = compile_sound(args, progress)
    if compiled is None:
        return 1
    equipment = find_equipment(compiled.base, args.equipment)
    progress("indexing")
    index = make_index(compiled)
    progress.done()
    found = index.query(
        query, Kind(args.kind) if args.kind else None, equipment, args.limit, sure=equipment is not None
    )
    if args.json:
        rows = [
            {
                "kind": str(hit.kind),
                "id": hit.id,
                "title": hit.title,
                "score": hit.score,
                "why": hit.why,
                "note": hit.note,
            }
            for hit in found.results
        ]
        fields = {
            "query": query,
            "plant": found.plant,
            "answers": found.answers,
            "results": rows,
            "did_you_mean": found.did_you_mean,
            "leave_now": found.danger is not None,
            "danger": found.danger,
            "absent": found.absent,
            "not_understood": found.not_understood,
            "nearest": [each.shows for each in found.nearest],
        }
        print_json(compiled.edition, fields)
        return 0
    if found.danger:
        parts = [part for part in PARTS if part.kind == found.danger]
        print(f"!! Leave now: {parts[0].title}" if parts else f"!! {TITLE}")
        for number, step in enumerate([step for part in parts for step in (part.act, *part.steps)], start=1):
            print(f"   {number}. {step}")
    if found.plant and not equipment:
        print(f"for: {compiled.base.title(Ref(Kind.EQUIPMENT, found.plant))}")
    for place, hit in enumerate(found.results[: found.answers], start=1):
        path = compiled.base.entries[Ref(hit.kind, hit.id)].path
        print(f"{place:2}. {hit.title}  [{hit.kind}]  {path}" + (f"  ({hit.why})" if hit.why else ""))
        if hit.note:
            print(f"    {hit.note}")
    if found.did_you_mean:
        print(f"did you mean: {found.did_you_mean}")
    if found.not_understood:
        print(f"not found anywhere: {', '.join(found.not_understood)}")
    if found.absent and not found.plant:
        print(f"no plant shows: {', '.join(found.absent)}")
    if found.nearest:
        print(f"does it show: {', '.join(each.shows for each in found.nearest)}?")
    if not found.results:
        print("nothing found; try the display letter by letter, or fewer words")
    print(f"\n{NOTICE}")
    return 0


def _limit(text: str) -> int:
    if not text.isascii() or not text.isdigit() or int(text) < 1:
        raise WrongUse(f"`{text}` results cannot be shown; give --limit a whole number from 1 on")
    return int(text)
