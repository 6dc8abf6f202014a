"""What follows from another error is not listed beside it: it goes away when the cause is mended.

A rule that judges an entry by the names in it, or by the entries it names, can only be wrong while one
of those names leads nowhere or one of those files is broken.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from kbgen.link.base import KnowledgeBase
from kbgen.link.references import REFERENCES
from kbgen.model.action import row
from kbgen.model.circuit import Circuit
from kbgen.model.procedure import Procedure
from kbgen.model.takes import Names
from kbgen.problems import Problem
from kbgen.ref import Ref
from kbgen.rules.registry import BY_NAME


class Told(NamedTuple):
    """Problems without the consequences of others.

    Attributes:
        problems: What is left.
        not_run: What was left out, in the reader's words.
    """

    problems: tuple[Problem, ...]
    not_run: tuple[str, ...]


def without_consequences(
    problems: Sequence[Problem],
    base: KnowledgeBase,
    broken: frozenset[Ref],
    asked: Mapping[str, frozenset[str]],
    waiting: Sequence[str],
) -> Told:
    """Leave out what cannot be judged before other errors are mended.

    An entry with an error of its own always keeps that error, so that nothing passes for sound.

    Args:
        problems: Everything found.
        base: The sound entries, and who names whom.
        broken: Entries whose files have errors, so that nothing is known of them.
        asked: For each page that could not be written out, by path: what it was written from, as ``kind:id``.
        waiting: Paths of the pages of which nothing is said before a broken file is mended.
    """
    wrong = {problem.place.path for problem in problems if BY_NAME[problem.rule].family is REFERENCES}
    # Not who names a page that could not be written out: the page's own error would wait for itself.
    doubtful = {str(entry.ref) for entry in base.entries.values() if entry.path in wrong}
    unsure = _unsure(wrong, base, broken) | {path for path, names in asked.items() if names & doubtful}
    left = []
    held_back = set(waiting)
    gaps = False
    for problem in problems:
        rule = BY_NAME[problem.rule]
        if rule.of_all and (broken or unsure):
            gaps = True
        elif rule.family.follows_names and problem.place.path in unsure:
            held_back.add(problem.place.path)
        else:
            left.append(problem)
    return Told(tuple(left), tuple(_not_run(len(held_back), gaps=gaps)))


def _unsure(unsure: set[str], base: KnowledgeBase, broken: frozenset[Ref]) -> set[str]:
    """Paths of the entries that name something wrong, which are given, or broken."""
    if not unsure and not broken:
        return unsure
    naming = {source for target in broken for source in base.backlinks.get(target, ())}
    naming |= {entry.ref for entry, page in base.of(Procedure) if broken and _names_one(page, broken)}
    # A procedure reads its plant's circuits as a whole: what is between two points, behind which cover,
    # and what is dead without which source.
    doubtful = {
        circuit.equipment
        for entry, circuit in base.of(Circuit)
        if entry.ref in naming or entry.path in unsure
    }
    naming |= {entry.ref for entry, procedure in base.of(Procedure) if doubtful & set(procedure.equipment)}
    return unsure | {base.entries[ref].path for ref in naming}


def _names_one(page: Procedure, broken: frozenset[Ref]) -> bool:
    """Whether a step names a broken entry where a device, a memory or a part of the plant may stand."""
    ids = {ref.id for ref in broken}
    actions = [step.action for step in page.steps if step.action is not None]
    return any(
        ids.intersection([value] if isinstance(value, str) else value or ())
        for action in actions
        for key, takes in row(action).takes.items()
        if takes.names in (Names.TRIPPED, Names.PART)
        for value in [getattr(action, key if hasattr(action, key) else f"{key}_")]
    )


def _not_run(entries: int, *, gaps: bool) -> Iterator[str]:
    if entries:
        what = "1 entry that names" if entries == 1 else f"{entries} entries that name"
        yield f"rules about {what} something wrong or broken (mend that first)"
    if gaps:
        yield "what no entry does (some are broken or name something wrong)"
