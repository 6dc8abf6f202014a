"""Words of a region: a plant's own texts use the words of those who work there."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import remembered
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.term import RegionalWord, Term
from kbgen.model.wording import BRITISH_ISLES, BRITISH_TOO, NORTH_AMERICA, REGIONS, SPELT
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.ref import Kind
from kbgen.rules.language import LANGUAGE
from kbgen.rules.material import Check, Material
from kbgen.rules.sample import spot_of

WORD_OF_ANOTHER_REGION = LANGUAGE.warning(
    "word-of-another-region",
    "The technician looks for a disconnect, reads isolator, and stops to think in front of live parts.",
    "do: Switch the isolator off.  # region of the plant: north-america",
    "do: Switch the disconnect off.",
    rests_on="`region` of the equipment, `words` of the terms, and how words are spelt in each region.",
)
REGION_NOT_SAID = LANGUAGE.warning(
    "region-not-said",
    "The pages speak in words of nowhere, and nothing warns where they mix.",
    "title: Boiler  # terms have words of two regions",
    "title: Boiler\nregion: north-america",
    rests_on="`region` of the equipment, where a term has `words`.",
)


def _not_said(material: Material) -> Iterator[Problem]:
    if any(term.words for _, term in material.base.of(Term)):
        for entry, plant in material.base.of(Equipment):
            if not plant.region:
                yield REGION_NOT_SAID.at(
                    Spot(entry.path, ("title",)),
                    "nothing says in whose words the pages of this plant speak",
                    f"Add `region: {NORTH_AMERICA}` or `region: {BRITISH_ISLES}`.",
                )


AS_TYPED = frozenset({"aliases", "asked", "behaviours", "displays", "shows", "former_ids"})
"""What people type and panels show: it is searched, and nobody is asked to say it otherwise."""

Words = Mapping[str, str]
"""What is not said in a region, in lower case, and what is said there for it."""


def _words(material: Material) -> Iterator[Problem]:
    yield from material.of_each("words of another region", (_in,))


def _region(base: KnowledgeBase, entry: Entry) -> str:
    """Return the region of the plants an entry is about; empty where it is none, or several."""
    plants = (base.equipment(name) for name in entry.plants)
    regions = {plant.region for plant in plants if plant is not None}
    return regions.pop() if len(regions) == 1 else ""


def _foreign(base: KnowledgeBase, region: str) -> Words:
    return remembered(base, ("words of another region", region), lambda: _gathered(base, region))


def _gathered(base: KnowledgeBase, region: str) -> Words:
    american = region == NORTH_AMERICA
    spelt = (pair if american else pair[::-1] for pair in SPELT if american or pair[0] not in BRITISH_TOO)
    foreign = {theirs: ours for ours, theirs in spelt}
    for _, term in base.of(Term):
        own = next((each for each in term.words if each.region == region), None)
        if own is not None:
            ours = {word.lower() for word in _said(own)}
            others = (word.lower() for each in term.words if each is not own for word in _said(each))
            foreign |= {word: own.word for word in others if word not in ours}
    return foreign


def _said(word: RegionalWord) -> Iterable[str]:
    return (word.word, *word.also)


@cache
def _pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    longest = sorted(words, key=len, reverse=True)
    return re.compile(rf"(?<![-\w:/])({'|'.join(map(re.escape, longest))})(s?)(?![-\w])", re.IGNORECASE)


def _in(material: Material, entry: Entry) -> Iterator[Problem]:
    region = _region(material.base, entry)
    if not region or entry.ref.kind is Kind.TERM:
        return
    foreign = _foreign(material.base, region)
    pattern = _pattern(tuple(foreign))
    for route, leaf, text in material.leaves(entry):
        if not isinstance(text, str) or not is_said(leaf) or any(step in AS_TYPED for step in route):
            continue
        if found := pattern.search(text):
            say = foreign[found[1].lower()] + found[2]
            yield WORD_OF_ANOTHER_REGION.at(
                spot_of(entry, route, find=found[0]),
                f"`{found[0]}` is not said in {REGIONS[region]}, where this plant is",
                f"Write `{say}`, or list the word under `also` of its term.",
            )


def is_said(leaf: Mapping[str, object]) -> bool:
    """Whether a field is text for reading: no name, figure or day."""
    return leaf.get("x-text") != "code" and not any(
        word in leaf
        for word in ("enum", "pattern", "x-reference", "x-names", "x-quantity", "x-date", "x-every")
    )


CHECKS: tuple[Check, ...] = (_words, _not_said)
