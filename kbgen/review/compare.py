"""Two versions of a knowledge base held against each other: everything a reviewer must see."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from kbgen.compute.circuit.state import UnknownName
from kbgen.compute.walk import Walk
from kbgen.compute.walk import state as s
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.load import Document
from kbgen.model.circuit import Circuit
from kbgen.model.procedure import Procedure
from kbgen.pipeline import Compiled, Progress, compile_folder
from kbgen.problems import Severity
from kbgen.ref import Kind, Ref
from kbgen.report import Located, locate
from kbgen.review import change as c
from kbgen.review import circuits, entry, page, problems, signatures, walked
from kbgen.review.change import Change, Report, Weight, in_order, sentence
from kbgen.review.inner import renamed_inside, respelt
from kbgen.review.renames import Rename, find, write_into
from kbgen.review.where import Where
from kbgen.store import Store


@dataclass(frozen=True)
class _Versions:
    """Both versions, and what they call what.

    Attributes:
        files: The paths that have another name now, by the new one.
        changed: Entries whose files say something else; ``None`` among them where kb.yaml does.
    """

    before: Compiled
    after: Compiled
    where: tuple[Where, Where]
    files: Mapping[str, str]
    old: Mapping[Ref | None, Document]
    new: Mapping[Ref | None, Document]
    changed: frozenset[Ref | None]
    inside: Mapping[str, Mapping[str, str]]

    @property
    def bases(self) -> tuple[KnowledgeBase, KnowledgeBase]:
        return self.before.base, self.after.base


def review(root: Path, base: Path, name: str, store: Store, progress: Progress = lambda _: None) -> Report:
    """Hold a knowledge base against a version before.

    Args:
        root: Its folder as it is.
        base: The folder of the version before; new names are written into it.
        name: What a person calls that version.
    """
    after = compile_folder(root, progress, store=store)
    renames = find(base, root, list(after.base.entries.values()))
    write_into(base, renames, after.schemas)
    progress("reading the version before")
    before = compile_folder(base, progress, store=store)
    progress("comparing")
    return compare(before, after, renames, name)


def compare(before: Compiled, after: Compiled, renames: Sequence[Rename] = (), name: str = "") -> Report:
    """Hold two compiled versions against each other.

    Args:
        renames: The entries that have another name now; in ``before`` they have it already.
        name: What a person calls the version before.
    """
    versions = _versions(before, after, renames)
    changes = [*_entries(versions), *_renamed(versions, renames), *_pages(versions), *_circuits(versions)]
    one, other = (locate(each.problems, each.documents) for each in (before, after))
    changes += problems.differences(one, other, _safety(one, other), versions.files)
    changes += _unread(versions)
    told = {each.ref for each in changes}
    changes += _same(versions, told)
    ordered = in_order(changes)
    new_names = {each.new: each.old for each in renames}
    return Report(
        base=name,
        added=_refs(versions.new.keys() - versions.old.keys()),
        changed=_refs(
            ref for ref in told if ref in versions.old and ref in versions.new and ref not in new_names
        ),
        removed=_refs(versions.old.keys() - versions.new.keys()),
        renamed=tuple((each.old, each.new) for each in renames),
        changes=ordered,
        signatures=tuple(signatures.broken(before.base, after.base, ordered)),
        lasting=problems.lasting(one, other),
        titles={ref: each.title for side in versions.bases for ref, each in side.entries.items()},
        edition=(after.edition.id, after.edition.date),
    )


def _refs(found: Iterable[Ref | None]) -> tuple[Ref, ...]:
    return tuple(sorted(ref for ref in found if ref is not None))


def _versions(before: Compiled, after: Compiled, renames: Sequence[Rename]) -> _Versions:
    old, new = ({_ref(each): each for each in side.documents} for side in (before, after))
    files = {
        new[each.new].path: f"{each.old.kind.folder}/{each.old.id}.yaml"
        for each in renames
        if each.new in new
    }
    inside = {
        ref.id: renamed_inside(old[ref].data, document.data)
        for ref, document in new.items()
        if ref is not None and ref.kind is Kind.EQUIPMENT and ref in old
    }
    changed = {
        ref
        for ref in old.keys() | new.keys()
        if ref not in old or ref not in new or _says(old[ref]) != _says(new[ref])
    }
    return _Versions(
        before, after, (Where(before, files), Where(after)), files, old, new, frozenset(changed), inside
    )


def _ref(document: Document) -> Ref | None:
    return Ref(document.kind, document.id) if document.kind else None


def _says(document: Document) -> Any:
    return document.data if document.sound else document.source.text


def _safety(*found: Sequence[Located]) -> frozenset[str]:
    """Return those rules of some problems that protect somebody's life."""
    if not any(found):
        return frozenset()
    # Knows every rule, and with them half the program; where nothing is wrong nobody waits for it.
    from kbgen.rules.registry import BY_NAME

    return frozenset(each.rule for side in found for each in side if BY_NAME[each.rule].safety)


