"""What is computed of both versions and held against each other: pages as they are walked, circuits as they are worked out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial

from kbgen.compute.cautions import place_cautions
from kbgen.compute.circuit.state import UnknownName
from kbgen.compute.walk import Walk
from kbgen.compute.walk import state as s
from kbgen.link.base import written
from kbgen.link.kept import kept
from kbgen.model.circuit import Circuit
from kbgen.model.procedure import Procedure
from kbgen.pipeline import Compiled
from kbgen.problems import Severity
from kbgen.ref import Kind, Ref
from kbgen.review import change as c
from kbgen.review import circuits, page, problems, walked
from kbgen.review.change import Change, Weight, sentence
from kbgen.review.inner import respelt
from kbgen.review.said import PageSaid
from kbgen.review.versions import Versions

_ASKED_FOR = {
    "after_gas_work": (s.GAS_OWED, s.ANALYSER_OWED, s.UNPURGED),
    "most_starts": (s.TRIES,),
    "most_resets": (s.RESET,),
}
"""What the shop asks for, and the facts that tell what of it is outstanding."""


def pages(v: Versions) -> Iterator[Change]:
    """Yield what the pages do otherwise on their ways, and say otherwise in their steps."""
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
        if unread := v.unread(asked):
            said = sentence(f"What it does cannot be compared while {unread} cannot be read")
            places = v.where[0].at(ref), v.where[1].at(ref)
            yield Change(Weight.UNDECIDED, c.Kind.CHANGED, ref, said, *places, derived=True, quiet=True)
            continue
        before = v.before.walks[ref]
        if ref not in v.changed and walk.arrival == before.arrival and _walks_as_before(v, ref, walk):
            continue
        now, was = _page(v.after, ref, walk), _page(v.before, ref, before)
        for names in v.renamed(ref):
            was = respelt(was, names)
        derived = ref not in v.changed
        defined = derived and _by_definition(v, asked)
        for each in walked.differences(was, now, ignored):
            places = v.where[0].step(ref, each.before), v.where[1].step(ref, each.after)
            weight = each.weight
            if defined and weight is Weight.SAFER and each.of_ways:
                # Not the steps are others but what they are judged by: that less is asked makes nobody safer.
                weight = Weight.UNDECIDED
            said = sentence(each.says)
            yield Change(weight, each.kind, ref, said, *places, derived=derived, about=each.about)


def _page(side: Compiled, ref: Ref, walk: Walk) -> PageSaid:
    finds, brings = (
        [" ".join(fact) for fact in sorted(facts)] for facts in (walk.arrival.finds, walk.arrival.brings)
    )
    name = ("said", str(ref), *finds, "brought", *brings)
    make = partial(page.read_page, side.base, ref, walk.arrival)
    return kept(side.store, side.base, name, make)


def _walks_as_before(v: Versions, ref: Ref, walk: Walk) -> bool:
    """Return whether a page at which the same arrives says and does the same: other pages may do otherwise."""
    other = v.bases[1]
    with other.listening() as asked:
        v.after.walks.of_page(ref, walk.arrival)
        page_now = other.procedure(ref.id)
        if page_now is not None:
            place_cautions(other, page_now)
    return _all_as_before(v, asked)


def _by_definition(v: Versions, asked: set[tuple[str, object]]) -> bool:
    """Return whether a page that is the same asks for something else than pages that is another now."""
    named = {str(of) for _, of in asked}
    others = [ref for ref in v.changed if ref is not None and ref.kind is not Kind.PROCEDURE]
    return None in v.changed or any(str(ref) in named for ref in others)


def _all_as_before(v: Versions, asked: set[tuple[str, object]]) -> bool:
    """Return whether everything that was asked for a page is answered alike in both versions."""
    one, other = v.bases
    return all(one.answer(each) == other.answer(each) for each in (written(*question) for question in asked))


def circuits_of(v: Versions) -> Iterator[Change]:
    """Yield what is worked out otherwise about the circuits."""
    one, other = v.bases
    for found, _ in other.of(Circuit):
        ref = found.ref
        if one.circuit(ref.id) is None or not any(circuits.concerns(each, ref, other) for each in v.changed):
            continue
        derived = ref not in v.changed
        places = v.where[0].at(ref), v.where[1].at(ref)
        with other.listening() as asked:
            was, now = (_worked(side, ref) for side in (v.before, v.after))
        unread = v.unread(asked)
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
