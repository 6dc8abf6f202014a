"""Ranking: whole numbers only, so that Python and JavaScript agree to the last bit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from kbgen.ref import Kind

from .compounds import runs
from .danger import STOP
from .expand import Option
from .index import Postings
from .nearest import absent_of, nearest, page_of, shows_instead
from .normalise import atoms, key
from .plant import named
from .reading import Reader
from .results import Hit, Results
from .stem import stem
from .understood import Edge, Reading

GAINS = (0, 1, 2, 3, 6, 11, 15, 18, 22)
"""What an impact counts: being what an entry is about is worth about ten passing mentions, because a whole
sentence finds many of its everyday words in passing somewhere."""

PRIORS = {
    Kind.SYMPTOM: 17,
    Kind.PLANT: 8,
    Kind.FIELD_NOTE: 13,
    Kind.TERM: 15,
    Kind.CAUTION: 15,
    Kind.PROCEDURE: 14,
}
"""Sixteenths: of equal matches the symptom is wanted first and one job's note last; a long procedure has
many words in passing."""

_ASKED_FOR = 24
"""The prior of what a query asks for: a device when it asks to jump one, a procedure when it asks how
something is done, a caution when it speaks of danger, a symptom when what runs does not stop."""

_LOOKED_AT = 24
"""So many of the best are looked at again, for their titles."""

_WITHIN, _ON_TOP, _NORMAL = 1_000_000, 2_000_000, 500_000
"""A display of normal running says first that it is one."""


@dataclass(frozen=True)
class SearchIndex(Postings):
    """An index that answers."""

    def query(
        self,
        text: str,
        kind: Kind | None = None,
        equipment: str | None = None,
        limit: int = 20,
        *,
        sure: bool = False,
    ) -> Results:
        """Rank the entries for whatever was typed; nothing in it is an operator.

        Args:
            text: The query.
            kind: Only entries of this kind.
            equipment: Only entries of this equipment id, and those of no equipment, such as terms. Another that
                the query names goes before it.
            limit: Most results.
            sure: The equipment holds, or that there is none, whatever the query names.
        """
        query = atoms(text)
        plant, naming = named(query, self.names, self.language)
        if sure and plant != equipment:
            plant, naming = None, set()
        told = {at for at, atom in enumerate(query) if atom.text not in self.language.faint}
        reading = self._reader.read(query, frozenset() if told <= naming else frozenset(naming))
        remembered, equipment = (None, plant) if plant else (equipment, equipment)
        best = _best_ways(self, reading)
        danger = self.danger.kind([atom.text for atom in query])
        scores = _scores(self, reading, best[-1], danger=danger)
        absent = absent_of(self, reading, equipment)
        page = page_of(self, equipment) if absent else None
        if page is not None:
            scores[page] = 1 + max((scores[at] for at in scores if self._about(at, equipment)), default=0)
        ranked = sorted(scores, key=lambda entry: (-scores[entry], entry))
        of_kind = [at for at in ranked if kind is None or self.entries[at].kind == kind]
        of_equipment = [at for at in ranked if self._about(at, equipment)]
        wanted = [at for at in of_kind if self._about(at, equipment)]
        answers = _answering(scores, wanted)
        best_here = scores[wanted[0]] if wanted else 0
        better = Counter(
            name
            for at in of_kind
            if remembered and scores[at] > best_here
            for name in self.entries[at].equipment
        )
        own = {name: None for at in of_kind for name in self.entries[at].equipment}
        plants = {name: _answering(scores, [at for at in of_kind if self._about(at, name)]) for name in own}
        kinds = {
            each: _answering(scores, [at for at in of_equipment if self.entries[at].kind == each])
            for each in {self.entries[at].kind: None for at in of_equipment}
        }
        first = wanted[: max(limit, _LOOKED_AT)]
        for at in first:
            scores[at] += _title(self, reading, at, scores[at] % _WITHIN)
        if page in first:
            scores[page] = 1 + max(scores[at] for at in first)
        first.sort(key=lambda entry: -scores[entry])
        return Results(
            results=tuple(
                Hit(
                    e.kind,
                    e.id,
                    e.title,
                    scores[at],
                    "; ".join(_why(self, reading, best, at)),
                    shows_instead(self, e.id, absent) if at == page else self._normal(reading, at) or e.note,
                )
                for at in first[:limit]
                for e in (self.entries[at],)
            ),
            answers=answers,
            plant=equipment,
            better=dict(better),
            absent=absent,
            did_you_mean=reading.suggestion,
            danger=danger,
            not_understood=tuple(reading.unknown),
            nearest=nearest(atoms(absent[0]) if absent else query, self.displays, equipment)
            if absent or not wanted
            else (),
            kinds=kinds,
            equipment=plants,
        )

    def _normal(self, reading: Reading, at: int) -> str:
        """Return what a display of normal running means, when the entry is its plant and it was typed."""
        entry = self.entries[at]
        if entry.kind is not Kind.EQUIPMENT:
            return ""
        said = reading.displays | reading.codes
        return " ".join(
            f"{display.shows}: {display.normal}."
            for display in self.displays
            if display.normal
            and display.equipment == entry.id
            and not said.isdisjoint(runs(atoms(display.shows), self.language))
        )

    def _about(self, at: int, equipment: str | None) -> bool:
        """Say whether an entry is about a plant: its own, or of no plant and so of every one."""
        own = self.entries[at].equipment
        return equipment is None or not own or equipment in own

    @cached_property
    def _reader(self) -> Reader:
        return Reader(self)


def _answering(scores: Mapping[int, int], ranked: Sequence[int]) -> int:
    """Return how many of the ranked entries answer: with at least two fifths of the best score."""
    return sum(scores[at] * 5 >= scores[ranked[0]] * 2 for at in ranked)


def _best_ways(index: Postings, reading: Reading) -> list[dict[int, int]]:
    """Return for each atom boundary the best score of each entry up to there."""
    best: list[dict[int, int]] = [{}]
    for end in range(1, len(reading.words) + 1):
        here = dict(best[-1])
        for edge in reading.edges:
            if edge.end != end:
                continue
            before = best[edge.start]
            for option in edge.options:
                for entry, gain in _matches(index, option):
                    score = before.get(entry, 0) + (edge.weight * gain * option.factor >> 4)
                    if score > here.get(entry, 0):
                        here[entry] = score
        best.append(here)
    return best


def _matches(index: Postings, option: Option) -> Iterator[tuple[int, int]]:
    """Yield the entries that have all terms of an option, with the least of their gains."""
    first, *others = option.terms
    rest = [dict(index.postings[term]) for term in others]
    for entry, level in index.postings[first]:
        levels = [level, *(row.get(entry, 0) for row in rest)]
        if min(levels):
            yield entry, GAINS[min(levels)]


def _scores(
    index: Postings, reading: Reading, found: dict[int, int], *, danger: str | None
) -> dict[int, int]:
    priors = dict(PRIORS)
    asks = {
        Kind.DEVICE: reading.jumps,
        Kind.PROCEDURE: reading.how,
        Kind.TERM: reading.what,
        Kind.CAUTION: reading.found_jumper or reading.jumps or danger not in (None, STOP),
        Kind.SYMPTOM: danger == STOP,
    }
    priors |= {kind: _ASKED_FOR for kind, asked in asks.items() if asked}
    scores = {entry: score * priors.get(index.entries[entry].kind, 16) >> 4 for entry, score in found.items()}
    for terms, bonus in ((reading.codes, _WITHIN), (reading.displays, _ON_TOP)):
        for entry in {entry for term in terms for entry in index.showing(term)}:
            first = _NORMAL if index.entries[entry].kind is Kind.EQUIPMENT else 0
            scores[entry] = scores.get(entry, 0) + bonus + first
    return {entry: score for entry, score in scores.items() if score > 0}


def _title(index: Postings, reading: Reading, at: int, score: int) -> int:
    """Return what is added for a title: of a device to be jumped, of what was named or is shown, or saying all."""
    entry = index.entries[at]
    title = atoms(entry.title)
    named = {stem(atom.text, index.language) for atom in title}
    if reading.jumps and entry.kind is Kind.DEVICE and named <= reading.told:
        return score
    joined = key(entry.title)
    shown = reading.displays | reading.codes
    if joined in reading.meant:
        return score - (score >> 2)
    if shown and not shown.isdisjoint(runs(title, index.language)):
        return score >> 2
    told = [form for form in reading.told if len(form) > 2]
    return score >> 2 if len(told) > 1 and all(form in joined for form in told) else 0


def _why(index: Postings, reading: Reading, best: list[dict[int, int]], entry: int) -> list[str]:
    """Walk an entry's best way back and name the steps that were not the typed words."""
    reasons: list[str] = []
    end = len(reading.words)
    while end:
        score = best[end].get(entry, 0)
        if score == best[end - 1].get(entry, 0):
            end -= 1
            continue
        edge, option = _step(index, [e for e in reading.edges if e.end == end], best, entry, score)
        if option.why and option.why not in reasons:
            reasons.insert(0, option.why)
        end = edge.start
    return reasons


def _step(
    index: Postings, edges: list[Edge], best: list[dict[int, int]], entry: int, score: int
) -> tuple[Edge, Option]:
    """Return the first of the edges, and its option, that gives an entry this score."""
    for edge in edges:
        before = best[edge.start].get(entry, 0)
        for option in edge.options:
            for found, gain in _matches(index, option):
                if found == entry and before + (edge.weight * gain * option.factor >> 4) == score:
                    return edge, option
    raise AssertionError("a score has no way that leads to it")
