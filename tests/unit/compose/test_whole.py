"""A small plant whose pages are all written with routines, from its folder to its outputs."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from kbgen.cli import main
from kbgen.model.claims import CLAIMS
from kbgen.model.procedure import Procedure
from kbgen.pipeline import Compiled, compile_folder
from kbgen.render.export import export_data
from kbgen.schemas import load_schemas
from kbgen.store import Store

SHOP = Path(__file__).parents[2] / "kb" / "good" / "routines"


@pytest.fixture(scope="module")
def compiled() -> Compiled:
    return compile_folder(SHOP)


def test_it_has_no_problem_and_every_page_is_written_out(compiled: Compiled) -> None:
    assert [f"{each.rule}: {each.message}" for each in compiled.problems] == []
    pages = list(compiled.base.of(Procedure))
    assert len(pages) == 8
    for _, page in pages:
        assert page.written
        assert len(page.steps) > len(page.written)
        assert all(step.do for step in page.steps)
    assert all(not walk.violations for walk in compiled.walks.values())


def test_padlocks_are_counted_on_the_ways_and_not_typed(compiled: Compiled) -> None:
    walks = {ref.id: walk for ref, walk in compiled.walks.items()}
    # Gas and control; the gas alone; on the way that stops at the door nothing else.
    assert {name: walks[name].padlocks for name in ("safe", "find", "back")} == {
        "safe": 2,
        "find": 1,
        "back": 1,
    }


def test_the_export_holds_the_lines_and_the_steps(compiled: Compiled) -> None:
    data = export_data(compiled.base, compiled.edition)
    find = next(each for each in data["entries"] if each["id"] == "find")
    assert find["written"][0] == {"arrive": ["smell", "same", "flow"]}
    assert [step["id"] for step in find["steps"][:3]] == ["arrive.smell", "arrive.same", "arrive.flow"]
    assert find["steps"][0]["origin"] == {"routine": "arrive", "deed": "smell", "line": 0}
    json.dumps(data)


def test_the_steps_are_printed_as_yaml(capsys: pytest.CaptureFixture[str]) -> None:
    import yaml

    assert main(["walk", "find", "--expanded", "--kb", str(SHOP), "--no-cache"]) == 0
    printed = capsys.readouterr().out
    assert "  # hunt, line 6 of the steps" in printed
    steps = yaml.safe_load(printed)["steps"]
    assert [step["id"] for step in steps[:2]] == ["arrive.smell", "arrive.same"]
    assert all("origin" not in step for step in steps)


def test_ohms_are_read_where_they_tell_something_and_the_rest_is_named() -> None:
    from tests.unit.compose.ground import steps

    lines = """
- {lock_off: [gas]}
- {open: [panel-door]}
- {hunt_dead: sb-limits, found: there, made: there}
- {id: there, put_back: [all]}
- {do: Hang the tag., end: left-safe}
"""
    found = steps(lines)
    read = [step["across"] for step in found.values() if "across" in step]
    assert set(read) == {
        *("sb-first-low-water", "sb-operating-pressure", "sb-high-steam-pressure", "sb-high-gas-pressure"),
    }
    # Open is its everyday state: whoever ends there has read all others.
    assert read[-1] == "sb-operating-pressure"
    last = found["hunt-dead.not-shown"]
    # The switch is off, the cock is shut, the probe relay needs supply.
    assert all(name in last["do"] for name in ("burner switch", "low gas pressure", "second low-water"))
    # The fuse has points of its own, and is asked before what is open every day.
    assert [name for name, step in found.items() if step.get("at") == "T19"] == ["hunt-dead.F3"]
    assert found["hunt-dead.F3"]["outcomes"][0]["go"] == f"hunt-dead.{read[-1]}"
    first = found[f"hunt-dead.{read[0]}"]
    assert [each["go"] for each in first["outcomes"]] == [
        *(
            f"hunt-dead.{read[1]}",
            f"hunt-dead.open.{read[0]}",
            "hunt-dead.weak",
            "stop-here.burner-off.demand",
        ),
    ]


def test_the_walk_names_the_steps_that_routines_wrote(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["walk", "find", "--kb", str(SHOP), "--no-cache"]) == 0
    assert (
        "Shut the burner valve. Handle across the pipe.  (burner-off.burner-valve)" in capsys.readouterr().out
    )


def test_what_a_door_question_may_claim_is_what_an_answer_may_claim() -> None:
    asked = load_schemas().files["equipment.schema.json"]["properties"]["arrive"]["items"]["properties"]
    assert asked["claims"]["items"]["enum"] == list(CLAIMS)


def test_a_routine_is_explained_with_its_steps(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "lock_off"]) == 0
    printed = capsys.readouterr().out
    assert "SOURCE.lock" in printed
    assert "off_order" in printed
    assert main(["explain", "--all", "--json"]) == 0
    assert "put_back" in {each["name"] for each in json.loads(capsys.readouterr().out)["routines"]}


def test_a_new_procedure_begins_with_the_plant_s_routines_and_passes(tmp_path: Path) -> None:
    shop = shutil.copytree(SHOP, tmp_path / "kb")
    assert main(["new", "procedure", "Look at a KW", "--kb", str(shop)]) == 0
    text = (shop / "procedures" / "look-at-a-kw.yaml").read_text(encoding="utf-8")
    assert "  - burner_off: valves\n" in text
    compiled = compile_folder(shop)
    assert [each.message for each in compiled.problems if each.place.path.endswith("look-at-a-kw.yaml")] == []
    page = compiled.base.procedure("look-at-a-kw")
    assert page is not None
    assert [step.id for step in page.steps[:2]] == ["arrive.smell", "arrive.same"]


def test_what_was_kept_is_what_is_made_and_follows_the_plant(tmp_path: Path) -> None:
    shop = shutil.copytree(SHOP, tmp_path / "kb")

    def steps() -> list[str]:
        with Store(tmp_path / "store.sqlite") as store:
            page = compile_folder(shop, store=store).base.procedure("safe")
            assert page is not None
            fresh.append(store.fresh)
            return [step.id for step in page.steps]

    (tmp_path / "store.sqlite").touch()
    fresh: list[int] = []
    first, again = steps(), steps()
    assert first == again
    assert fresh[1] < fresh[0]
    plant = shop / "equipment" / "kw.yaml"
    text = plant.read_text(encoding="utf-8")
    plant.write_text(
        text.replace("behind: front", "behind: lid").replace("{id: front,", "{id: lid,"), encoding="utf-8"
    )
    assert [each.replace("front", "lid") for each in first] == steps()


def test_pages_of_a_broken_plant_wait_and_a_plant_that_is_not_there_is_told(tmp_path: Path) -> None:
    shop = shutil.copytree(SHOP, tmp_path / "kb")
    plant = shop / "equipment" / "kw.yaml"
    plant.write_text(plant.read_text(encoding="utf-8") + "sourcs: []\n", encoding="utf-8")
    assert {(each.place.path, each.rule) for each in compile_folder(shop).problems} == {
        ("equipment/kw.yaml", "unknown-field")
    }
    page = shop / "procedures" / "safe.yaml"
    page.write_text(page.read_text(encoding="utf-8").replace("[kw]", "[kx]"), encoding="utf-8")
    assert ("procedures/safe.yaml", "plant-data-missing") in {
        (each.place.path, each.rule) for each in compile_folder(shop).problems
    }
