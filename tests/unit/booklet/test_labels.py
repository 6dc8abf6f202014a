"""Labels: what they open, what they name, and that they prove nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader

from kbgen.outputs.labels import NO_CODE, make_label_sheets
from kbgen.pipeline import Compiled
from kbgen.render.guide import labels as sheets
from kbgen.views.labels import Labels, make_labels
from tests.unit.booklet.conftest import PLANTS

AT = "https://kb.example/shop/"


def labels_of(compiled: Compiled, plant: str) -> Labels:
    found = make_labels(compiled.base, compiled.edition, plant, AT)
    assert found is not None
    return found


@pytest.fixture(scope="module")
def pages(demonstration: Compiled, tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """The text of the boiler's sheets."""
    out = tmp_path_factory.mktemp("labels") / "labels.pdf"
    made = make_label_sheets(demonstration, out, "ondrel-sb", "a4", AT)
    found = [" ".join(page.extract_text().split()) for page in PdfReader(out).pages]
    assert made.pages == len(found)
    return found


@pytest.mark.parametrize("plant", PLANTS)
def test_a_code_opens_the_page_of_the_plant_and_no_step(demonstration: Compiled, plant: str) -> None:
    assert labels_of(demonstration, plant).opens == f"https://kb.example/shop/equipment/{plant}.html"


def test_the_code_on_the_sheet_is_that_address(
    demonstration: Compiled, monkeypatch: pytest.MonkeyPatch
) -> None:
    coded: list[str] = []
    drawn = sheets.svg_code
    monkeypatch.setattr(sheets, "svg_code", lambda text: coded.append(text) or drawn(text))  # type: ignore[func-returns-value]
    found = labels_of(demonstration, "harnok-td")
    sheets.print_labels(found, sheets_of())
    assert coded == [found.opens, *(each.opens for each in found.machines)]


def sheets_of() -> sheets.Paper:
    from kbgen.render.guide.paper import PAPERS

    return PAPERS["letter"]


@pytest.mark.parametrize("plant", PLANTS)
def test_everything_that_is_shut_or_locked_has_a_tag(demonstration: Compiled, plant: str) -> None:
    equipment = demonstration.base.equipment(plant)
    assert equipment is not None
    tagged = {handle.what for handle in labels_of(demonstration, plant).handles}
    lockable = {each.title for each in equipment.sources if each.lockable and each.energy != "fuel"}
    assert tagged == lockable | {valve.title for valve in equipment.fuel_valves}


def test_every_tag_has_its_eyelet_and_proves_nothing(demonstration: Compiled, pages: list[str]) -> None:
    handles = labels_of(demonstration, "ondrel-sb").handles
    assert pages[1].count("Punch here") == len(handles) == pages[1].count("It proves nothing")
    assert pages[2].count("Punch here") == pages[2].count("DO NOT OPERATE") == 6
    assert pages[0].count("This label proves nothing.") == 2
    assert "The list proves nothing" in pages[3]


def test_the_lock_list_names_every_energy_fuel_first(demonstration: Compiled, pages: list[str]) -> None:
    energies = labels_of(demonstration, "ondrel-sb").energies
    at = [pages[3].index(each) for each in energies]
    assert at == sorted(at)
    assert energies[0] == "Fuel gas"


def test_without_an_address_there_is_no_code_and_that_is_said(
    demonstration: Compiled, tmp_path: Path
) -> None:
    made = make_label_sheets(demonstration, tmp_path / "labels.pdf", "zellick-ph", None, "")
    assert made.said == (NO_CODE,)
    first = PdfReader(tmp_path / "labels.pdf").pages[0].extract_text()
    assert "This label proves nothing" in " ".join(first.split())
    assert "The code opens" not in first


def test_every_machine_that_is_known_has_a_plate_with_its_number_and_its_own_page(
    demonstration: Compiled, pages: list[str]
) -> None:
    (machine,) = labels_of(demonstration, "ondrel-sb").machines
    assert (machine.number, machine.size, machine.serial) == ("T-101", "SB-2", "OS-2-0417")
    assert machine.opens == "https://kb.example/shop/plants/t-101.html"
    for words in (
        "T-101",
        "Boiler in the wash house",
        "Ondrel SB steam boiler, SB-2",
        machine.opens,
        "proves nothing",
    ):
        assert words in pages[4]
