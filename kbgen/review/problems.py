"""Problems that a change brings and problems that it mends."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from kbgen.problems import Severity
from kbgen.ref import FOLDERS, Kind, Ref
from kbgen.report import Located
from kbgen.review import change as c
from kbgen.review.about import About
from kbgen.review.change import Change, Place, Weight

_NUMBERED = re.compile(r"\b(step|line|lines|steps) \d+(?: to \d+)?")
_KINDS = {folder: kind for kind, folder in FOLDERS.items()}


TOLD_ELSEWHERE: Mapping[str, str] = {
    "changed-since-signed": "told once, among the signatures that the change breaks",
    "figures-changed": "told once, among the signatures that the change breaks",
}
"""Rules whose problems are not told one by one, and where they are told."""


def differences(
    before: Sequence[Located],
    after: Sequence[Located],
    safety: frozenset[str],
    called: Mapping[str, str],
    unread: tuple[frozenset[Ref], frozenset[Ref]] = (frozenset(), frozenset()),
) -> Iterator[Change]:
    """Yield the problems that are new and those that are gone.

    Args:
        safety: The rules that protect somebody's life.
        called: Paths of files that were renamed: the one now, and the one it was.
        unread: The entries that cannot be read in the version before, and in that after: where nothing was judged,
            nothing is mended, and nothing is known to be new.
    """
    one, other = _by_what(before), _by_what(after)
    for key, found in one.items():
        for problem in found[len(other.get(key, ())) :]:
            if entry_of(problem.path) in unread[1]:
                continue
            weight = Weight.SAFER if problem.rule in safety else Weight.WORDS
            place = Place(called.get(problem.path, problem.path), problem.line, problem.column)
            yield _told(problem, weight, c.Kind.REMOVED, place, None)
    for key, found in other.items():
        for problem in found[len(one.get(key, ())) :]:
            place = Place(problem.path, problem.line, problem.column)
            weight = weigh(problem, safety)
            if entry_of(problem.path) in unread[0] and weight is Weight.LESS_SAFE:
                weight = Weight.UNDECIDED
            yield _told(problem, weight, c.Kind.ADDED, None, place)


def weigh(problem: Located, safety: frozenset[str]) -> Weight:
    """Weigh a problem that is new."""
    if problem.rule.startswith("private-"):
        return Weight.PRIVATE
    if problem.rule in safety:
        return Weight.LESS_SAFE
    return Weight.UNDECIDED if problem.severity is Severity.ERROR else Weight.WORDS


def lasting(before: Sequence[Located], after: Sequence[Located]) -> int:
    """Return how many problems were there before and still are."""
    one, other = _by_what(before), _by_what(after)
    return sum(min(len(found), len(other.get(key, ()))) for key, found in one.items())


def _by_what(found: Sequence[Located]) -> Mapping[tuple[str, str, str], list[Located]]:
    groups: dict[tuple[str, str, str], list[Located]] = defaultdict(list)
    for each in (problem for problem in found if problem.rule not in TOLD_ELSEWHERE):
        groups[each.rule, each.path, without_way(each.message)].append(each)
    return groups


def without_way(message: str) -> str:
    """Return a message without the way to where it is so, and without numbers: a step further down is the same problem.

    >>> without_way("step 3 → No → step 9: jumper-1 is still in")
    'jumper-1 is still in'
    """
    before, arrow, last = message.rpartition(" → ")
    if arrow:
        # What a routine writes is quoted before the way, and says more than the way does.
        told = before.partition(": ")[0] if before.startswith("`") else ""
        message = (f"{told}: " if told else "") + last.partition(": ")[2]
    message = re.sub(r"^(\S+: )?step \d+: ", r"\1", message)
    return _NUMBERED.sub(r"a \1", message)


def _told(
    problem: Located, weight: Weight, kind: c.Kind, before: Place | None, after: Place | None
) -> Change:
    how = "New" if kind is c.Kind.ADDED else "Mended"
    text = without_way(problem.message)
    said, ref = c.sentence(f"{how}: {text}"), entry_of(problem.path)
    return Change(weight, kind, ref, said, before, after, rule=problem.rule, about=About.RULES)


def entry_of(path: str) -> Ref | None:
    """Return the entry of a file; ``None`` for the settings and for what is none."""
    folder, _, name = path.partition("/")
    kind: Kind | None = _KINDS.get(folder)
    return Ref(kind, name.rpartition(".")[0]) if kind and name else None
