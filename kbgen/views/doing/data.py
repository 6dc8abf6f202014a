"""Everything a tablet needs to lead through one page, as one JSON text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from kbgen.compute.cautions import place_cautions
from kbgen.compute.circuit.study import Study
from kbgen.compute.walk import Walk
from kbgen.compute.walk.nodes import Nodes, make_nodes
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Arrival
from kbgen.compute.walk.state import Fact
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.entry import Entry
from kbgen.model.head import State
from kbgen.model.people import WHO
from kbgen.model.procedure import Procedure
from kbgen.ref import Kind, Ref
from kbgen.views.compose import notice
from kbgen.views.doing.items import describe, in_order, key, shown
from kbgen.views.doing.practice import practice_data
from kbgen.views.doing.reach import beyond, reaches
from kbgen.views.doing.reading import highest, volts
from kbgen.views.doing.rows import packed
from kbgen.views.doing.step import clears, paragraphs, step_data
from kbgen.views.procedure_steps import by_number, step_anchors, steps_of

VERSION = 1
LOOK_FOR = "Tags, locks of others, wires across, leads and tubes that are off"
"""What whoever arrives looks for, as if nothing were known: no tablet knows what another one did."""


def can_be_done(procedure: Procedure, walk: Walk | None) -> bool:
    """Return whether a page may be done step by step: what may be led through, and safe in the walk."""
    return walk is not None and walk.complete and not walk.violations and may_be_led(procedure)


def may_be_led(procedure: Procedure) -> bool:
    """Return whether a page is signed as it is, and was walked at a plant where it follows from the plant's entry."""
    head = procedure.head
    return (
        not procedure.derived
        and not head.draft
        and head.standing.state is State.SIGNED
        and not (procedure.taken_over and head.walked is None)
    )


def doing_data(
    base: KnowledgeBase, entry: Entry, procedure: Procedure, walk: Walk, study: Study
) -> list[str]:
    """Return the data of a page as the files it is shipped in, the first of them its head; see `packed`.

    Fields:
        ``items``: key, what it is for (see ``items``), words; ``holds``: different sets of them, by index;
        ``nodes``: step, set, ways, steps that about remain; ``needs``: keys that must be so where it begins;
        ``brings``: of steps that end it, keys the next page may rely on; ``again``: by key, the step that proves it
        anew; ``practice``: whether there is a fault to practise it with; ``after``: the page to do first; ``following``: pages that go on; ``plant``: the family.
    """
    plant = Plant(base, procedure, entry.ref.id)
    nodes = _nodes(base, entry, walk.arrival, study)
    seen = [shown(place.holds) for place in nodes.places]
    named: dict[str, Fact] = {}
    for fact in sorted({fact for facts in seen for fact in facts}, key=in_order):
        named.setdefault(key(plant, fact), fact)
    items = {name: number for number, name in enumerate(named)}
    sets: dict[tuple[int, ...], int] = {}

    def number(facts: Iterable[Fact]) -> int:
        row = {items[key(plant, fact)] for fact in facts}
        return sets.setdefault(tuple(sorted(row)), len(sets))

    rows = [
        [place.step, number(facts), list(place.ways), left]
        for place, facts, left in zip(nodes.places, seen, nodes.left, strict=True)
    ]
    cautions, steps = _steps(base, procedure, walk, study)
    for step, listed_ in reaches(base, procedure, steps, nodes).items():
        steps[step] |= {"reach": listed_, "also": beyond(steps[step])}
    data = {
        "v": VERSION,
        "id": entry.ref.id,
        "title": entry.title,
        "plant": list(procedure.equipment),
        "needs": sorted(key(plant, fact) for fact in nodes.needs),
        "brings": {
            str(step): sorted(key(plant, fact) for fact in facts) for step, facts in nodes.brings.items()
        },
        "after": _page(base, procedure.after),
        "following": [
            _page(base, other.ref.id)
            for other, page in base.of(Procedure)
            if page.after == entry.ref.id and not page.derived and not page.head.draft
        ],
        "items": [[name, *describe(plant, fact)] for name, fact in named.items()],
        "holds": [list(row) for row in sets],
        "nodes": rows,
        "again": _again(plant, procedure),
        "first": cautions_of(cautions, base, procedure.cautions),
        "before": _before(procedure),
        "cautions": cautions,
        "steps": steps,
        "practice": int(bool(practice_data(study, base, entry.ref.id, procedure))),
    }
    return list(packed(data))


