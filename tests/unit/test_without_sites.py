"""``kbgen build --without-sites``: nothing on a host that everybody reads tells where the shop works."""

from __future__ import annotations

from pathlib import Path

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
