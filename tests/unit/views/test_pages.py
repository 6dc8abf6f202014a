"""What stands on the pages of devices, symptoms, procedures and circuits, and in which order."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from kbgen.compute.circuit.order import order
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study
from kbgen.model.field_note import FieldNote
from kbgen.model.head import Head
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.pipeline import Compiled
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Block, Facts, Items, Line, Notice, Only, Steps, Table
from kbgen.views.circuit_helper import helper_data, offer
from kbgen.views.circuit_order import likeliest
from kbgen.views.compose import sentences
from kbgen.views.notes import found_bars
from kbgen.views.page import Page
from kbgen.views.procedure_steps import step_anchors
from tests.unit.shops import compiled

SHOP = {
    "equipment/plant.yaml": """\
        title: Plant
        sizes: [{id: small, title: Small}, {id: large, title: Large}]
        options: [{id: filter, title: Filter switch}]
        sources: [{id: mains, title: Mains, energy: electric, isolate: Q1}]
        places: [{id: panel, title: Panel}, {id: roof, title: Roof}]
        covers: [{id: door, title: Panel door, place: panel, opens: [door-switch]}]
        fuel_valves: [{id: cock, title: Cock, opens: [gas]}]
        displays: [{shows: NO AIR, means: No air}]
        sequence:
          - {id: wait, title: Waiting, open: [gas]}
          - id: start
            title: Start
            passes: [{shows: NO AIR, lasts: 3 s to 8 s, why: The fan comes up., how_often: At every start.}]
        """,
    "devices/gas.yaml": """\
        title: Gas switch
        dead_state: open
        never_because: Gas could burn unproved.
        """,
    "devices/float.yaml": """\
        title: Float
        dead_state: closed
        low_impedance: yes
        may_jump: {reason: For the slow-drain test}
        """,
    "devices/k.yaml": """\
        title: Relay K
        type: relay
        contacts: [{id: rest, made_when: Off, made_energised: no}]
        """,
    "circuits/string.yaml": """\
        title: String
        equipment: plant
        supply: {voltage: 120 V, current: AC}
        path:
          - {point: T1, place: panel, cover: door}
          - {contact: gas}
          - {point: T2}
          - {contact: filter-switch, option: filter, link: White link}
          - {point: T3, place: roof}
          - {contact: float, sizes: [large]}
          - {point: T4}
          - {contact: k, which: rest}
          - {input: string}
          - {point: T9, place: panel, cover: door}
        """,
    "devices/filter-switch.yaml": "title: Filter switch\n",
    "devices/door-switch.yaml": "title: Door switch\n",
    "cautions/live.yaml": """\
        title: Live terminals
        signal: WARNING
        hazard: Bare.
        consequence: Shock.
        avoid: One hand.
        """,
    "symptoms/no-air.yaml": """\
        title: Panel shows NO AIR
        means: No air.
        equipment: [plant]
        sizes: [large]
        displays: [No Air]
        normal_when: At every start.
        record: [Note the gauge.]
        cautions: [live]
        make_safe: safe
        stop_and_call: [You smell gas.]
        look_first: [{look: Is the filter full?, minutes: 0.5 min}]
        procedures: [find]
        """,
    "procedures/safe.yaml": "title: Make safe\nsteps: [{do: Off., isolate: mains}]\nequipment: [plant]\n",
    "procedures/find.yaml": """\
        title: Find it
        equipment: [plant]
        sizes: [large]
        cautions: [live]
        steps:
          - {do: Look., ask: Is it full?, outcomes: [{when: Full, go: off}, {when: Empty, go: end}, {when: Not sure, go: end}]}
          - {do: Look again.}
          - {id: off, do: Switch off., isolate: mains}
          - {id: end, do: Done., end: left-safe}
        """,
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Compiled:
    return compiled(tmp_path_factory.mktemp("pages"), SHOP)


def page(shop: Compiled, kind: Kind, name: str) -> Page:
    return next(each for each in shop.book().pages if each.ref == Ref(kind, name))


def test_a_book_of_one_plant_has_its_pages_and_those_of_no_plant(shop: Compiled) -> None:
    whole = [(each.ref, each.equipment) for each in shop.book().pages]
    of_none = [ref for ref, plants in whole if not plants]
    assert [each.ref for each in shop.book("plant").pages] == [
        ref for ref, plants in whole if not plants or "plant" in plants
    ]
    assert [each.ref for each in shop.book("other").pages] == of_none
    assert 0 < len(of_none) < len(whole)


def said(line: Line) -> str:
    return "".join(getattr(span, "text", "") or getattr(span, "label", "") for span in line)


def inside(blocks: tuple[Block, ...]) -> Iterator[Block]:
    for block in blocks:
        yield block
        if isinstance(block, Only):
            yield from inside(block.blocks)


def facts(shown: Page) -> dict[str, list[str]]:
    found = (b for section in shown.sections for b in inside(section.blocks) if isinstance(b, Facts))
    return {row.label: [said(line) for line in row.lines] for block in found for row in block.rows}


@pytest.mark.parametrize(
    ("device", "jumper", "low_impedance", "dead"),
    [
        ("gas", "Never. Gas could burn unproved.", "Never across", "Open on dead plant; resistance decides"),
        ("float", "Only: For the slow-drain test", "May be put", "Closed on dead plant; resistance can"),
        ("k", "Never.", "Never across", "Not known on dead plant; resistance decides nothing"),
    ],
)
def test_a_device_says_whether_it_may_be_jumped_and_what_the_meter_may_do(
    shop: Compiled, device: str, jumper: str, low_impedance: str, dead: str
) -> None:
    told = facts(page(shop, Kind.DEVICE, device))
    assert told["Jumper"] == [jumper]
    assert told["Low-impedance meter"][0].startswith(low_impedance)
    assert told["Dead plant"][0].startswith(dead)


def test_a_symptom_answers_in_the_order_in_which_one_acts(shop: Compiled) -> None:
    shown = page(shop, Kind.SYMPTOM, "no-air")
    anchors = [section.anchor for section in shown.sections]
    wanted = ["means", "normal", "record", "make-safe", "look", "test"]
    assert [anchor for anchor in anchors if anchor in wanted] == wanted
    safe = next(section for section in shown.sections if section.anchor == "make-safe")
    kinds = [type(block) for block in safe.blocks]
    assert kinds == [Notice, Items, Facts], "the caution stands before the way to make it safe"
    assert facts(shown)["Stop and call when"] == ["You smell gas."]
    look = next(section for section in shown.sections if section.anchor == "look")
    looks = [block for block in look.blocks if isinstance(block, Items)]
    assert [said(item.line) for block in looks for item in block.items] == ["Is the filter full? · 0.5 min"]


def test_a_display_that_passes_in_a_stage_is_told_whatever_its_case(shop: Compiled) -> None:
    told = facts(page(shop, Kind.SYMPTOM, "no-air"))
    assert told["NO AIR, Start"] == ["Passes by itself after 3 s to 8 s. The fan comes up. At every start."]


@pytest.mark.parametrize(("kind", "name"), [(Kind.SYMPTOM, "no-air"), (Kind.PROCEDURE, "find")])
def test_a_page_for_some_sizes_says_for_which(shop: Compiled, kind: Kind, name: str) -> None:
    shown = page(shop, kind, name)
    assert shown.choosing is not None
    assert shown.choosing.fits is not None
    assert shown.choosing.fits.sizes == ("large",)
    assert facts(shown)["Only on"] == ["Large"]


def test_the_cautions_of_a_procedure_stand_before_its_first_step(shop: Compiled) -> None:
    blocks = [block for section in page(shop, Kind.PROCEDURE, "find").sections for block in section.blocks]
    notice = next(k for k, block in enumerate(blocks) if isinstance(block, Notice))
    steps = next(k for k, block in enumerate(blocks) if isinstance(block, Steps))
    assert notice < steps


def test_an_outcome_leads_to_the_step_by_its_id_and_the_state_is_told_where_it_changes(
    shop: Compiled,
) -> None:
    shown = page(shop, Kind.PROCEDURE, "find")
    steps = next(b for section in shown.sections for b in section.blocks if isinstance(b, Steps)).steps
    led = {choice.outcome: (choice.goto.label, choice.goto.anchor) for choice in steps[0].choices}
    assert led == {
        "Full": ("step 3", "step-off"),
        "Empty": ("step 4", "step-end"),
        "Not sure": ("step 4", "step-end"),
    }
    assert [step.anchor for step in steps] == ["step-_1", "step-_2", "step-off", "step-end"]
    assert steps[0].state
    assert not steps[1].state, "nothing changed"
    assert steps[3].end == "left safe and tagged."


def test_a_step_put_in_moves_no_anchor_of_a_step_with_an_id() -> None:
    def anchors(*ids: str) -> tuple[str, ...]:
        steps = tuple(ProcedureStep(id=name, do=()) for name in ids)
        return step_anchors(Procedure(head=Head(title="Find it"), steps=steps))

    before, after = anchors("off", "", "look", "end"), anchors("", "off", "", "", "look", "end")
    assert before == ("step-off", "step-off_1", "step-look", "step-end")
    assert after == ("step-_1", "step-off", "step-off_1", "step-off_2", "step-look", "step-end")


def path_rows(shop: Compiled) -> list[tuple[tuple[str, ...], tuple[tuple[str, ...], ...] | None]]:
    table = next(
        b
        for section in page(shop, Kind.CIRCUIT, "string").sections
        if section.anchor == "path"
        for b in section.blocks
        if isinstance(b, Table)
    )
    return [
        (tuple(said(cell) for cell in row), (fits.sizes, fits.fitted, fits.missing) if fits else None)
        for row, fits in zip(table.rows, table.fits, strict=True)
    ]


def test_the_path_says_where_each_point_is_also_when_only_the_one_before_says_so(shop: Compiled) -> None:
    where = {row[0]: row[2] for row, _ in path_rows(shop) if row[0]}
    assert where["T1"] == where["T2"] == where["T9"] == "Panel; behind panel door"
    assert where["T3"] == where["T4"] == "Roof"


def test_an_option_and_the_link_in_its_place_hold_for_different_plants(shop: Compiled) -> None:
    fits = {row[1]: fits for row, fits in path_rows(shop)}
    assert fits["Filter switch"] == ((), ("filter",), ())
    assert fits["White link"] == ((), (), ("filter",))
    assert fits["Float"] == (("large",), (), ())
    assert fits["Test point"] is None


def test_drawings_and_orders_say_with_and_without_which_option_they_hold(shop: Compiled) -> None:
    shown = page(shop, Kind.CIRCUIT, "string")
    drawn = next(section for section in shown.sections if section.anchor == "ladder")
    assert [block.fits.said for block in drawn.blocks if isinstance(block, Only)] == [
        "for Small, without Filter switch",
        "for Large, without Filter switch",
        "for Small, with Filter switch",
        "for Large, with Filter switch",
    ]


def test_nobody_is_sent_after_a_contact_that_stands_open_by_right(shop: Compiled) -> None:
    study = Study(shop.base)
    waiting = study.of("string", State(stage="wait")).order
    faults = waiting.probing.table.faults
    named = {faults[row].id for row, _, _ in likeliest(waiting, 99)}
    assert "open:gas" not in named
    assert "stuck:gas" in named
    running = order(shop.base, "string", State(stage="start"))
    assert "open:gas" in {faults[row].id for row, _, _ in likeliest(running, 99)}


def test_what_is_shut_or_off_makes_another_state(shop: Compiled) -> None:
    study = Study(shop.base)
    keys = {
        study.key("string", State(**{name: frozenset(ids)}))
        for name, ids in (("options", ()), ("valves_shut", ("cock",)), ("covers_off", ("door",)))
    }
    assert len(keys) == 3
    states = offer(study, "string").states
    assert {state.valves_shut for state in states} == {frozenset(), frozenset({"cock"})}
    assert '"shut:cock"' in helper_data(study, "string")


def test_lines_put_behind_each_other_do_not_run_together() -> None:
    assert (
        sentences("It makes again at 90 psi", "After every stop")
        == "It makes again at 90 psi. After every stop"
    )
    assert sentences("Why?", "", "Because.") == "Why? Because."


@pytest.mark.parametrize(
    ("devices", "says"), [(2, "; 1 more was found"), (3, "; 2 more were found"), (1, "")]
)
def test_one_more_device_is_not_called_several(devices: int, says: str, shop: Compiled) -> None:
    notes = [
        FieldNote(Head("Note"), "2026-01-12", "plant", device=f"d{number}", fault="contact-open")
        for number in range(devices)
    ]
    bars = found_bars(shop.base, notes, most=1)
    assert bars is not None
    assert bars.caption.endswith(f"(95 %){says}")
