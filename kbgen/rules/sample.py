"""Sample text that was never replaced: of `kbgen new`, of the starter shop, of an editor's completion."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from kbgen.load import load
from kbgen.model.entry import Entry
from kbgen.position import Route, Spot
from kbgen.problems import Problem
from kbgen.resources import folder
from kbgen.rules.coverage import COVERAGE
from kbgen.rules.material import EntryCheck, Material, as_typed
from kbgen.schemas.placeholder import PLACEHOLDER

_LEAST_WORDS = 4
"""Shorter samples, such as `Gauge glass`, are also what people write."""
_LEAST_COPIED = 3
"""Sentences like `Hang the tag` stand in many a shop's procedures; most of an entry does not."""

_SAID = (
    "this is the sample text of the start, and the entry is approved",
    "Write what is true of your plant, or delete the field.",
)

SAMPLE_TEXT = COVERAGE.error(
    "sample-text",
    "An example of another plant is published as this plant's truth.",
    "status: approved\nhazard: The string carries 120 V while you measure",
    "status: approved\nhazard: The heat circuit carries 230 V while the plug is in",
    rests_on="The texts that a new entry starts with, word for word.",
)


PLACEHOLDER_LEFT = COVERAGE.error(
    "placeholder-left",
    "What nobody has written yet is nobody's truth, on a draft's page too.",
    f"means: {PLACEHOLDER}",
    "means: Fibres worn off the linen.",
    rests_on="The word that a new entry has wherever a person must write.",
)


def spot_of(entry: Entry, route: Route, find: str = "") -> Spot:
    """Return where a text was typed; on a line of a page with routines, not on a step that it writes."""
    line = "written" in entry.data and route[:1] == ("steps",)
    return Spot(entry.path, ("written", *route[1:]) if line else route, find=find)


def _unwritten(material: Material, entry: Entry) -> Iterator[Problem]:
    for route, _, value in material.leaves(entry):
        if isinstance(value, str) and PLACEHOLDER in value:
            yield PLACEHOLDER_LEFT.at(
                spot_of(entry, route, find=PLACEHOLDER),
                "nobody has written this yet",
                "Write what is true of your plant, or delete the field.",
            )


def _sample(material: Material, entry: Entry) -> Iterator[Problem]:
    # Also before it is signed: what nobody wrote cannot be read.
    if entry.head.status != "approved":
        return
    if entry.ref.id.startswith("example-"):
        message = "an example of the starter shop is approved"
        yield SAMPLE_TEXT.at(
            Spot(entry.path, ("status",)), message, "Replace it by your own plant, or delete it."
        )
        return
    found = [
        (spot_of(entry, route), leaf, value)
        for route, leaf, value in material.leaves(entry)
        if isinstance(value, str) and _long_enough(value)
    ]
    copied = [spot for spot, _, value in found if value in _starter()]
    mostly = len(copied) >= _LEAST_COPIED and 2 * len(copied) > len(found)
    properties = material.schemas.of(entry.ref.kind)["properties"]
    for name, value in as_typed(entry).items():
        if (
            isinstance(value, list | dict)
            and len(value) > 2
            and value in properties.get(name, {}).get("examples", ())
        ):
            yield SAMPLE_TEXT.at(Spot(entry.path, (name,), on_key=True), *_SAID)
    for spot, leaf, value in found:
        if value in leaf.get("examples", ()) or (mostly and spot == copied[0]):
            yield SAMPLE_TEXT.at(spot, *_SAID)


@cache
def _starter() -> frozenset[str]:
    """Every sentence of the starter shop."""
    documents = load(folder("starter_shop")).documents
    return frozenset(text for document in documents for text in _texts(document.data) if _long_enough(text))


def _texts(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict | list):
        for inner in data.values() if isinstance(data, dict) else data:
            yield from _texts(inner)


def _long_enough(text: str) -> bool:
    return len(text.split()) >= _LEAST_WORDS and any(len(word) > 3 for word in text.split())


ENTRY_CHECKS: tuple[EntryCheck, ...] = (_unwritten, _sample)
