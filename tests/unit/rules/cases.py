"""Rule cases: small good and bad knowledge bases in YAML, read the way a shop's files are."""

from __future__ import annotations

import copy
import json
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from kbgen.compose import compose
from kbgen.compute.circuit.study import Study
from kbgen.compute.figures import figures_of
from kbgen.compute.signing import stand
from kbgen.compute.walk import walk_all
from kbgen.link.base import KnowledgeBase
from kbgen.link.link import link
from kbgen.load import read
from kbgen.load.discover import File
from kbgen.load.document import Loaded
from kbgen.model.entry import Entry, make_entry
from kbgen.model.mark import Mark, content_mark
from kbgen.model.shop import HouseWord, Person, ShopSettings
from kbgen.model.verdicts import WORDS
from kbgen.position import Spot, show_route
from kbgen.problems import Problem
from kbgen.quantity import parse
from kbgen.ref import FOLDERS, Kind
from kbgen.rules.material import Material
from kbgen.rules.registry import accept, run
from kbgen.schemacheck import check
from kbgen.schemas import Schemas, load_schemas
from kbgen.store import Store

FOLDER = Path(__file__).parents[2] / "rule_cases"
PROCEDURE = "procedures/case"
_STOP = {"id": "stop", "do": "Leave at once.", "end": "evacuated"}
_STOP_IT = {
    "id": "stop-it",
    "do": "Turn the burner switch off.",
    "stop_demand": "Burner switch off",
    "go": "stop",
}
_STAY = {"id": "stay", "do": "Stay before it and call the electrician.", "hand_over": "Licensed electrician"}
_HEAD = {"title": "Case", "equipment": ["boiler"]}
_KINDS = {folder: kind for kind, folder in FOLDERS.items()}


@cache
def schemas() -> Schemas:
    """The schemas, read once."""
    return load_schemas()


@cache
def plant() -> Any:
    """The plant of all cases."""
    return yaml.load((FOLDER / "_plant.yaml").read_text(encoding="utf-8"), yaml.BaseLoader)


@dataclass(frozen=True)
class Case:
    """One rule with a knowledge base that keeps it and one that breaks it."""

    rule: str
    good: Any
    bad: Any
    at: tuple[str, ...]
    procedure: dict[str, Any]


def all_cases() -> list[Case]:
    """Every case on disk, by name."""
    return [_case(path) for path in sorted(FOLDER.glob("[a-z]*.yaml"))]


def _case(path: Path) -> Case:
    data = yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)
    return Case(data["rule"], data["good"], data["bad"], tuple(data["at"]), data.get("procedure", {}))


def _unused(steps: list[Any], number: int) -> str:
    """Return an id for a step that no step has."""
    taken = {step.get("id") for step in steps}
    return next(
        name for name in (f"{'again-' * times}step-{number}" for times in range(9)) if name not in taken
    )


def expand(steps: list[Any]) -> list[Any]:
    """Put the steps of snippets in the place of their names, and true ids in the place of `next` and `stop`.

    An answer that leads to `next` goes on with the step that follows. One that leads to `stop` leaves by a
    step at the end, which is right in any state; what is found live before an open cover nobody leaves.
    """
    found: list[Any] = []
    for step in steps:
        found += plant()["snippets"][step] if isinstance(step, str) else [step]
    found = [copy.deepcopy(step) for step in found]
    for index, step in enumerate(found):
        for way in (step, *step.get("outcomes", ())):
            for word in (*WORDS, "go"):
                if way.get(word) == "next":
                    way[word] = found[index + 1].setdefault("id", _unused(found, index + 2))
    # What did not trip does not stop the burner; somebody does before they leave.
    found = [
        step | {"not-tripped": "stop-it"} if step.get("not-tripped") == "stop" else step for step in found
    ]
    if any("fit" in step for step in found):
        found = [_in_danger(step) for step in found]
    elif any("open_cover" in step for step in found):
        found = [
            step | {word: "stay" for word in ("live", "still-there") if step.get(word) == "stop"}
            for step in found
        ]
        found += [_STAY] if any("stay" in step.values() for step in found) else []
    ways = [way for step in found for way in (step, *step.get("outcomes", ()))]
    if any("stop-it" in (way.get(word) for word in WORDS) for way in ways):
        found += [] if any(step.get("id") == "stop-it" for step in found) else [_STOP_IT]
    ways = [way for step in found for way in (step, *step.get("outcomes", ()))]
    if any("stop" in (way.get(word) for word in (*WORDS, "go")) for way in ways):
        found += [] if any(step.get("id") == "stop" for step in found) else [_STOP]
    return found