# Entries and their fields.


def _entries(v: _Versions) -> Iterator[Change]:
    for ref in sorted(v.changed, key=str):
        old, new = v.old.get(ref), v.new.get(ref)
        if old is None or new is None:
            yield _come_or_gone(v, ref, new is not None)
        elif old.sound and new.sound:
            data = old.data
            for names in _inside(v, ref):
                data = respelt(data, names)
                yield from _called_otherwise(v, ref, names)
            yield from entry.differences(
                v.after.schemas.of(new.kind), ref, (data, new.data), v.bases, v.where
            )


def _inside(v: _Versions, ref: Ref | None) -> Iterator[Mapping[str, str]]:
    """Yield the names within plant that an entry may use and that are others now."""
    if ref is None:
        return
    found = v.after.base.entries.get(ref)
    plants = found.plants if found is not None else ()
    for plant in plants:
        if v.inside.get(plant):
            yield v.inside[plant]


def _called_otherwise(v: _Versions, ref: Ref | None, names: Mapping[str, str]) -> Iterator[Change]:
    if ref is not None and ref.kind is Kind.EQUIPMENT:
        for old, new in names.items():
            said = sentence(f"`{old}` is called `{new}` now")
            yield Change(Weight.WORDS, c.Kind.RENAMED, ref, said, v.where[0].at(ref), v.where[1].at(ref))


_HARMLESS = frozenset({Kind.TERM, Kind.FIELD_NOTE})


def _come_or_gone(v: _Versions, ref: Ref | None, come: bool) -> Change:
    if ref is None:
        how = "now" if come else "no longer"
        return Change(
            Weight.UNDECIDED, c.Kind.ADDED if come else c.Kind.REMOVED, None, f"There is {how} a kb.yaml."
        )
    base = v.bases[1] if come else v.bases[0]
    found = base.entries.get(ref)
    title = found.title if found is not None else ref.id
    draft = found is not None and found.head.draft and ref.kind is not Kind.CAUTION
    if come:
        weight = Weight.WORDS if draft or ref.kind in _HARMLESS else Weight.UNDECIDED
        if ref.kind is Kind.CAUTION:
            weight = Weight.SAFER
        how = "a draft, not published yet" if draft else "nothing to compare it with; read all of it"
        said = f"“{title}” is new: {how}" if weight is Weight.UNDECIDED or draft else f"“{title}” is new"
        return Change(weight, c.Kind.ADDED, ref, sentence(said), None, v.where[1].at(ref))
    weight = Weight.WORDS if draft or ref.kind in _HARMLESS else Weight.LESS_SAFE
    said = f"“{title}” is gone, and nothing answers at its address"
    return Change(weight, c.Kind.REMOVED, ref, sentence(said), v.where[0].at(ref), None)


def _renamed(v: _Versions, renames: Sequence[Rename]) -> Iterator[Change]:
    for each in renames:
        said = f"called {each.new.id} now, was {each.old.id}"
        if not each.declared:
            said += "; without `former_ids`, so that nothing answers at its old address"
        weight = Weight.WORDS if each.declared else Weight.UNDECIDED
        places = v.where[0].at(each.new), v.where[1].at(each.new)
        yield Change(weight, c.Kind.RENAMED, each.new, sentence(said), *places)


def _same(v: _Versions, told: set[Ref | None]) -> Iterator[Change]:
    """Tell the files that say something else where nothing of it was told."""
    for ref in sorted(v.changed - told, key=str):
        said = "Written otherwise; what it does and what anybody reads is the same."
        yield Change(
            Weight.WORDS, c.Kind.CHANGED, ref, said, v.where[0].at(ref), v.where[1].at(ref), quiet=True
        )


def _unread(v: _Versions) -> Iterator[Change]:
    """Tell the entries that one of the versions cannot say: broken, or written from one that is."""
    for ref in v.old.keys() & v.new.keys():
        sound = (_read(v.before, ref, v.old[ref]), _read(v.after, ref, v.new[ref]))
        if all(sound) or (not any(sound) and ref not in v.changed):
            continue
        which = (
            "both versions" if not any(sound) else "the version before" if not sound[0] else "the version now"
        )
        said = f"What changed cannot be told: {which} cannot be read."
        weight = Weight.UNDECIDED
        yield Change(
            weight,
            c.Kind.CHANGED,
            ref,
            said,
            v.where[0].at(ref),
            v.where[1].at(ref),
            derived=ref not in v.changed,
        )


def _unread_of(v: _Versions, asked: set[tuple[str, object]]) -> str:
    """Return what cannot be read in one of the versions of what was asked for; empty for nothing."""
    found = [
        str(ref)
        for ref in v.old.keys() & v.new.keys()
        if ref is not None
        and not (_read(v.before, ref, v.old[ref]) and _read(v.after, ref, v.new[ref]))
        and any(of == ref or str(of) == str(ref) for _, of in asked)
    ]
    return c.listed(sorted(found), 3)


