"""What a reviewer is told: one change in one sentence, and all of them together."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cached_property

from kbgen.ref import Ref
from kbgen.review.about import About


class Weight(StrEnum):
    """What a change means for whoever works by the page, in the order in which it is told."""

    LESS_SAFE = "less safe"
    PRIVATE = "private"
    UNDECIDED = "cannot be decided"
    SAFER = "safer"
    FIGURE = "figure"
    WORDS = "words"

    @property
    def touches_safety(self) -> bool:
        """Whether a signature given before says nothing of it."""
        return self not in (Weight.WORDS, Weight.PRIVATE)


class Kind(StrEnum):
    """What became of what the sentence is about."""

    ADDED = "added"
    CHANGED = "changed"
    REMOVED = "removed"
    RENAMED = "renamed"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where it stands in one of the two versions; lines and columns from 1."""

    path: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Change:
    """One change.

    Attributes:
        ref: The entry, by its new name; ``None`` for the settings of the shop.
        sentence: What is different, whole, without the entry's name and without a line or a step's number.
        before: Where it stood.
        after: Where it stands now.
        rule: The rule whose problem is new or gone; empty for all else.
        derived: Whether the entry's own file says what it said: another entry made the difference.
        quiet: Whether no signature hangs on it, such as an order that saves walking.
        about: What it is about; the more dangerous, the sooner it is told.
    """

    weight: Weight
    kind: Kind
    ref: Ref | None
    sentence: str
    before: Place | None = None
    after: Place | None = None
    rule: str = ""
    derived: bool = False
    quiet: bool = False
    about: About = About.FIELDS

    @property
    def entry(self) -> str:
        """The entry as ``kind:id``, or ``kb.yaml``."""
        return str(self.ref) if self.ref else "kb.yaml"

    @property
    def touches_safety(self) -> bool:
        """Whether a signature given before says nothing of it."""
        return self.weight.touches_safety and not self.quiet

    @property
    def fingerprint(self) -> str:
        """A hash of what it says: the same after a commit that changes other things, and on other lines."""
        return fingerprint(self.entry, self.sentence)


def fingerprint(*parts: str) -> str:
    """Return twelve signs that stand for some texts."""
    return hashlib.sha256("\n".join(parts).encode("utf-8", "surrogatepass")).hexdigest()[:12]


@dataclass(frozen=True, slots=True)
class Told:
    """One sentence, told once for all the entries it is true of."""

    changes: tuple[Change, ...]

    @property
    def first(self) -> Change:
        """The change that speaks for all."""
        return self.changes[0]

    @property
    def fingerprint(self) -> str:
        """Of one change its own; of several that of the sentence with all its entries."""
        if len(self.changes) == 1:
            return self.first.fingerprint
        return fingerprint(*sorted(each.entry for each in self.changes), self.first.sentence)


@dataclass(frozen=True, slots=True)
class Broken:
    """A signature that the change breaks: the entry, and by what (``content`` or ``figures``)."""

    ref: Ref
    by: str


@dataclass(frozen=True)
class Report:
    """Everything a reviewer must see.

    Attributes:
        base: What the change is held against, as typed.
        added: Entries by their new names; so ``changed`` and ``removed`` (by their old names).
        renamed: Old and new name.
        changes: Everything, in the order of weight.
        signatures: Those the change breaks.
        seen: Fingerprints that a reviewer has seen and approved.
        lasting: Problems of rules that were there before and are still there.
        remarks: What was said at the plant of a step and is not answered: the page, and a sentence.
        titles: What the entries are called.
        edition: Id and date of the edition as it is now.
    """

    base: str
    added: tuple[Ref, ...]
    changed: tuple[Ref, ...]
    removed: tuple[Ref, ...]
    renamed: tuple[tuple[Ref, Ref], ...]
    changes: tuple[Change, ...]
    signatures: tuple[Broken, ...] = ()
    seen: frozenset[str] = frozenset()
    lasting: int = 0
    remarks: tuple[tuple[Ref, str], ...] = ()
    titles: Mapping[Ref, str] = field(default_factory=dict)
    edition: tuple[str, str] = ("", "")

    def of(self, ref: Ref) -> tuple[Change, ...]:
        """Return what changed of an entry, through the data of its plant too."""
        return tuple(each for each in self.changes if each.ref == ref)

    @cached_property
    def told(self) -> tuple[Told, ...]:
        """Every sentence once, with all the entries it is true of."""
        groups: dict[tuple[object, ...], list[Change]] = {}
        for each in self.changes:
            kind = each.ref.kind if each.ref else None
            groups.setdefault((each.weight, each.rule, kind, each.sentence), []).append(each)
        return tuple(Told(tuple(group)) for group in groups.values())

    def unseen(self) -> tuple[Told, ...]:
        """Return what no reviewer has approved by its fingerprint."""
        return tuple(
            each
            for each in self.told
            if each.fingerprint not in self.seen
            and not all(change.fingerprint in self.seen for change in each.changes)
        )

    def unsigned(self) -> tuple[Change, ...]:
        """Return what touches safety under a signature that says nothing of it, and nobody has approved."""
        stale = {each.ref for each in self.signatures}
        return tuple(
            change
            for told in self.unseen()
            for change in told.changes
            if change.touches_safety
            and change.fingerprint not in self.seen
            and (change.ref is None or change.ref in stale)
        )

    def counts(self) -> str:
        """Count, e.g. ``2 less safe, 1 safer, 14 words``."""
        found = Counter(each.first.weight for each in self.unseen())
        names = {
            Weight.FIGURE: ("figure", "figures"),
            Weight.WORDS: ("word", "words"),
            Weight.UNDECIDED: ("that cannot be decided",) * 2,
        }
        said = []
        for weight in Weight:
            if found[weight]:
                one, more = names.get(weight, (weight.value, weight.value))
                said.append(f"{found[weight]} {one if found[weight] == 1 else more}")
        return ", ".join(said) or "nothing changed"


_BLANK = re.compile(r"\s+")


def sentence(text: str) -> str:
    """Return a text as one line that begins like a sentence and ends with a full stop."""
    line = _BLANK.sub(" ", text).strip()
    line = line[:1].upper() + line[1:]
    return line if line[-1:] in ".!?”" else f"{line}."


def in_order(changes: Iterable[Change]) -> tuple[Change, ...]:
    """Put changes in the order in which they are told; of two that say the same, one is kept."""
    once: dict[tuple[str, str], Change] = {}
    for each in changes:
        known = once.setdefault((each.entry, each.sentence), each)
        if list(Weight).index(each.weight) < list(Weight).index(known.weight):
            once[each.entry, each.sentence] = replace(each, before=each.before or known.before)
    weights, abouts = list(Weight), list(About)
    return tuple(
        sorted(
            once.values(),
            key=lambda each: (weights.index(each.weight), abouts.index(each.about), each.entry),
        )
    )


def listed(names: Sequence[str], most: int = 4) -> str:
    """Join names; of many only the first are said.

    >>> listed(["a", "b", "c"], 2)
    'a; b and 1 more'
    """
    unique = list(dict.fromkeys(names))
    more = len(unique) - most
    return "; ".join(unique[:most]) + (f" and {more} more" if more > 0 else "")
