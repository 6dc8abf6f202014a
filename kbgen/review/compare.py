"""Two versions of a knowledge base held against each other: everything a reviewer must see."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from kbgen.migrate import migrate
from kbgen.model.field_note import FieldNote
from kbgen.pipeline import Compiled, Progress, compile_folder
from kbgen.read import read_folder
from kbgen.ref import Kind, Ref
from kbgen.report import Located, locate
from kbgen.review import change as c
from kbgen.review import entry, problems, signatures
from kbgen.review.change import Change, Report, Weight, in_order, sentence
from kbgen.review.computed import circuits_of, pages
from kbgen.review.inner import respelt
from kbgen.review.renames import Rename, find, write_into
from kbgen.review.versions import Versions, versions_of
from kbgen.store import Store


def review(root: Path, base: Path, name: str, store: Store, progress: Progress = lambda _: None) -> Report:
    """Hold a knowledge base against a version before.

    Args:
        root: Its folder as it is.
        base: The folder of the version before; its old fields are migrated, and new names are written into it.
        name: What a person calls that version.
    """
    after = compile_folder(root, progress, store=store)
    # What an earlier version of the program read is read today too; what a person must decide stays a problem.
    if not all(each.sound for each in read_folder(base, after.schemas, store).documents):
        migrate(base)
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
    versions = versions_of(before, after, renames)
    changes = [*_entries(versions), *_renamed(versions, renames), *pages(versions), *circuits_of(versions)]
    one, other = (locate(each.problems, each.documents) for each in (before, after))
    found = problems.differences(one, other, _safety(one, other), versions.files, versions.all_unread)
    changes += map(judged_otherwise, found) if versions.changed == {None} else found
    changes += _unread(versions)
    told = {each.ref for each in changes}
    changes += _same(versions, told)
    ordered = in_order(_without_private(changes))
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
        signatures=tuple(signatures.broken(before.base, after.base, ordered, after.store)),
        lasting=problems.lasting(one, other),
        remarks=tuple(_open_remarks(after)),
        titles={ref: each.title for side in versions.bases for ref, each in side.entries.items()},
        edition=(after.edition.id, after.edition.date),
    )


def _open_remarks(after: Compiled) -> Iterator[tuple[Ref, str]]:
    """Yield what was said of steps and is not answered: whoever changes a page reads what is said of it."""
    for noted, note in after.base.of(FieldNote):
        for remark in note.remarks:
            if not remark.answer:
                said = f"step `{remark.step}`: “{remark.said}” ({noted.ref}, {note.date})"
                yield Ref(Kind.PROCEDURE, remark.page), said


def judged_otherwise(each: Change) -> Change:
    """Return a problem where nothing but the settings of the shop changed: no page does what it did not do."""
    less = each.weight is Weight.LESS_SAFE and each.ref is not None
    return replace(each, weight=Weight.UNDECIDED) if less else each


def _without_private(changes: Sequence[Change]) -> Iterator[Change]:
    """Yield the changes; of a file that holds something private now, without what it says."""
    private = {each.ref for each in changes if each.weight is Weight.PRIVATE}
    for each in changes:
        if each.ref in private and each.kind is not c.Kind.REMOVED and not each.rule:
            said = (
                f"{each.sentence.partition(':')[0]}: not repeated here, as this file holds something private."
            )
            yield replace(each, sentence=said)
        else:
            yield each


def _refs(found: Iterable[Ref | None]) -> tuple[Ref, ...]:
    return tuple(sorted(ref for ref in found if ref is not None))


def _safety(*found: Sequence[Located]) -> frozenset[str]:
    """Return those rules of some problems that protect somebody's life."""
    if not any(found):
        return frozenset()
    # Knows every rule, and with them half the program; where nothing is wrong nobody waits for it.
    from kbgen.rules.registry import BY_NAME

    return frozenset(each.rule for side in found for each in side if BY_NAME[each.rule].safety)