def _nodes(base: KnowledgeBase, entry: Entry, arrival: Arrival, study: Study) -> Nodes:
    """Return the nodes of a page; they hang on no title, and are found again where only words changed."""
    finds, brings = ([" ".join(fact) for fact in sorted(each)] for each in (arrival.finds, arrival.brings))

    def made() -> Nodes:
        # Asked for anew in here, so that what the nodes hang on is noted with them.
        procedure = entry.record
        if not isinstance(procedure, Procedure):
            raise TypeError(f"{entry.ref} is no procedure")
        return make_nodes(Plant(base, procedure, entry.ref.id), arrival)

    return study.remembered(("nodes", entry.ref.id, *finds, "brought", *brings), made)


def _page(base: KnowledgeBase, page: str) -> list[str]:
    return [page, base.title(Ref(Kind.PROCEDURE, page))] if page else []


def _steps(
    base: KnowledgeBase, procedure: Procedure, walk: Walk, study: Study
) -> tuple[list[list[Any]], list[dict[str, Any]]]:
    """Return the cautions of a page, and its steps; a step names its cautions by their index."""
    placed, anchors = place_cautions(base, procedure), step_anchors(procedure)
    blocks = steps_of(base, procedure, walk, by_number(procedure))
    cautions: list[list[Any]] = []
    steps = []
    for number, step in enumerate(procedure.steps):
        here = cautions_of(cautions, base, [each.ref.id for each in placed[number]])
        data = step_data(base, procedure, step, blocks[number])
        data["at"] = anchors[number]
        if here:
            data["cautions"] = here
        if taken := clears(step):
            data["clears"] = taken
        if limits := volts(study, base, procedure, step):
            data["volts"] = limits
        elif (most := highest(study, base, procedure, step.action)) is not None:
            data["over"] = most
        following = data.get("next")
        if following:
            data["next"] = _page(base, following)
        steps.append(data)
    return cautions, steps


def cautions_of(known: list[list[Any]], base: KnowledgeBase, names: Iterable[str]) -> list[int]:
    """Return the indices of cautions among those of the page; one that is new there is put behind the others."""
    found = []
    for name in names:
        message = notice(base, Ref(Kind.CAUTION, name))
        if message is None:
            continue
        row = [
            message.signal.value,
            message.title,
            message.hazard,
            message.consequence,
            list(paragraphs(message.avoid)),
        ]
        if row not in known:
            known.append(row)
        found.append(known.index(row))
    return found


def _before(procedure: Procedure) -> list[list[str]]:
    """Say who may do it, and with what."""
    rows = [
        ["Who", WHO[procedure.who]],
        ["Second person", "Must be there" if procedure.second_person else ""],
        ["Permission", procedure.permission],
        ["Meter", procedure.meter],
        ["Bring", "; ".join(procedure.tools)],
        ["Look for", LOOK_FOR],
    ]
    return [row for row in rows if row[1]]


def _again(plant: Plant, procedure: Procedure) -> dict[str, int]:
    """Return by key of a proof the step of the page that proves it anew."""
    found: dict[str, int] = {}
    for number, step in enumerate(procedure.steps):
        match step.action:
            case act.ProveDead(prove_dead=name) | act.ProveGone(prove_gone=name):
                found.setdefault(f"dead:{name}", number)
            case act.TryStart():
                for name in plant.sources:
                    found.setdefault(f"tried:{name}", number)
            case act.Measure(measure="pressure", point=point) | act.Watch(watch="pressure", point=point) if (
                point
            ):
                found.setdefault(f"zero:{plant.section(point)}", number)
    return found
