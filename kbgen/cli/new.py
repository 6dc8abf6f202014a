"""``kbgen new``."""

from __future__ import annotations

import argparse
import json
import shutil
from datetime import datetime
from pathlib import Path
from typing import Any

from kbgen.cli.common import (
    JSON_VERSION,
    Commands,
    WrongUse,
    add_command,
    find_folder,
    no_such,
    print_json,
    shown,
)
from kbgen.cli.place import writing
from kbgen.load.names import PHONE_ADVICE, as_id, picture_name_fault
from kbgen.model.equipment import Equipment
from kbgen.photo import PhotoError, cleaned
from kbgen.read import read_folder
from kbgen.ref import FOLDERS, Kind, Ref
from kbgen.replace import replace_file
from kbgen.resources import folder
from kbgen.rewrite.editor import editor_line, write_schemas
from kbgen.schemas import Schemas, load_schemas
from kbgen.starter import first_lines, new_entry, taken_over
from kbgen.store import Store

_SHOP = "shop"
_PHOTO = "photo"
_NEEDS_EQUIPMENT = (Kind.CIRCUIT, Kind.FIELD_NOTE, Kind.PLANT)


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(
        commands,
        "new",
        run,
        'kbgen new shop my-shop   or   kbgen new symptom "Panel stays dark"',
    )
    names = ", ".join(str(kind) for kind in Kind)
    parser.add_argument("what", metavar="WHAT", help=f"shop, photo, or a kind of entry: {names}")
    parser.add_argument(
        "name",
        metavar="NAME",
        nargs="?",
        default="",
        help="the folder of a new shop, the file of a photo, the number of a machine, or the title of a new entry",
    )
    parser.add_argument(
        "--from",
        dest="records",
        nargs="+",
        type=Path,
        metavar="FILE",
        default=[],
        help="with field-note: job records as a tablet saved them, or texts with what their QR code says; a draft is written of each",
    )
    parser.add_argument(
        "--derived",
        action="store_true",
        help="NAME is the id of a page that follows from a plant's entry; take its lines over into a file of yours. "
        "Without NAME: list these pages",
    )


def run(args: argparse.Namespace) -> int:
    """Write a start; never over something that is there."""
    if args.records:
        if args.what != Kind.FIELD_NOTE or args.name:
            raise WrongUse("job records become field notes; write kbgen new field-note --from FILE...")
        # Imported late: nothing else here needs to know records.
        from kbgen.cli.from_records import from_records

        return from_records(_shop(args.kb), args.records, args.store, as_json=args.json)
    if not args.name:
        if not args.derived:
            raise WrongUse(f"say which: kbgen new {args.what} NAME")
        return _list_derived(_shop(args.kb), args)
    if args.what == _SHOP:
        wrote, says = _new_shop(Path(args.name))
    elif args.what == _PHOTO:
        wrote, says = _new_photo(_shop(args.kb), Path(args.name))
    elif args.derived:
        wrote, says = _taken_over(_shop(args.kb), args.what, args.name, args.store)
    elif args.what in map(str, Kind):
        wrote, says = _new_entry(_shop(args.kb), Kind(args.what), args.name)
    else:
        raise no_such("kind", args.what, [_SHOP, _PHOTO, *map(str, Kind)])
    print(
        json.dumps({"version": JSON_VERSION, "wrote": shown(wrote)}, ensure_ascii=False)
        if args.json
        else says
    )
    return 0


def _shop(given: Path | None) -> Path:
    """Find the knowledge base; a folder without settings is none, and nothing is put there."""
    root = find_folder(given)
    if not (root / "kb.yaml").is_file():
        raise WrongUse(
            f"{root} has no kb.yaml; start a knowledge base in a new folder with kbgen new shop DIR"
        )
    return root


def _new_shop(target: Path) -> tuple[Path, str]:
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise WrongUse(f"{target} is there already and is not empty; give a new folder")
    with writing(target):
        shutil.copytree(
            folder("starter_shop"), target, dirs_exist_ok=True, ignore=shutil.ignore_patterns("__pycache__")
        )
        # A wheel does not keep who may run a file.
        (target / ".hooks" / "pre-commit").chmod(0o755)
        _write_editor(target)
    return target, (
        f"a new shop stands in {shown(target)}; its entries are examples, all of them drafts\n"
        f"next: put your shop's name into {shown(target / 'kb.yaml')}, then kbgen check --kb {shown(target)}"
    )


