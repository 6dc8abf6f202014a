"""``kbgen new field-note --from``: job records become field notes, and machines nobody has written down yet become drafts."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from kbgen.cli.common import JSON_VERSION, WrongUse, no_such, shown
from kbgen.cli.place import writing
from kbgen.cli.record import JobRecord, Words, read_record
from kbgen.load.names import as_id
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.plant import Machine
from kbgen.model.procedure import Procedure, places_of
from kbgen.read import read_folder
from kbgen.ref import FOLDERS, Kind, Ref
from kbgen.replace import replace_file
from kbgen.rewrite.editor import editor_line
from kbgen.schemas import Schemas, load_schemas
from kbgen.starter import new_entry
from kbgen.store import Store
from kbgen.text import words


@dataclass(frozen=True, slots=True)
class _Draft:
    """A file to write, and what is said of it."""

    path: Path
    text: str
    says: tuple[str, ...]
    of: tuple[str, str] = ("", "")
    """Family and size, where it is of a machine."""


def from_records(root: Path, files: Sequence[Path], store: Store, *, as_json: bool) -> int:
    """Write a field note of each job record; of none while one of them cannot be read or tells whose plant it is."""
    schemas = load_schemas()
    known = {entry.ref: entry for entry in read_folder(root, schemas, Store()).entries}
    drafts: dict[Path, _Draft] = {}
    # The newest first: it says how a machine was left that nobody has written down yet.
    records = [read_record(file, _words_of(root, store)) for file in files]
    for record in sorted(records, key=lambda each: each.day, reverse=True):
        for draft in _drafts(root, record, known, schemas, drafts):
            if draft.path.exists() or draft.path in drafts:
                raise WrongUse(
                    f"{shown(draft.path)} is there already; a record becomes one note, once. "
                    "If it is of another job of that day, rename the first note"
                )
            drafts[draft.path] = draft
    for draft in drafts.values():
        with writing(draft.path):
            replace_file(draft.path, draft.text.encode())
    if as_json:
        wrote = [shown(path) for path in drafts]
        print(json.dumps({"version": JSON_VERSION, "wrote": wrote}, ensure_ascii=False))
    else:
        for draft in drafts.values():
            print(f"wrote {shown(draft.path)}, {draft.says[0]}", *draft.says[1:], sep="\n  ")
    return 0


def _words_of(root: Path, store: Store) -> Words:
    """Return what looks up the words of a step; a page that is not there, or has no such step, is named by its id."""

    @cache
    def pages() -> Mapping[Ref, Entry]:
        # Imported late: only a code leaves the words out.
        from kbgen.pipeline import compile_folder

        return compile_folder(root, store=store).base.entries

    def words_of(page: str, place: str) -> str:
        entry = pages().get(Ref(Kind.PROCEDURE, page))
        procedure = entry.record if entry is not None else None
        if isinstance(procedure, Procedure) and place in (places := places_of(procedure)):
            return words(procedure.steps[places.index(place)].do)
        return f"{page}, step {place}."

    return words_of


def _drafts(
    root: Path, record: JobRecord, known: Mapping[Ref, Entry], schemas: Schemas, others: Mapping[Path, _Draft]
) -> Iterator[_Draft]:
    for kind, name in (
        (Kind.EQUIPMENT, record.equipment),
        *((Kind(field), name) for field, name in record.named.items()),
    ):
        if Ref(kind, name) not in known:
            raise no_such(
                str(kind), name, sorted(ref.id for ref in known if ref.kind is kind), str(record.file)
            )
    machine = _machine(record, known)
    alike = None if machine else _alike(record, known)
    place = root / FOLDERS[Kind.PLANT] / f"{as_id(record.number)}.yaml"
    made = ""
    if machine is None and alike is None and as_id(record.number) and _sized(record, known):
        made = as_id(record.number)
        draft = _new_machine(place, record, schemas)
        if place.exists() or (place in others and others[place].of != draft.of):
            raise WrongUse(
                f"{record.file}: {shown(place)} is of another machine; "
                f"give the number as on the tag of this one in place of `{record.number}`"
            )
        if place not in others:
            yield draft
    known_size = machine.record.size if machine and isinstance(machine.record, Machine) else ""
    size = record.size or known_size
    given = {
        "title": record.title,
        "date": record.day,
        "equipment": record.equipment,
        **({"size": size} if size else {}),
        **({"plant": machine.ref.id if machine else made} if machine or made else {}),
        **record.named,
        **record.fields,
    }
    yield _Draft(
        root / FOLDERS[Kind.FIELD_NOTE] / f"{as_id(record.title)}.yaml",
        editor_line(Kind.FIELD_NOTE) + new_entry(schemas, Kind.FIELD_NOTE, given),
        ("a draft; say in it what was found", *_says(record, machine, made, alike)),
    )


def _machine(record: JobRecord, known: Mapping[Ref, Entry]) -> Entry | None:
    """Return the entry of the machine: the one that the tablet named, else the one with that number, family and size.

    Raises:
        WrongUse: The one that was named is not there, or is of another family or size than the record.
    """
    if record.machine:
        found = known.get(Ref(Kind.PLANT, record.machine))
        if found is None:
            raise no_such(
                "plant",
                record.machine,
                sorted(ref.id for ref in known if ref.kind is Kind.PLANT),
                str(record.file),
            )
        machine = found.record
        if isinstance(machine, Machine) and _of(machine) != (record.equipment, record.size or machine.size):
            raise WrongUse(
                f"{record.file} is of {_said(record.equipment, record.size)}, {found.path} is of "
                f"{_said(*_of(machine))}; look at the tag, and mend the one that is wrong"
            )
        return found
    # A size that nobody said does not tell two machines apart: a name of one's own may be that of another place.
    entry = _alike(record, known)
    same = entry is not None and isinstance(entry.record, Machine) and entry.record.size == record.size
    return entry if same else None


def _alike(record: JobRecord, known: Mapping[Ref, Entry]) -> Entry | None:
    """Return the entry of a machine of that family that is called so, whatever its size."""
    alike = [
        entry
        for entry in known.values()
        if isinstance(entry.record, Machine)
        and entry.record.equipment == record.equipment
        and as_id(entry.record.number) == as_id(record.number)
    ]
    return min(alike, key=lambda each: getattr(each.record, "size", "") != record.size, default=None)


def _of(machine: Machine) -> tuple[str, str]:
    return machine.equipment, machine.size


def _said(equipment: str, size: str) -> str:
    return f"{equipment}, size {size}" if size else equipment


def _sized(record: JobRecord, known: Mapping[Ref, Entry]) -> bool:
    """Return whether the size is said, where the family has more than one."""
    family = known[Ref(Kind.EQUIPMENT, record.equipment)].record
    return bool(record.size) or not isinstance(family, Equipment) or len(family.sizes) < 2


def _new_machine(path: Path, record: JobRecord, schemas: Schemas) -> _Draft:
    given: dict[str, Any] = {
        "title": f"Machine {record.number}",
        "number": record.number,
        "equipment": record.equipment,
        "as_of": record.day,
    }
    if record.size:
        given["size"] = record.size
    if record.outstanding:
        given["outstanding"] = [{"what": each, "since": record.day} for each in record.outstanding]
    return _Draft(
        path,
        editor_line(Kind.PLANT) + new_entry(schemas, Kind.PLANT, given),
        ("a draft of the machine; say in it where it stands",),
        (record.equipment, record.size),
    )


def _says(record: JobRecord, machine: Entry | None, made: str, alike: Entry | None) -> Iterator[str]:
    for remark in record.fields.get("remarks", ()):
        yield f"open remark on {remark['page']}, step {remark['step']}: {remark['said']}"
    if machine is not None:
        yield f'in {machine.path} write as_of: "{record.day}"'
        for each in record.outstanding:
            yield f'  and under outstanding: {{what: {json.dumps(each, ensure_ascii=False)}, since: "{record.day}"}}'
    elif alike is not None:
        yield f"is it {alike.path}? then write plant: {alike.ref.id} into the note; else kbgen new plant with the number on its tag"
    elif not made:
        yield f"no machine was written for {record.number}: its size is not said; kbgen new plant {record.number}"