# Entries and their fields.


def _entries(v: Versions) -> Iterator[Change]:
    for ref in sorted(v.changed, key=str):
        old, new = v.old.get(ref), v.new.get(ref)
        if old is None or new is None:
            yield _come_or_gone(v, ref, new is not None)
        elif old.sound and new.sound:
            data = old.data
            for names in v.renamed(ref):
                data = respelt(data, names)
                yield from _called_otherwise(v, ref, names)
            yield from entry.differences(
                v.after.schemas.of(new.kind), ref, (data, new.data), v.bases, v.where
            )


def _called_otherwise(v: Versions, ref: Ref | None, names: Mapping[str, str]) -> Iterator[Change]:
    if ref is not None and ref.kind is Kind.EQUIPMENT:
        for old, new in names.items():
            said = sentence(f"`{old}` is called `{new}` now")
            yield Change(Weight.WORDS, c.Kind.RENAMED, ref, said, v.where[0].at(ref), v.where[1].at(ref))


_HARMLESS = frozenset({Kind.TERM, Kind.FIELD_NOTE})


def _come_or_gone(v: Versions, ref: Ref | None, come: bool) -> Change:
    if ref is None:
        how = "now" if come else "no longer"
        weight, kind = (Weight.WORDS, c.Kind.ADDED) if come else (Weight.LESS_SAFE, c.Kind.REMOVED)
        return Change(weight, kind, None, f"There is {how} a kb.yaml.")
    base = v.bases[1] if come else v.bases[0]
    found = base.entries.get(ref)
    title = found.title if found is not None else ref.id
    # Before signatures had marks an approved page was published without one: what is gone goes by what it was called.
    unpublished = found is not None and (found.head.draft if come else found.head.status != "approved")
    draft = unpublished and ref.kind is not Kind.CAUTION
    if come:
        weight = Weight.WORDS if draft or ref.kind in _HARMLESS else Weight.UNDECIDED
        if ref.kind is Kind.CAUTION:
            weight = Weight.SAFER
        how = "a draft, not published yet" if draft else "nothing to compare it with; read all of it"
        said = f"“{title}” is new: {how}" if weight is Weight.UNDECIDED or draft else f"“{title}” is new"
        return Change(weight, c.Kind.ADDED, ref, sentence(said), None, v.where[1].at(ref))
    weight = Weight.WORDS if draft or ref.kind in _HARMLESS else Weight.LESS_SAFE
    if ref.kind is Kind.PLANT:
        # A machine may well be scrapped; whether what was outstanding at it was done, no file can show.
        weight = Weight.UNDECIDED
    said = f"“{title}” is gone, and nothing answers at its address"
    return Change(weight, c.Kind.REMOVED, ref, sentence(said), v.where[0].at(ref), None)


def _renamed(v: Versions, renames: Sequence[Rename]) -> Iterator[Change]:
    for each in renames:
        said = f"called {each.new.id} now, was {each.old.id}"
        if not each.declared:
            said += "; without `former_ids`, so that nothing answers at its old address"
        weight = Weight.WORDS if each.declared else Weight.UNDECIDED
        places = v.where[0].at(each.new), v.where[1].at(each.new)
        yield Change(weight, c.Kind.RENAMED, each.new, sentence(said), *places)


def _same(v: Versions, told: set[Ref | None]) -> Iterator[Change]:
    """Tell the files that say something else where nothing of it was told."""
    for ref in sorted(v.changed - told, key=str):
        said = "Written otherwise; nothing that it does or says was found to differ."
        yield Change(
            Weight.WORDS, c.Kind.CHANGED, ref, said, v.where[0].at(ref), v.where[1].at(ref), quiet=True
        )


def _unread(v: Versions) -> Iterator[Change]:
    """Tell the entries that one of the versions cannot say: broken, or written from one that is."""
    for ref in v.old.keys() & v.new.keys():
        sound = v.read(ref)
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