def _new_photo(root: Path, file: Path) -> tuple[Path, str]:
    """Put a picture into ``photos/``: upright, smaller, without position, serial number or time."""
    if not file.is_file():
        raise WrongUse(f"there is no file {file}; give the picture to add")
    try:
        content = cleaned(file.read_bytes())
    except PhotoError as fault:
        advice = f"; {PHONE_ADVICE[0].lower()}{PHONE_ADVICE[1:]}" if fault.of_phone else ""
        raise WrongUse(f"{file}: {fault}{advice}") from fault
    photos = root / "photos"
    if file.parent.resolve() == photos.resolve():
        # One of the shop's own is cleaned where it lies; a copy would leave what it gives away.
        path = file
    else:
        path = photos / f"{as_id(file.stem)}{file.suffix.lower()}"
        if wrong := picture_name_fault(path.name):
            raise WrongUse(f"{file}: {wrong.message}; rename or save it anew, for example as panel.jpg")
        if path.exists():
            raise WrongUse(f"{shown(path)} is there already; rename the picture first")
    with writing(path):
        replace_file(path, content)
    kilobytes = -(-len(content) // 1024)
    return path, f"wrote {shown(path)}, {kilobytes} KB, without metadata; name it in an entry under photos:"


def _new_entry(root: Path, kind: Kind, title: str) -> tuple[Path, str]:
    entry_id = as_id(title)
    if not entry_id:
        raise WrongUse(f"no file name can be made of `{title}`; give a title in words of letters and digits")
    path = root / FOLDERS[kind] / f"{entry_id}.yaml"
    if path.exists():
        raise WrongUse(f"{shown(path)} is there already; give another title or edit that file")
    today = datetime.now().astimezone().date().isoformat()
    # A machine is known by its number; what people call it is for them to say.
    named = {"number": title, "as_of": today} if kind is Kind.PLANT else {"title": title, "date": today}
    given: dict[str, Any] = dict(named)
    if kind in _NEEDS_EQUIPMENT:
        given["equipment"] = _some_equipment(root, kind)
    schemas = load_schemas()
    if kind is Kind.PROCEDURE:
        given |= _with_routines(root, schemas)
    with writing(path):
        replace_file(path, (editor_line(kind) + new_entry(schemas, kind, given)).encode())
        _write_editor(root)
    return path, f"wrote {shown(path)}, a draft; next: fill it in, then kbgen check --kb {shown(root)}"


def _list_derived(root: Path, args: argparse.Namespace) -> int:
    """List the pages that follow from the plants' entries."""
    from kbgen.pipeline import compile_folder

    compiled = compile_folder(root, store=args.store)
    found = sorted(compiled.derived, key=lambda ref: ref.id)
    if args.json:
        print_json(compiled.edition, {"derived": [str(ref) for ref in found]})
        return 0
    for ref in found:
        print(f"{ref.id}: {compiled.base.entries[ref].title}")
    for note in compiled.verdict.notes:
        print(f"note: {note}")
    if not found:
        print("no page follows from a plant's entry, or the shop has pages of its own that do the same")
    return 0


def _taken_over(root: Path, what: str, name: str, store: Store) -> tuple[Path, str]:
    """Write the file of a page that follows from a plant's entry."""
    if what != Kind.PROCEDURE:
        raise WrongUse(
            f"only procedures follow from a plant's entry; write kbgen new procedure {name} --derived"
        )
    # Imported late: nothing else here needs to know the plant.
    from kbgen.pipeline import compile_folder

    compiled = compile_folder(root, store=store)
    ref = Ref(Kind.PROCEDURE, name)
    if ref not in compiled.derived:
        lacking = [note for note in compiled.verdict.notes if f"`{name}`" in note]
        raise no_such("derived page", name, [each.id for each in compiled.derived], *lacking[:1])
    path = root / FOLDERS[Kind.PROCEDURE] / f"{name}.yaml"
    with writing(path):
        replace_file(
            path, (editor_line(Kind.PROCEDURE) + taken_over(compiled.base.entries[ref].data)).encode()
        )
    return path, (
        f"wrote {shown(path)}, a draft that is yours now; next: walk it at the plant, line by line, "
        f"while somebody watches; then kbgen sign {ref} --by XY --did XY --watched XY --plant NUMBER"
    )


def _with_routines(root: Path, schemas: Schemas) -> dict[str, Any]:
    """Return plant and first lines of a page, where a plant's entry says how it is handled."""
    for entry in read_folder(root, schemas, Store()).entries:
        record = entry.record
        if isinstance(record, Equipment) and (lines := first_lines(record)):
            return {"equipment": [entry.ref.id], "steps": lines}
    return {}


def _write_editor(root: Path) -> None:
    schemas = load_schemas()
    write_schemas(root, schemas, read_folder(root, schemas, Store()).entries)


def _some_equipment(root: Path, kind: Kind) -> str:
    plants = sorted(path.stem for path in (root / FOLDERS[Kind.EQUIPMENT]).glob("*.yaml"))
    if not plants:
        raise WrongUse(
            f'a {kind} belongs to a plant and there is none yet; first: kbgen new equipment "Its name"'
        )
    return plants[0]
