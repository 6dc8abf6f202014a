"""A machine's page, what a tablet is told of machines, and remarks at the foot of a page."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kbgen.cli import main
from kbgen.outputs.machines import machines_script
from kbgen.pipeline import Compiled, compile_folder
from kbgen.ref import Kind, Ref
from kbgen.render.text import page_lines
from kbgen.views.blocks import DueDay, Plain, Table
from kbgen.views.doing.machines import machines_data
from kbgen.views.page import Page
from tests.unit.shops import write_shop

NOTE = "title: {title}\ndate: {day}\nequipment: example-heater\nplant: example-1044\ndevice: example-high-limit\n"
REMARK = (
    "title: Job\ndate: 2026-11-28\nequipment: example-heater\nremarks:\n"
    "  - {{page: example-make-safe, step: {step}, said: The tag hangs behind the pump{answer}}}\n"
)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("machines") / "shop"
    assert main(["new", "shop", str(root)]) == 0
    for day in ("2026-02-01", "2026-03-01"):
        write_shop(root, {f"field_notes/n-{day}.yaml": NOTE.format(title=f"Limit of {day}", day=day)})
    write_shop(
        root,
        {
            "field_notes/open.yaml": REMARK.format(step="make-safe.mains", answer=""),
            "field_notes/answered.yaml": REMARK.format(
                step="gone", answer=", answer: It names the place now"
            ).replace("behind the pump", "beside the door"),
        },
    )
    return root


@pytest.fixture(scope="module")
def compiled(shop: Path) -> Compiled:
    return compile_folder(shop)


@pytest.fixture(scope="module")
def pages(compiled: Compiled) -> dict[Ref | str, Page]:
    return {page.ref: page for page in compiled.book().pages}


def text(page: Page) -> str:
    return "\n".join((page.lead, *page_lines(page)))


def test_a_machine_says_how_it_was_left_and_up_to_which_day(pages: dict[Ref | str, Page]) -> None:
    said = text(pages[Ref(Kind.PLANT, "example-1044")])
    for words in (
        "As of 2026-01-12. There may be more",
        "Pump to be changed before the next winter",
        "63 °C",
        "65 °C ± 3 °C",
        "Opened at 94 °C",
        "EH-20-0815",
        "1044",
        "3 times: High limit",
    ):
        assert words in said


def test_a_fault_that_came_again_on_one_machine_is_told_where_it_is_looked_for(
    pages: dict[Ref | str, Page],
) -> None:
    for kind, name in ((Kind.DEVICE, "example-high-limit"), (Kind.CIRCUIT, "example-limits")):
        # On screen only: no book holds the page of a machine.
        (jobs,) = (each for each in pages[Ref(kind, name)].sections if each.anchor == "jobs")
        assert jobs.web_only
        said = repr(jobs)
        assert "Came again on one machine" in said
        assert "1044 · Heater behind the door" in said
        assert ": 3 times " in said


def test_nothing_outstanding_is_told_with_its_day(shop: Path) -> None:
    machine = "title: Second\nnumber: T-2\nequipment: example-heater\nsize: eh-20\nas_of: 2026-05-06\n"
    write_shop(shop, {"plants/t-2.yaml": machine})
    made = compile_folder(shop)
    (shop / "plants" / "t-2.yaml").unlink()
    (page,) = (each for each in made.book().pages if each.ref == Ref(Kind.PLANT, "t-2"))
    assert "Nothing was known to be outstanding on 2026-05-06." in text(page)


def test_a_tablet_is_told_of_machines_and_of_sizes_for_one_that_is_not_listed(compiled: Compiled) -> None:
    plants, families = machines_script(compiled.base).decode().splitlines()
    (machine,) = json.loads(plants.removeprefix("window.kbPlants = ").removesuffix(";"))
    assert machine["id"] == "example-1044"
    assert machine["options"] == {"frost-guard": "no"}
    assert machine["outstanding"] == ["Pump to be changed before the next winter, since 2026-01-12"]
    assert machine["settings"] == [["Thermostat opens", "63 °C", "65 °C ± 3 °C", "2026-01-12"]]
    family = json.loads(families.removeprefix("window.kbFamilies = ").removesuffix(";"))["example-heater"]
    assert [size for size, _ in family["sizes"]] == ["eh-20", "eh-40"]
    assert "marks" not in machine, "there are no three to pick from"


def test_the_number_on_a_plate_is_picked_from_three_and_stands_at_no_place_of_its_own(
    demonstration: Compiled,
) -> None:
    machines = machines_data(demonstration.base)
    numbers = {each["number"]: each["equipment"] for each in machines}
    for each in machines:
        assert each["number"] in each["marks"]
        assert len(set(each["marks"]) & numbers.keys()) == 3
    dryers = [set(each["marks"]) for each in machines if each["equipment"] == "harnok-td"]
    assert dryers == [{"T-118", "T-119", "T-120"}] * 3, "the ones it could be taken for"
    assert {each["marks"].index(each["number"]) for each in machines} == {0, 1, 2}


def test_an_open_remark_stands_at_the_foot_of_its_page_and_one_that_was_answered_does_not(
    pages: dict[Ref | str, Page],
) -> None:
    page = pages[Ref(Kind.PROCEDURE, "example-make-safe")]
    foot = page.sections[-1]
    assert foot.anchor == "remarks"
    said = text(page)
    assert "The tag hangs behind the pump" in said
    assert "beside the door" not in said
    assert pages[Ref(Kind.PROCEDURE, "example-find-live")].sections[-1].anchor != "remarks"


def test_a_remark_on_a_step_that_is_not_there_is_told_with_the_nearest(shop: Path) -> None:
    write_shop(shop, {"field_notes/slip.yaml": REMARK.format(step="make-safe.mian", answer="")})
    problems = compile_folder(shop).problems
    (shop / "field_notes" / "slip.yaml").unlink()
    (slip,) = (
        each for each in problems if each.place.path.endswith("slip.yaml") and each.rule == "unknown-name"
    )
    assert slip.message == "example-make-safe has no step called `make-safe.mian`"
    assert slip.hint == "Did you mean `make-safe.mains`?"


def test_what_was_signed_does_not_hang_on_remarks(compiled: Compiled) -> None:
    """A remark is said of a page, and no change of it: nobody's signature falls by it."""
    from kbgen.rewrite.sign import read_entry

    lines = read_entry(compiled, Ref(Kind.PROCEDURE, "example-make-safe"), "AB").now
    assert not any("behind the pump" in line for line in lines)


