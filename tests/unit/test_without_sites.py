"""``kbgen build --without-sites``: nothing on a host that everybody reads tells where the shop works."""

from __future__ import annotations

from pathlib import Path

import pytest

from kbgen.cli import main

SITES = """
sites:
  - id: quarrelstone
    title: Quarrelstone works
    address: Backyard of Quarrelstone
    muster: Yard gate of Quarrelstone
    keys: Gatehouse of Quarrelstone
"""


def told(folder: Path) -> set[str]:
    """Return the files that name the place."""
    return {
        file.relative_to(folder).as_posix()
        for file in folder.rglob("*")
        if file.is_file() and b"quarrelstone" in file.read_bytes().lower()
    }


def test_no_file_of_a_public_edition_names_a_place(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    assert main(["new", "shop", str(shop)]) == 0
    settings = shop / "kb.yaml"
    settings.write_text(settings.read_text(encoding="utf-8") + SITES, encoding="utf-8")
    assert main(["build", "--kb", str(shop), "--out", str(tmp_path / "all")]) == 0
    assert {"index.html", "leave-now.html", "assets/steps/leave-now.js"} <= told(tmp_path / "all")
    # From the same store: nothing that was made with places is found again.
    assert main(["build", "--kb", str(shop), "--out", str(tmp_path / "public"), "--without-sites"]) == 0
    assert told(tmp_path / "public") == set()


MACHINE = """
title: Heater in the cellar
number: QUARRELSTONE-7
equipment: example-heater
size: eh-20
site: quarrelstone
as_of: "2026-02-03"
"""
NOTE = """
title: Fan stuck
date: "2026-02-03"
equipment: example-heater
plant: quarrelstone-7
"""


def test_no_file_of_a_public_edition_names_a_machine(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    assert main(["new", "shop", str(shop)]) == 0
    for path, text in {"plants/quarrelstone-7": MACHINE, "field_notes/fan": NOTE}.items():
        (shop / f"{path}.yaml").write_text(text, encoding="utf-8")
    settings = shop / "kb.yaml"
    settings.write_text(settings.read_text(encoding="utf-8") + SITES, encoding="utf-8")
    assert main(["build", "--kb", str(shop), "--out", str(tmp_path / "all")]) == 0
    of_machines = {
        "plants/quarrelstone-7.html",
        "plants/index.html",
        "assets/plants.js",
        "field_notes/fan.html",
    }
    assert of_machines <= told(tmp_path / "all")
    assert main(["build", "--kb", str(shop), "--out", str(tmp_path / "public"), "--without-sites"]) == 0
    assert told(tmp_path / "public") == set()
    assert not (tmp_path / "public" / "plants").exists()
    assert "Fan stuck" in (tmp_path / "public" / "field_notes" / "fan.html").read_text(encoding="utf-8")
    assert "window.kbPlants = [];" in (tmp_path / "public" / "assets" / "plants.js").read_text(
        encoding="utf-8"
    )


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("Belt of quarrelstone 7 slipped", "the number of a machine"),
        ("Fan wheel loose, serial no. 4711-B on its plate", "a serial number"),
        ("Stuck on EH/20-0417 as in spring", "the serial number of a machine"),
        ("Stuck again at Quarrelstone works", "a site of the shop"),
        ("Fan wheel loose; 7 turns of the screw, 24 V at both ends", ""),
    ],
)
def test_a_note_that_names_a_machine_or_a_place_is_no_public_edition(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, what: str
) -> None:
    shop = tmp_path / "shop"
    assert main(["new", "shop", str(shop)]) == 0
    machine, note = MACHINE + "serial: EH/20-0417\n", NOTE + f'cause: "{text}"\n'
    for path, written in {"plants/quarrelstone-7": machine, "field_notes/fan": note}.items():
        (shop / f"{path}.yaml").write_text(written, encoding="utf-8")
    settings = shop / "kb.yaml"
    settings.write_text(settings.read_text(encoding="utf-8") + SITES, encoding="utf-8")
    assert main(["build", "--kb", str(shop), "--out", str(tmp_path / "all")]) == 0
    capsys.readouterr()
    public = main(["build", "--kb", str(shop), "--out", str(tmp_path / "public"), "--without-sites"])
    said = capsys.readouterr()
    assert public == (1 if what else 0)
    assert bool(what) == (f"this names {what}, in an edition without sites" in said.out + said.err)
    assert (not what) or "field_notes/fan.yaml:6:" in said.out + said.err
