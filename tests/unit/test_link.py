"""Names that lead nowhere get the nearest name; names that lead somewhere get a way back."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

import pytest

from kbgen.ref import Kind, Ref
from kbgen.schemas import load_schemas
from kbgen.search.languages import LANGUAGES
from tests.unit.shops import compiled, places, problems

PLANT = """\
    title: Plant
    sizes:
      - {id: small, title: Small}
    sources:
      - {id: control, title: Control, energy: electric, isolate: Q1}
    covers:
      - {id: panel-door, title: Panel door, place: panel}
    places:
      - {id: panel, title: Panel}
    fuel_valves:
      - {id: main-cock, title: Main cock}
    displays:
      - {shows: STANDBY, means: Waits}
    sequence:
      - {id: standby, title: Standby, displays: [STANDBY]}
    """


def test_an_unknown_reference_names_the_nearest_entry(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        {
            "devices/first-low-water.yaml": "title: First low water\n",
            "symptoms/dark.yaml": "title: Dark\nmeans: No supply\nsuspects:\n  - device: frist-low-water\n",
        },
    )
    assert places(found) == ["symptoms/dark.yaml:4:13 unknown-reference"]
    assert found[0].hint == "Did you mean `first-low-water`?"


def test_a_link_in_long_text_is_pointed_at_where_it_stands(tmp_path: Path) -> None:
    text = "title: Dark\nmeans: |\n  First line.\n  See [it](device:nothing).\n"
    found = problems(tmp_path, {"symptoms/dark.yaml": text})
    assert places(found) == ["symptoms/dark.yaml:4:12 unknown-reference"]


def test_a_misspelt_kind_in_a_link_is_no_plain_text(tmp_path: Path) -> None:
    found = problems(tmp_path, {"symptoms/dark.yaml": "title: Dark\nmeans: See [it](devise:x).\n"})
    assert [each.rule for each in found] == ["unknown-link"]
    assert "[words](device:x)" in found[0].hint


def test_a_reference_to_a_broken_entry_is_not_a_second_problem(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        {
            "devices/float.yaml": "titel: Float\n",
            "symptoms/dark.yaml": "title: Dark\nmeans: x\nsuspects:\n  - device: float\n",
        },
    )
    assert [each.path for each in found] == ["devices/float.yaml"]


NAMES_MUCH = {
    "equipment/plant.yaml": """\
        title: Plant
        sources:
          - {id: control, title: Control, energy: electric, voltage: 24 V, isolate: Q1, prove: Meter, conductors: [L1, N]}
        places: [{id: panel, title: Panel}]
        """,
    "devices/low-water.yaml": "title: Low water\nequipment: [plant]\nreset: manual\n",
    "circuits/limits.yaml": """\
        title: Limits
        equipment: plant
        supply: {source: control, voltage: 24 V, current: AC}
        path:
          - {point: L1, place: panel}
          - {fuse: F1, rating: 3 A}
          - {point: X1}
          - {contact: low-water}
          - {point: X2}
          - {load: Valve, impedance: 100 Ω}
          - {point: N}
        """,
    "procedures/first.yaml": """\
        title: First
        equipment: [plant]
        steps:
          - {do: Clip the meter on., clip: m1, at: X1, to: N}
          - {do: Bring it to the next., hand_over: Colleague, still_on: [m1], next: second}
        """,
    "procedures/second.yaml": """\
        title: Second
        equipment: [plant]
        steps:
          - {do: Look for the cause., find_cause: low-water, cause-mended: dead, cause-left: tag, not-found: tag}
          - {id: dead, do: Prove it dead., prove_dead: control, between: [X1 to N], dead: fuse, live: tag}
          - {id: fuse, do: Look for why it blew., find_cause: F1, cause-mended: see, cause-left: tag, not-found: tag}
          - {id: see, do: Look at it., inspect: low-water}
          - {id: off, do: Take the meter off., unclip: [m1]}
          - {id: tag, do: Hang the tag., end: left-safe}
        """,
}


@pytest.mark.parametrize("path", NAMES_MUCH)
def test_names_that_a_broken_file_may_define_are_not_told_elsewhere(path: str, tmp_path: Path) -> None:
    sound = [each.rule for each in problems(tmp_path / "sound", NAMES_MUCH)]
    assert not {"unknown-name", "unknown-field", "wrong-value"} & set(sound)
    found = problems(tmp_path / "broken", {**NAMES_MUCH, path: f"{dedent(NAMES_MUCH[path])}bogus: 1\n"})
    assert [each.path for each in found if each.rule in ("unknown-name", "unknown-reference")] == []
    assert {(each.path, each.rule) for each in found if each.rule not in sound} == {(path, "unknown-field")}


def test_a_former_id_is_named_and_not_followed(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        {
            "devices/float.yaml": "title: Float\nformer_ids: [old-float]\n",
            "symptoms/dark.yaml": "title: Dark\nmeans: x\nsuspects:\n  - device: old-float\n",
        },
    )
    assert found[0].hint == "It is now called `float`; write that."


def test_an_id_claimed_twice_shows_both_places(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        {
            "devices/a.yaml": "title: A\nformer_ids: [old]\n",
            "devices/b.yaml": "title: B\nformer_ids: [old]\n",
            "devices/c.yaml": "title: C\nformer_ids: [a]\n",
        },
    )
    assert places(found) == [
        "devices/b.yaml:2:14 id-used-twice",
        "devices/c.yaml:2:14 id-used-twice",
    ]
    assert found[0].related[0].path == "devices/a.yaml"


def test_inner_names_are_checked_against_plant_circuit_and_steps(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        {
            "equipment/plant.yaml": PLANT,
            "circuits/limits.yaml": """\
                title: Limits
                equipment: plant
                supply: {voltage: 24 V, current: AC, source: controll}
                path:
                  - {point: T1, place: panel, cover: panel-dor}
                  - {fuse: F1, sizes: [smal]}
                  - {point: T2}
                """,
            "procedures/find.yaml": """\
                title: Find
                equipment: [plant]
                circuit: limits
                steps:
                  - {do: Shut it., shut_valve: main-cok}
                  - {do: Off., isolate: control}
                  - {do: Measure., measure: volts, at: T1, to: T3}
                  - {do: On., go: nowhere}
                """,
            "symptoms/dark.yaml": "title: Dark\nmeans: x\nequipment: [plant]\nstage: stand-by\n",
        },
    )
    names = [each for each in found if each.rule == "unknown-name"]
    assert [(each.path, each.line, each.hint) for each in names] == [
        ("circuits/limits.yaml", 3, "Did you mean `control`?"),
        ("circuits/limits.yaml", 5, "Did you mean `panel-door`?"),
        ("circuits/limits.yaml", 6, "Did you mean `small`?"),
        ("procedures/find.yaml", 5, "Did you mean `main-cock`?"),
        ("procedures/find.yaml", 7, "Known there: T1, T2."),
        ("procedures/find.yaml", 8, "List it in this procedure first."),
        ("symptoms/dark.yaml", 4, "Did you mean `standby`?"),
    ]


PLANTS = {
    "equipment/boiler.yaml": """\
        title: Boiler
        places: [{id: roof, title: Roof}]
        sources:
          - {id: control, title: Control, energy: electric, isolate: Q1}
          - {id: gas, title: Gas, energy: fuel, isolate: Cock}
        covers: [{id: lid, title: Lid, place: roof, opens: [vane]}]
        fuel_valves: [{id: cock, title: Cock, opens: [vane]}]
        settings: [{title: Opens, value: 3, device: vane}]
        memory: [{id: button, what: Button, kept: stored, device: vane}]
        sequence: [{id: standby, title: Standby, made: [vane], open: [vane], ignored: [vane], strings_made: [air]}]
        """,
    "equipment/dryer.yaml": "title: Dryer\nsources: [{id: mains, title: Mains, energy: electric, isolate: Q2}]\n",
    "devices/vane.yaml": "title: Vane\nequipment: [dryer]\n",
    "devices/timer.yaml": "title: Timer\nequipment: [dryer]\ntype: timer\n",
    "circuits/air.yaml": """\
        title: Air
        equipment: dryer
        supply: {source: mains, voltage: 230 V, current: AC}
        path: [{point: A1}, {contact: vane}, {point: A2}, {input: air}, {point: N}]
        """,
    "circuits/fan.yaml": """\
        title: Fan
        equipment: boiler
        supply: {source: gas, voltage: 230 V, current: AC}
        path: [{point: F1}, {coil: timer}, {point: N}]
        """,
    "symptoms/dark.yaml": """\
        title: Dark
        means: x
        equipment: [boiler]
        circuit: air
        suspects: [{device: vane}]
        look_first: [{look: At it, device: vane}]
        """,
    "field_notes/one.yaml": """\
        title: One
        date: "2026-01-02"
        equipment: boiler
        device: vane
        """,
}


def test_what_stands_on_another_plant_is_not_named_as_this_plants_own(tmp_path: Path) -> None:
    found = problems(tmp_path, PLANTS)
    assert {each.rule for each in found} == {"unknown-name"}
    named = [(each.path, each.line, each.message.split(" called ")[0]) for each in found]
    own, boiler = "equipment/boiler.yaml", "boiler has no "
    assert named == [
        ("circuits/fan.yaml", 3, f"{boiler}electric source"),
        ("circuits/fan.yaml", 4, f"{boiler}device"),
        *((own, line, f"{boiler}device") for line in (6, 7, 8, 9, 10, 10, 10)),
        (own, 10, f"{boiler}circuit"),
        ("field_notes/one.yaml", 4, f"{boiler}device"),
        ("symptoms/dark.yaml", 4, f"{boiler}circuit"),
        ("symptoms/dark.yaml", 5, f"{boiler}device"),
        ("symptoms/dark.yaml", 6, f"{boiler}device"),
    ]


def test_a_device_whose_plant_is_misspelt_is_not_told_wherever_it_is_named(tmp_path: Path) -> None:
    vane = "title: Vane\nequipment: [dyrer]\n"
    found = problems(tmp_path, {**PLANTS, "devices/vane.yaml": vane})
    assert [each.rule for each in found if each.path == "devices/vane.yaml"] == ["unknown-reference"]
    assert not [each for each in found if "`vane`" in each.message]


def test_backlinks_are_sorted_and_leave_the_entry_itself_out(tmp_path: Path) -> None:
    base = compiled(
        tmp_path,
        {
            "devices/float.yaml": "title: Float\nproves: See [itself](device:float).\n",
            "symptoms/b.yaml": "title: B\nmeans: See [f](device:float).\n",
            "symptoms/a.yaml": "title: A\nmeans: x\nsuspects:\n  - device: float\n",
        },
    ).base
    assert base.backlinks == {
        Ref(Kind.DEVICE, "float"): (Ref(Kind.SYMPTOM, "a"), Ref(Kind.SYMPTOM, "b")),
    }


def test_a_missing_photo_names_the_nearest_file(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "panel.svg").write_text(
        "<svg xmlns='http://www.w3.org/2000/svg'><path d='M0 0h9'/></svg>"
    )
    text = "title: A\nmeans: x\nphotos:\n  - {file: pannel.svg, alt: The panel}\n"
    found = problems(tmp_path, {"symptoms/a.yaml": text})
    assert [(each.rule, each.hint) for each in found] == [("unknown-photo", "Did you mean `panel.svg`?")]


def test_an_id_of_another_kind_says_where_it_belongs(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        {
            "devices/fan.yaml": "title: Fan\n",
            "equipment/plant.yaml": PLANT.replace("displays: [STANDBY]}", "strings_made: [fan]}"),
            "symptoms/dark.yaml": "title: Dark\nmeans: See [it](circuit:fan).\nprocedures: [fan]\n",
        },
    )
    assert [(each.path, each.line, each.hint) for each in found if each.rule == "unknown-reference"] == [
        ("equipment/plant.yaml", 15, "`fan` is a device; it goes under `made`, `open` or `ignored`."),
        ("symptoms/dark.yaml", 2, "`fan` is a device; write the link as [words](device:fan)."),
        ("symptoms/dark.yaml", 3, "`fan` is a device; name a procedure here."),
    ]


@pytest.mark.parametrize("old", ["index", "con"])
def test_a_former_id_that_no_page_can_have_had_is_refused_with_its_line(tmp_path: Path, old: str) -> None:
    files = {"terms/a.yaml": f"title: A\nmeans: B\nstatus: draft\nformer_ids: [b, {old}]\n"}
    assert places(problems(tmp_path, files)) == ["terms/a.yaml:4:17 file-name"]


@pytest.mark.parametrize(("language", "known"), [("en", True), ("es-MX", True), ("fr", False), ("de", False)])
def test_a_language_that_is_not_served_is_refused_with_those_that_are(
    tmp_path: Path, language: str, known: bool
) -> None:
    found = problems(tmp_path, {"kb.yaml": f"shop: A\nkey: a\nlanguage: {language}\n"})
    assert places(found) == ([] if known else ["kb.yaml:3:11 wrong-form"])
    assert all("en or es" in each.hint for each in found)


def test_the_schema_knows_the_languages_of_the_search() -> None:
    pattern = load_schemas().of(None)["properties"]["language"]["pattern"]
    assert pattern == f"^({'|'.join(sorted(LANGUAGES))})(-[A-Z]{{2}})?$"
