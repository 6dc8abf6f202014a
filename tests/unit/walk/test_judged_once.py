"""What is remembered of a step is what the rules would say again."""

from __future__ import annotations

import random

import pytest

from kbgen.compute.walk import state as s
from kbgen.compute.walk.effects import after, becomes
from kbgen.compute.walk.explore import explore
from kbgen.compute.walk.graph import make_graph
from kbgen.compute.walk.judge import judge
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import Fact, Noted, State
from kbgen.compute.walk.trace import conditions
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


@pytest.mark.parametrize("page", ["sb-make-safe", "td-make-safe", "ph-leak-check", "mah-find-open-contact"])
def test_a_step_is_taken_as_without_memory(page: str, demonstration: Compiled) -> None:
    base = demonstration.base
    procedure = base.procedure(page)
    assert isinstance(procedure, Procedure)
    plant = Plant(base, procedure, page)
    graph = make_graph(procedure, page)
    reached = explore(plant, graph).states
    every = sorted({fact for states in reached for each in states for fact in s.at_most(each)})
    draw = random.Random(page)
    changed = 0
    for index, states in enumerate(reached):
        drawn = [frozenset(draw.sample(every, len(every) // 2)) for _ in range(8)]
        for edge in graph.edges[index]:
            answer = None if edge.answer is None else plant.answers[index][edge.answer]
            for each in (*(s.at_most(state) for state in states[:20]), *drawn):
                anew = after(plant, each, index, answer)
                number = becomes(plant, plant.bits.of(each), index, edge.answer)
                assert plant.bits.state(number) == anew
                changed += anew != each
    assert changed, "no step changed anything, so that nothing was compared"


@pytest.mark.parametrize("page", ["sb-make-safe", "td-return-to-service", "mah-find-open-contact"])
def test_what_a_page_says_of_its_states_is_what_each_of_them_says(page: str, demonstration: Compiled) -> None:
    base = demonstration.base
    procedure = base.procedure(page)
    assert isinstance(procedure, Procedure)
    plant = Plant(base, procedure, page)
    for states in explore(plant, make_graph(procedure, page)).states:
        said = {each.what: each.sure for each in conditions(plant, states)}
        for what, so in {
            "fuel shut": [plant.burns and plant.fuel_shut(each) for each in states],
            "control circuit live": [bool(plant.control) and not plant.off(each) for each in states],
            "running": [(s.RUNNING, "") in each for each in states],
            "gas train not proved tight": [
                s.has(each, s.UNTESTED) or s.has(each, s.LEAK_DUE) for each in states
            ],
        }.items():
            assert said.get(what) == (all(so) if any(so) else None), what
        assert states.most(s.LOCKED) == max((len(s.names(each, s.LOCKED)) for each in states), default=0)


@pytest.mark.parametrize(
    "change",
    [
        lambda state: state | {(s.SHUT, "cock")},
        lambda state: state | {(s.OFF, "control")},
        lambda state: state - {(s.SHUT, "cock")},
        lambda state: state - {(s.OFF, "control")},
        lambda state: s.without(state, s.SHUT),
        lambda state: s.never(state, s.SHUT, "cock"),
        lambda state: s.never(state, s.OFF, "control"),
    ],
)
def test_a_kind_that_is_put_in_or_taken_out_is_noted_also_where_nothing_changes(change: object) -> None:
    seen: set[Fact] = set()
    plain: State = frozenset({(s.OFF, "control")})
    state = change(s.Changing(plain, seen))  # type: ignore[operator]
    assert state.plain == change(plain)  # type: ignore[operator]
    assert len(seen) == 1
    assert s.ANYTHING not in seen


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
