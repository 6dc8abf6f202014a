"""What is remembered of a step is what the rules would say again."""

from __future__ import annotations

import random

import pytest

from kbgen.compute.walk import state as s
from kbgen.compute.walk.explore import explore
from kbgen.compute.walk.graph import make_graph
from kbgen.compute.walk.judge import judge
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import Fact, Noted, State
from kbgen.model.procedure import Procedure
from kbgen.pipeline import Compiled


@pytest.mark.parametrize("page", ["sb-make-safe", "td-make-safe", "ph-leak-check", "mah-find-open-contact"])
def test_a_page_is_judged_as_without_memory(page: str, demonstration: Compiled) -> None:
    base = demonstration.base
    procedure = base.procedure(page)
    assert isinstance(procedure, Procedure)
    plant = Plant(base, procedure, page)
    reached = explore(plant, make_graph(procedure, page)).states
    every = sorted({fact for states in reached for each in states for fact in s.at_most(each)})
    draw = random.Random(page)
    told = 0
    for index, states in enumerate(reached):
        drawn = [frozenset(draw.sample(every, len(every) // 2)) for _ in range(8)]
        for each in (*(s.at_most(state) for state in states[:20]), *drawn):
            anew = list(judge(plant, Noted(each, set()), index))
            assert list(judge(plant, each, index)) == anew
            told += len(anew)
    assert told, "nothing was ever found, so that nothing was compared"


@pytest.mark.parametrize(
    "ask",
    [
        len,
        sorted,
        hash,
        bool,
        lambda state: [*state],
        lambda state: state & s.NOTHING,
        lambda state: s.NOTHING & state,
        lambda state: s.NOTHING - state,
        lambda state: state == s.NOTHING,
        lambda state: s.NOTHING.__eq__(state) or state != s.NOTHING,
        lambda state: state <= s.NOTHING,
        lambda state: state >= s.NOTHING,
        lambda state: state < s.NOTHING,
        lambda state: state > s.NOTHING,
        lambda state: state.isdisjoint({("off", "control")}),
        lambda state: state.issubset({("off", "control")}),
        lambda state: state.issuperset({("off", "control")}),
        lambda state: state.union({("off", "control")}),
        lambda state: state.intersection({("off", "control")}),
        lambda state: state.difference({("off", "control")}),
        lambda state: state ^ s.NOTHING,
        lambda state: state.copy(),
        lambda state: s.NOTHING | state,
    ],
)
def test_whatever_else_a_state_is_asked_counts_as_all_of_it(ask: object) -> None:
    seen: set[Fact] = set()
    state: State = Noted(frozenset({(s.OFF, "control")}), seen)
    ask(state)  # type: ignore[operator]
    assert s.ANYTHING in seen
