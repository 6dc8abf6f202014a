"""A factory link is right only on plant without the part in whose place it lies."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from kbgen.compute.walk.hazard import ALTERATIONS
from kbgen.link.base import KnowledgeBase
from kbgen.model.answers import question
from kbgen.model.circuit import Circuit, parts
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.rules.material import Check, Material

_WORDS = re.compile(r"[^\W_]+")
_SHORT = 3

LINK_ON_SOME_PLANT = ALTERATIONS.hazard(
    "link-on-some-plant",
    "Where the part is fitted the link bridges it, and the page calls it right.",
    "ask: Does the red link sit firmly?\noutcomes:\n  - {when: 'Yes', go: start}",
    "ask: Is there no room fan, and does the red link sit firmly?\noutcomes:\n  - {when: 'Yes', go: start}",
    rests_on="`link` and `option` of the circuit's contacts, and the questions of the page; what they ask is their author's word.",
)


class _Link(NamedTuple):
    """A factory link of a plant: the words that name it, its text, and the part in whose place it lies."""

    words: tuple[str, ...]
    text: str
    part: str


def _links(base: KnowledgeBase, plant_id: str) -> Iterator[_Link]:
    plant = base.equipment(plant_id)
    titles = {option.id: option.title for option in plant.options} if plant else {}
    for _, circuit in base.of(Circuit, plant=plant_id):
        for part in parts(circuit.path):
            if part.link and part.option in titles:
                yield _Link(_name(part.link), part.link, titles[part.option])


def _name(text: str) -> tuple[str, ...]:
    """Return the words of a link's name: "Red link from J8 to J9" names it before the word before its first mark."""
    words = _told(text)
    mark = next((at for at, word in enumerate(words) if any(sign.isdigit() for sign in word)), len(words) + 1)
    return words[: max(1, mark - 1)]


def _told(text: str) -> tuple[str, ...]:
    return tuple(_WORDS.findall(text.lower()))


def _asked(material: Material) -> Iterator[Problem]:
    base = material.base
    for entry, procedure in material.pages():
        links = [link for plant_id in procedure.equipment for link in _links(base, plant_id)]
        if not links:
            continue
        graph = material.graph(entry, procedure)
        asked = [_told(question(step)) for step in procedure.steps]
        for index, step in enumerate(procedure.steps):
            for link in links:
                if not _names(asked[index], link.words):
                    continue
                about = {word for word in _told(link.part) if len(word) >= _SHORT} - set(link.words)
                # One word alone may stand in any question: "the plant room".
                before = (
                    at for at, words in enumerate(asked) if len(about & set(words)) >= min(2, len(about))
                )
                if any(at == index or index in graph.after(at) for at in before):
                    continue
                yield LINK_ON_SOME_PLANT.at(
                    Spot(entry.path, (*step.route, "ask")),
                    f"`{link.text}` is right only where {link.part} is not fitted, and no question before asks whether it is",
                    "Ask first, or in the same question, whether that part is fitted; where it is, the link must be gone.",
                )


def _names(words: tuple[str, ...], name: tuple[str, ...]) -> bool:
    return any(words[at : at + len(name)] == name for at in range(len(words)))


PAGE_CHECKS: tuple[Check, ...] = (_asked,)
