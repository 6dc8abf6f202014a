"""References between entries: the ids in fields and the links in long text."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kbgen.load.names import FILE_NAME, reserved
from kbgen.model.entry import Entry
from kbgen.nearest import nearest, one_of
from kbgen.position import Route, Spot
from kbgen.problems import Problem, Related
from kbgen.ref import FOLDERS, Kind, Ref
from kbgen.rule import Family
from kbgen.schemas import Schemas
from kbgen.text import link_targets, read

REFERENCES = Family(
    "References", "Whatever is named exists.", "The ids, marks and names that the knowledge base lists."
)
UNKNOWN_NAME = REFERENCES.error(
    "unknown-name",
    "Sizes, sources, covers, valves, points and steps are named exactly as they are listed.",
    "isolate: contrl",
    "isolate: control",
)

_HALF = re.compile(
    rf"\]\s+\((?P<apart>(?:{'|'.join(Kind)}):[a-z0-9-]+)\)|\)\[(?P<swapped>(?:{'|'.join(Kind)}):[a-z0-9-]+)\]"
    rf"|\]\((?P<open>(?:{'|'.join(Kind)}):[a-z0-9-]+)(?![a-z0-9)-])"
)
"""Nearly a link: a blank between its parts, its brackets swapped, or the last one missing."""
_LINK = re.compile(r"\]\(([A-Za-z][A-Za-z_-]*):([^()\s]*)\)")


@dataclass(frozen=True, slots=True)
class Reference:
    """One place in an entry that names another.

    Attributes:
        route: Route of the field.
        find: The piece of the field's text that names it; empty when the field is the name.
    """

    source: Ref
    path: str
    route: Route
    target: Ref
    find: str = ""

    @property
    def spot(self) -> Spot:
        """Where the author typed it."""
        return Spot(self.path, self.route, find=self.find)


def references(entry: Entry, schemas: Schemas) -> Iterator[Reference]:
    """Yield every reference of an entry: ids in fields, then links in long text."""
    kind = entry.ref.kind
    for route, target_kind, target_id in schemas.references(kind, entry.data):
        yield Reference(entry.ref, entry.path, route, Ref(Kind(target_kind), target_id))
    for route, text_class, text in schemas.texts(kind, entry.data):
        if text_class == "long" and "](" in text:
            for target in link_targets(read(text)):
                yield Reference(entry.ref, entry.path, route, target, find=f"{target}")
    yield from _done_here(entry)


def _done_here(entry: Entry) -> Iterator[Reference]:
    """Yield the pages that a procedure does on the way: written out, none of its steps names them."""
    for index, line in enumerate(entry.data.get("written", ())):
        if "do_page" in line:
            origins = (step.get("origin", {}).get("line") for step in entry.data["steps"])
            step = next((number for number, of in enumerate(origins) if of == index), 0)
            route = ("steps", step, "do_page")
            yield Reference(entry.ref, entry.path, route, Ref(Kind.PROCEDURE, line["do_page"]))


UNKNOWN_REFERENCE = REFERENCES.error(
    "unknown-reference",
    "A link to an entry that does not exist leads the reader nowhere.",
    "device: frist-low-water",
    "device: first-low-water",
)


def unknown_references(
    found: Sequence[Reference],
    known: frozenset[Ref],
    former: Mapping[Ref, Ref],
    entries: Mapping[Ref, Entry],
    schemas: Schemas,
) -> Iterator[Problem]:
    """Report references to entries that do not exist.

    Args:
        found: All references; those of pages that nobody has written are not judged.
        known: Every entry that has a file, be the file in order or not.
        former: Old names of entries.
        entries: The entries that make the references.
        schemas: Say which fields would be right for an entry of another kind.
    """
    for reference in found:
        target = reference.target
        if target in known or reference.source not in known:
            continue
        if target in entries:
            what = f"`{target.id}` follows from a plant's entry, and nobody has walked it at the plant"
            take = f"Take it over first: `kbgen new procedure {target.id} --derived`; then walk it and sign."
            yield UNKNOWN_REFERENCE.at(reference.spot, what, take)
            continue
        if target in former:
            hint = f"It is now called `{former[target].id}`; write that."
        elif others := sorted(ref for ref in known if ref.id == target.id):
            hint = _of_another_kind(others[0], reference, entries[reference.source], schemas)
        else:
            near = nearest(target.id, [ref.id for ref in known if ref.kind == target.kind])
            hint = (
                f"Did you mean `{near}`?"
                if near
                else f"Create {FOLDERS[target.kind]}/{target.id}.yaml, or take the reference out."
            )
        yield UNKNOWN_REFERENCE.at(reference.spot, f"there is no {target.kind} called `{target.id}`", hint)


def _of_another_kind(other: Ref, reference: Reference, source: Entry, schemas: Schemas) -> str:
    """Say where an entry of another kind is named, when its id stands in the wrong field."""
    kind = f"`{other.id}` is {'an' if other.kind is Kind.EQUIPMENT else 'a'} {other.kind}"
    if reference.find:
        return f"{kind}; write the link as [words]({other})."
    fields = schemas.references_beside(source.ref.kind, source.data, reference.route)
    homes = [f"`{name}`" for name, named in fields.items() if named is other.kind]
    if not homes:
        return f"{kind}; name {'an' if reference.target.kind is Kind.EQUIPMENT else 'a'} {reference.target.kind} here."
    return f"{kind}; it goes under {one_of(homes)}."


UNKNOWN_LINK = REFERENCES.error(
    "unknown-link",
    "A link whose kind is misspelt would show as plain text.",
    "[cutoff](devices:first-low-water)",
    "[cutoff](device:first-low-water)",
)


_NO_MACHINE = (
    "Write its number; a field note names it under `plant`, so that a public edition can leave it out."
)


def unknown_link_kinds(entry: Entry, schemas: Schemas) -> Iterator[Problem]:
    """Report links in long text whose kind is misspelt, so that they would show as plain text."""
    kinds = [str(kind) for kind in Kind]
    for route, text_class, text in schemas.texts(entry.ref.kind, entry.data):
        if text_class != "long" or "[" not in text:
            continue
        for half in _HALF.finditer(text):
            target = next(filter(None, half.groups()))
            spot = Spot(entry.path, route, find=target)
            hint = f"Write the link as [words]({target})."
            yield UNKNOWN_LINK.at(spot, f"`{target}` stands in no whole link", hint)
        for kind, entry_id in _LINK.findall(text):
            if kind == Kind.PLANT:
                spot = Spot(entry.path, route, find=f"({kind}:{entry_id})")
                yield UNKNOWN_LINK.at(
                    spot, f"`{kind}:{entry_id}` is a machine, and no text leads to one", _NO_MACHINE
                )
                continue
            if kind in kinds and re.fullmatch(r"[a-z0-9-]+", entry_id):
                continue
            near = nearest(kind, kinds)
            hint = (
                f"Write the link as [words]({near}:{entry_id.lower()})."
                if near
                else "Links lead to entries only: [words](device:its-id)."
            )
            yield UNKNOWN_LINK.at(
                Spot(entry.path, route, find=f"({kind}:{entry_id})"),
                f"`{kind}:{entry_id}` names no entry",
                hint,
            )


ID_USED_TWICE = REFERENCES.error(
    "id-used-twice",
    "An old address must lead to one entry.",
    "former_ids: [float-switch]  # in two entries",
    "former_ids: [float-switch]  # in one of them",
)


def former_names(entries: Sequence[Entry]) -> tuple[dict[Ref, Ref], list[Problem]]:
    """Map old ids to the entries that had them, and report ids claimed twice."""
    current = {entry.ref: entry for entry in entries}
    former: dict[Ref, Ref] = {}
    problems: list[Problem] = []
    for entry in entries:
        for index, old in enumerate(entry.head.former_ids):
            ref = Ref(entry.ref.kind, old)
            spot = Spot(entry.path, ("former_ids", index))
            if why := reserved(old):
                problems.append(FILE_NAME.at(spot, why, "Take it out; no page ever had this address."))
                continue
            owner = current.get(ref) or current.get(former.get(ref, ref))
            if owner is not None:
                problems.append(
                    ID_USED_TWICE.at(
                        spot,
                        f"`{old}` already names another {entry.ref.kind}",
                        "Take it out of former_ids here, or rename the other entry.",
                        Related(Spot(owner.path), "the other entry that answers to it"),
                    )
                )
            else:
                former[ref] = entry.ref
    return former, problems
