"""What happens where several people's work comes together."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from kbgen.cli import main
from kbgen.pipeline import compile_folder
from tests.unit.shops import places, problems, write_shop

ROOT = Path(__file__).parents[1]
LONG = "title: Dark\nmeans: No supply\nrecord:\n" + "".join(f"  - Look number {n}\n" for n in range(20))


def git(folder: Path, *words: str) -> str:
    named = ("-c", "user.name=A", "-c", "user.email=a@example.org", "-c", "core.autocrlf=false")
    return subprocess.run(
        ["git", *named, *words], cwd=folder, capture_output=True, text=True, check=True
    ).stdout


@pytest.fixture(params=["this project", "a new shop"])
def repository(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A repository with one entry and the settings that come with us."""
    folder = tmp_path / "shop"
    if request.param == "a new shop":
        assert main(["new", "shop", str(folder)]) == 0
    else:
        folder.mkdir()
        shutil.copy(ROOT / ".gitattributes", folder)
    git(folder, "init", "-q")
    (folder / "symptoms").mkdir(exist_ok=True)
    (folder / "symptoms/dark.yaml").write_text(LONG, encoding="utf-8", newline="")
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "first")
    return folder


def test_one_word_changed_on_windows_is_one_line_for_the_reviewer(repository: Path) -> None:
    changed = LONG.replace("number 7", "number seven").replace("\n", "\r\n")
    (repository / "symptoms/dark.yaml").write_text(changed, encoding="utf-8", newline="")
    git(repository, "add", "-A")
    assert "1 insertion(+), 1 deletion(-)" in git(repository, "diff", "--cached", "--stat")


def test_line_ends_and_blanks_at_line_ends_change_nothing(tmp_path: Path) -> None:
    def edition(name: str, text: str) -> str:
        root = write_shop(tmp_path / name, {})
        (root / "symptoms").mkdir()
        (root / "symptoms/dark.yaml").write_bytes(text.encode())
        compiled = compile_folder(root)
        assert compiled.sound
        return compiled.edition.id

    plain = edition("plain", LONG)
    assert edition("windows", LONG.replace("\n", "\r\n")) == plain
    assert edition("blanks", LONG.replace("\n", "  \n")) == plain
    assert edition("no-end", LONG.rstrip("\n")) == plain
    assert edition("mark", f"\ufeff{LONG}") == plain


def test_marks_of_an_unfinished_merge_are_told_once_with_their_line(tmp_path: Path) -> None:
    merged = LONG.replace(
        "  - Look number 7\n",
        "<<<<<<< HEAD\n  - Look number 7\n=======\n  - Look number seven\n>>>>>>> other\n",
    )
    assert places(problems(tmp_path, {"symptoms/dark.yaml": merged})) == [
        "symptoms/dark.yaml:11:1 merge-conflict"
    ]


def test_two_branches_that_rename_to_and_from_one_id_show_both_files(tmp_path: Path) -> None:
    # One branch renamed `float` to `first-low-water`; the other wrote a new device called `float`.
    found = problems(
        tmp_path,
        {
            "devices/first-low-water.yaml": "title: First low water\nformer_ids: [float]\n",
            "devices/float.yaml": "title: Float of the feeder\n",
            "symptoms/dark.yaml": "title: Dark\nmeans: x\nsuspects:\n  - device: float\n",
        },
    )
    assert places(found) == ["devices/first-low-water.yaml:2:14 id-used-twice"]
    assert [near.path for near in found[0].related] == ["devices/float.yaml"]


def test_two_branches_that_add_one_id_in_two_spellings_show_both_files(tmp_path: Path) -> None:
    found = problems(
        tmp_path,
        {
            "devices/fan.yaml": "title: Fan\n",
            "devices/fan.yml": "title: Fan switch\n",
        },
    )
    assert [(each.path, each.rule) for each in found] == [("devices/fan.yaml", "file-name-clash")]
    assert [near.path for near in found[0].related] == ["devices/fan.yml"]
