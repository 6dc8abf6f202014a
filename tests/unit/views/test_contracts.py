"""Where one page does another, both say what it needs, how it finds the plant and how it leaves it."""

from __future__ import annotations

from kbgen.pipeline import Compiled
from kbgen.ref import Kind, Ref
from kbgen.render.text import page_lines
from kbgen.views.contracts import callers_of, meets
from kbgen.views.procedure import procedure_page

SEASON, GAS = (Ref(Kind.PROCEDURE, name) for name in ("sb-season-start", "sb-prove-gas-switches"))
SAID = (
    "It needs that display, history and readings are written down. It starts with: locked off: Burner fan 480 V, "
    "three-phase · proved dead: Control supply 120 V · fuel shut. It ends with: fuel shut · control circuit live."
)


def lines(shop: Compiled, ref: Ref) -> list[str]:
    procedure = shop.base.procedure(ref.id)
    assert procedure is not None
    return list(page_lines(procedure_page(shop.base, shop.base.entries[ref], procedure, shop.walks)))


def test_both_pages_say_how_they_meet(demonstration: Compiled) -> None:
    (call,) = callers_of(demonstration.base, GAS)
    assert call.caller == SEASON
    assert meets(demonstration.base, call, GAS, demonstration.walks[SEASON]) == SAID
    (done,) = [line for line in lines(demonstration, SEASON) if "page: Prove low gas" in line]
    assert done.endswith(SAID)
    (within,) = [line for line in lines(demonstration, GAS) if "Part of: " in line]
    assert within.endswith(SAID)


def test_a_page_that_none_does_says_nothing_of_it(demonstration: Compiled) -> None:
    assert not [line for line in lines(demonstration, SEASON) if "Part of: " in line]


def test_who_leaves_it_the_same_says_so(demonstration: Compiled) -> None:
    water = Ref(Kind.PROCEDURE, "sb-prove-low-water")
    (call,) = callers_of(demonstration.base, water)
    assert meets(demonstration.base, call, water, demonstration.walks[SEASON]) == (
        "It needs that the plant is running. It starts with: control circuit live. It ends with the same."
    )
