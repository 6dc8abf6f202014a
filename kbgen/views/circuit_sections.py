"""What the page of a circuit shows that is worked out and not typed: drawing, order, readings, helper."""

from __future__ import annotations

from functools import partial

from kbgen.compute.circuit.sayings import CAUTION
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.text import read
from kbgen.views.blocks import Block, Drawing, Folded, Helper, Notice, Signal
from kbgen.views.circuit_helper import helper_data
from kbgen.views.circuit_order import SHORT, look_lines, numbered_tests, order_blocks
from kbgen.views.circuit_readings import reading_blocks
from kbgen.views.compose import section, sections
from kbgen.views.fitting import only
from kbgen.views.kinds import kinds_of
from kbgen.views.ladder import ladder, legend
from kbgen.views.page import Section

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
    drawings: list[Block] = []
    orders: list[Block] = [LIVE_WORK]
    whole: list[Block] = []
    looks: list[Block] = []
    tables: list[Block] = []
    for fits, state in kinds_of(study, circuit_id):
        studied = study.of(circuit_id, state)
        drawings += only(fits, _drawing(base, circuit_id, state))
        looks += only(fits, look_lines(base, studied.order))
        orders += only(fits, *order_blocks(base, studied.order))
        tables += only(fits, *reading_blocks(base, studied.probing))
        every = numbered_tests(base, studied.order)
        if every is not None and len(every.items) > SHORT:
            whole += only(fits, Folded("Every test and what follows it", (every,)))
    return sections(
        section("look", "Look first, no meter", *looks),
        Section(
            "judge",
            "What do you read?",
            (LIVE_WORK, Helper(circuit_id, partial(helper_data, study, circuit_id))),
            True,
        ),
        section("order", "Test in this order", *orders),
        Section("whole-order", "The whole order", tuple(whole), web_only=True) if whole else None,
        section("ladder", "Drawing", *drawings),
        section("readings", "What the points read", *tables),
    )


def _drawing(base: KnowledgeBase, circuit_id: str, state: State) -> Drawing:
    drawn = ladder(base, circuit_id, state)
    signs = "; ".join(legend(base, circuit_id, state))
    caption = f"Contacts as they stand when all is made{f'; {signs}' if signs else ''}."
    return Drawing(drawn.svg, drawn.alt, caption)
