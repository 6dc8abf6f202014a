"""What the page of a circuit shows that is worked out and not typed: drawing, order, readings, helper."""

from __future__ import annotations

from kbgen.compute.circuit.inference import CAUTION
from kbgen.compute.circuit.state import State
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.equipment import Variant as PlantVariant
from kbgen.text import read
from kbgen.views.blocks import Block, Drawing, Facts, Folded, Helper, Items, Notice, Section, Signal
from kbgen.views.circuit_helper import helper_data
from kbgen.views.circuit_order import SHORT, look_lines, numbered_tests, order_blocks
from kbgen.views.circuit_readings import reading_blocks
from kbgen.views.compose import fact, facts, section, sections
from kbgen.views.ladder import ladder, legend
from kbgen.views.study import Key, Study

LIVE_WORK = Notice(
    signal=Signal.WARNING,
    title="Live control circuit",
    hazard="The points are read live.",
    consequence="A shock or an arc can kill, and the burner may start by itself.",
    avoid=read(CAUTION),
)
"""Stands before every order and every verdict."""


def computed_sections(study: Study, entry: Entry) -> tuple[Section, ...]:
    """Return the worked-out sections of a circuit's page; none where the plant is not there."""
    circuit_id = entry.ref.id
    if not study.knows(circuit_id):
        return ()
    base = study.base
    kinds = size_groups(study, circuit_id)
    drawings: list[Block | None] = []
    orders: list[Block | None] = [LIVE_WORK]
    whole: list[Facts | Items] = []
    looks: list[Block | None] = []
    tables: list[Block | None] = []
    for sizes, state in kinds:
        studied = study.of(circuit_id, state)
        fits = facts(fact("Fits", ", ".join(sizes))) if len(kinds) > 1 else None
        drawings.append(_drawing(base, circuit_id, state, sizes if len(kinds) > 1 else ()))
        looks += [fits, look_lines(base, studied.order)]
        orders += [fits, *order_blocks(base, studied.order)]
        tables += [fits, *reading_blocks(base, studied.probing)]
        every = numbered_tests(base, studied.order)
        if every is not None and len(every.items) > SHORT:
            whole += [block for block in (fits, every) if block is not None]
    folded = _folded(whole)
    return sections(
        section("look", "Look first, no meter", *looks),
        Section(
            "judge",
            "What do you read?",
            (LIVE_WORK, Helper(circuit_id, helper_data(study, circuit_id))),
            True,
        ),
        section("order", "Test in this order", *orders),
        Section("whole-order", "The whole order", (folded,), web_only=True) if folded else None,
        section("ladder", "Drawing", *drawings),
        section("readings", "What the points read", *tables),
    )


def size_groups(study: Study, circuit_id: str) -> tuple[tuple[tuple[str, ...], State], ...]:
    """Return the sizes whose circuit is the same, under their titles, with a state that stands for them."""
    circuit = study.base.circuit(circuit_id)
    plant = study.base.equipment(circuit.equipment) if circuit else None
    found: dict[Key, tuple[list[str], State]] = {}
    for size in plant.sizes if plant else ():
        state = State(size=size.id)
        found.setdefault(study.key(circuit_id, state), ([], state))[0].append(size.title)
    return tuple((tuple(titles), state) for titles, state in found.values()) or (((), State()),)


def _drawing(base: KnowledgeBase, circuit_id: str, state: State, sizes: tuple[str, ...]) -> Drawing:
    drawn = ladder(base, circuit_id, state)
    signs = "; ".join(legend(base, circuit_id, state))
    options = [part.title for part in _options(base, circuit_id)]
    said = [
        ", ".join(sizes),
        f"drawn without {', '.join(options)}" if options else "",
        f"contacts as they stand when all is made; {signs}" if signs else "",
    ]
    caption = "; ".join(filter(None, said))
    return Drawing(drawn.svg, drawn.alt, f"{caption[:1].upper()}{caption[1:]}.")


def _options(base: KnowledgeBase, circuit_id: str) -> tuple[PlantVariant, ...]:
    circuit = base.circuit(circuit_id)
    plant = base.equipment(circuit.equipment) if circuit else None
    return plant.options if plant else ()


def _folded(blocks: list[Facts | Items]) -> Folded | None:
    return Folded("Every test and what follows it", tuple(blocks)) if blocks else None