def _read(side: Compiled, ref: Ref | None, document: Document) -> bool:
    return document.sound if ref is None else ref in side.base.entries


# Pages.


_ASKED_FOR = {
    "after_gas_work": (s.GAS_OWED, s.ANALYSER_OWED, s.UNPURGED),
    "most_starts": (s.TRIES,),
    "most_resets": (s.RESET,),
}
"""What the shop asks for, and the facts that tell what of it is outstanding."""


def _pages(v: _Versions) -> Iterator[Change]:
    one, other = v.bases
    # Where the shop asks for less, less is outstanding everywhere: that is told at its settings, once.
    ignored = frozenset(
        kind
        for name, kinds in _ASKED_FOR.items()
        if one.settings.get(name) != other.settings.get(name)
        for kind in kinds
    )
    for found, _ in other.of(Procedure):
        ref = found.ref
        old = one.procedure(ref.id)
        if old is None:
            continue
        with other.listening() as asked:
            walk = v.after.walks[ref]
        if ref not in v.changed and _all_as_before(v, asked):
            continue
        if unread := _unread_of(v, asked):
            said = sentence(f"What it does cannot be compared while {unread} cannot be read")
            places = v.where[0].at(ref), v.where[1].at(ref)
            yield Change(Weight.UNDECIDED, c.Kind.CHANGED, ref, said, *places, derived=True, quiet=True)
            continue
        now, before = _page(v.after, ref, walk), v.before.walks[ref]
        was = _page(v.before, ref, before)
        for names in _inside(v, ref):
            was = respelt(was, names)
        derived = ref not in v.changed
        defined = derived and _by_definition(v, asked)
        for each in walked.differences(was, now, ignored):
            places = v.where[0].step(ref, each.before), v.where[1].step(ref, each.after)
            weight = each.weight
            if defined and weight is Weight.SAFER and each.of_ways:
                # Not the steps are others but what they are judged by: that less is asked makes nobody safer.
                weight = Weight.UNDECIDED
            yield Change(weight, each.kind, ref, sentence(each.says), *places, derived=derived)


def _page(side: Compiled, ref: Ref, walk: Walk) -> page.PageSaid:
    finds, brings = (
        [" ".join(fact) for fact in sorted(facts)] for facts in (walk.arrival.finds, walk.arrival.brings)
    )
    name = ("said", str(ref), *finds, "brought", *brings)
    make = partial(page.read_page, side.base, ref, walk.arrival)
    return kept(side.store, side.base, name, make)


def _by_definition(v: _Versions, asked: set[tuple[str, object]]) -> bool:
    """Return whether a page that is the same asks for something else than pages that is another now."""
    named = {str(of) for _, of in asked}
    others = [ref for ref in v.changed if ref is not None and ref.kind is not Kind.PROCEDURE]
    return None in v.changed or any(str(ref) in named for ref in others)


def _all_as_before(v: _Versions, asked: set[tuple[str, object]]) -> bool:
    """Return whether everything that was asked for a page is answered alike in both versions."""
    from kbgen.link.base import written

    one, other = v.bases
    return all(one.answer(each) == other.answer(each) for each in (written(*question) for question in asked))


# Circuits.


def _circuits(v: _Versions) -> Iterator[Change]:
    one, other = v.bases
    for found, _ in other.of(Circuit):
        ref = found.ref
        if one.circuit(ref.id) is None or not any(circuits.concerns(each, ref, other) for each in v.changed):
            continue
        derived = ref not in v.changed
        places = v.where[0].at(ref), v.where[1].at(ref)
        with other.listening() as asked:
            was, now = (_worked(side, ref) for side in (v.before, v.after))
        unread = _unread_of(v, asked)
        if unread or was is None or now is None:
            why = f"{unread} cannot be read" if unread else "an error stands in the circuit"
            said = sentence(f"Whether its readings are others cannot be told while {why}")
            quiet = bool(unread)
            yield Change(Weight.UNDECIDED, c.Kind.CHANGED, ref, said, *places, derived=derived, quiet=quiet)
            continue
        for kind, weight, said in circuits.differences(was, now):
            change = Change(weight, c.Kind.CHANGED, ref, sentence(said), *places, derived=derived)
            yield replace(change, quiet=kind in circuits.QUIET)


def _worked(side: Compiled, ref: Ref) -> Mapping[str, circuits.Worked] | None:
    """Work a circuit out; ``None`` where an error in it stands against that."""
    wrong = any(
        problem.severity is Severity.ERROR and problems.entry_of(problem.place.path) == ref
        for problem in side.problems
    )
    try:
        return None if wrong else circuits.work_out(side.base, side.store, ref.id)
    except (UnknownName, ValueError, LookupError, ArithmeticError):
        return None