def _in_danger(step: dict[str, Any]) -> dict[str, Any]:
    """Say that a step's way to `stop` is taken in danger: only then may an alteration stay in."""
    for outcome in step.get("outcomes", ()):
        if "stop" in outcome.values():
            outcome["danger"] = "true"
    said = {word: step[word] for word in WORDS if word in step}
    if "stop" not in said.values():
        return step
    last = list(said)[-1]
    outcomes = [
        {"when": f"{word} or not sure" if word == last else word, word: to}
        | ({"danger": "true"} if to == "stop" else {})
        for word, to in said.items()
    ]
    return {key: value for key, value in step.items() if key not in said} | {
        "ask": "Is it?",
        "outcomes": outcomes,
    }


def entries_of(content: Any, procedure: dict[str, Any]) -> dict[str, Any]:
    """Return all entries of a knowledge base: the plant's, and the case's over them."""
    if isinstance(content, list):
        content = {PROCEDURE: {"steps": content}}
    merged = {}
    for name, entry in (plant()["entries"] | content).items():
        if entry == "none":
            continue
        merged[name] = entry
        if name.startswith("procedures/"):
            head = {**_HEAD, **procedure} if name == PROCEDURE else {}
            merged[name] = {**head, **entry, "steps": expand(entry["steps"])}
    return merged


def linked(entries: dict[str, Any]) -> tuple[KnowledgeBase, list[Problem]]:
    """Check, build and link entries; they must fit their schemas."""
    documents = []
    for name, data in sorted(entries.items()):
        folder, entry_id = name.split("/")
        file = File(f"{name}.yaml", _KINDS[folder], entry_id)
        # JSON is YAML: the loader reads it, and every scalar stays as the case has it.
        document, faults = read(file, json.dumps(data, ensure_ascii=False, indent=1).encode())
        assert not faults, faults
        documents.append(document)
    checked = check(Loaded(Path(), tuple(documents), (), ()), schemas())
    assert not checked.problems, checked.problems
    built = [
        make_entry(document.kind, document.id, document.path, document.data)
        for document in checked.documents
        if isinstance(document.kind, Kind)
    ]
    licences = ("gas", "electric", "boiler", "first-aid")
    shop = ShopSettings(
        shop="Test",
        key="test",
        people=(Person("MK", licences, parse("690 V", "voltage")),),
        house_words=(HouseWord("gadget", "device", ("gadget list",)),),
    )
    known = frozenset(entry.ref for entry in built)
    composed = compose(shop, built, known, Store())
    base, problems = link(shop, stand(shop, composed.entries, lambda _: ()), known, frozenset(), schemas())
    if any(map(_to_be_signed, base.entries.values())):
        marked = [_marked(base, entry) for entry in composed.entries]
        base, problems = link(shop, stand(shop, marked, lambda _: ()), known, frozenset(), schemas())
    return base, [*composed.problems, *problems]


RIGHT = Mark("0" * 12, "0" * 8, "0" * 8)
"""What a case writes for the mark of what its entry says: parts of it that are noughts are put in."""


def _to_be_signed(entry: Entry) -> bool:
    return any("0" * 8 in each.mark for each in entry.head.review)


def _marked(base: KnowledgeBase, entry: Entry) -> Entry:
    if not _to_be_signed(entry):
        return entry
    now = Mark(content_mark(entry.data), figures_of(Study(base), entry.ref), RIGHT.text)
    review = []
    for each in entry.head.review:
        parts = (
            new if old == nought else old
            for old, nought, new in zip(each.mark.split("-"), RIGHT, now, strict=True)
        )
        review.append(replace(each, mark="-".join(parts)))
    return replace(entry, record=replace(entry.record, head=replace(entry.record.head, review=tuple(review))))


def problems_of(content: Any, procedure: dict[str, Any] | None = None) -> list[Problem]:
    """Return everything the rules say about a case's knowledge base, links included."""
    base, problems = linked(entries_of(content, procedure or {}))
    problems += run(Material(base, walk_all(base), schemas()))
    return list(accept(base, problems).problems)


def place(problem: Problem) -> str:
    """Write a place the way the cases do; places in other entries carry their path."""
    assert isinstance(problem.place, Spot)
    route = show_route(problem.place.route)
    entry = problem.place.path.removesuffix(".yaml")
    return route if entry == PROCEDURE else f"{entry}: {route}"