def test_what_falls_due_is_counted_from_the_newest_proof_and_what_operators_do_is_left_out(
    tmp_path: Path,
) -> None:
    proof = "proofs: [{id: trip, prove: Opens without air, every: 6 months}, {id: look, prove: Clean, every: 1 day, who: [operator]}]"
    device = "title: Vane\nequipment: [dryer]\nrole: proving\ndead_state: open\nnever_because: It proves the air.\n"
    machine = (
        "title: Dryer\nnumber: T-1\nequipment: dryer\nas_of: 2026-05-06\nproofs:\n"
        "  - {device: vane, proof: trip, on: 2025-02-03}\n  - {device: vane, proof: trip, on: 2026-03-31, read: 58 %}\n"
    )
    second = "title: Second\nnumber: T-2\nequipment: dryer\nas_of: 2026-05-06\n"
    files = {"equipment/dryer.yaml": "title: Dryer\n", "devices/vane.yaml": device + proof + "\n"}
    write_shop(tmp_path, files | {"plants/t-1.yaml": machine, "plants/t-2.yaml": second})
    made = compile_folder(tmp_path)
    assert [str(each) for each in made.problems if each.severity == "error"] == []
    one, other = (page for page in made.book().pages if page.kind is Kind.PLANT)
    (table,) = (block for section in one.sections if section.anchor == "due" for block in section.blocks[1:])
    assert isinstance(table, Table)
    ((what, often, last, due),) = table.rows
    assert (often, last, due) == ((Plain("6 months"),), (Plain("2026-03-31"),), (DueDay("2026-09-30"),))
    assert Plain("Opens without air") in what
    assert "Not known" in text(other)


def test_no_text_leads_to_a_machine(shop: Path) -> None:
    note = "title: See\ndate: 2026-11-28\nequipment: example-heater\ncause: As at [the other](plant:example-1044).\n"
    write_shop(shop, {"field_notes/see.yaml": note})
    problems = compile_folder(shop).problems
    (shop / "field_notes" / "see.yaml").unlink()
    (found,) = (each for each in problems if each.place.path.endswith("see.yaml"))
    assert found.message == "`plant:example-1044` is a machine, and no text leads to one"
    assert found.hint.startswith("Write its number; a field note names it under `plant`")


def test_a_new_machine_is_called_by_its_number(shop: Path) -> None:
    assert main(["new", "plant", "T 118", "--kb", str(shop)]) == 0
    file = shop / "plants" / "t-118.yaml"
    text = file.read_text(encoding="utf-8")
    file.unlink()
    assert "\nnumber: T 118\n" in text
    assert "\ntitle: FILL-IN\n" in text
    assert "\nequipment: example-heater\n" in text
