"""An entry gets another id: every reference follows, comments and order stay, its old address keeps working."""

from __future__ import annotations

import difflib
import shutil
from pathlib import Path

import pytest

from kbgen.cli import main
from kbgen.pipeline import compile_folder
from kbgen.ref import Kind, Ref
from kbgen.resources import folder
from tests.unit.shops import sign_all, write_shop

DEVICE = "example-high-limit"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """The shop that everybody starts with."""
    return Path(shutil.copytree(folder("starter_shop"), tmp_path / "kb"))


def texts(root: Path) -> dict[str, list[str]]:
    return {
        path.relative_to(root).as_posix(): path.read_text(encoding="utf-8").splitlines()
        for path in sorted(root.rglob("*.yaml"))
    }


def test_every_reference_follows_and_nothing_else_changes(shop: Path) -> None:
    before = texts(shop)
    errors = {(each.rule, each.message) for each in compile_folder(shop).problems}
    assert main(["rename", "device", DEVICE, "top-limit", "--kb", str(shop)]) == 0
    after = texts(shop)
    assert "devices/top-limit.yaml" in after
    assert f"devices/{DEVICE}.yaml" not in after
    before["devices/top-limit.yaml"] = before.pop(f"devices/{DEVICE}.yaml")
    assert before.keys() == after.keys()
    for path, lines in after.items():
        changed = [line for line in difflib.ndiff(before[path], lines) if line[0] in "-+"]
        assert all(DEVICE in line or "top-limit" in line for line in changed), path
    named = "\n".join(
        line for lines in after.values() for line in lines if f"former_ids: [{DEVICE}]" not in line
    )
    assert f": {DEVICE}\n" not in named
    assert f"device:{DEVICE})" not in named
    assert {
        (each.rule, each.message.replace("top-limit", DEVICE)) for each in compile_folder(shop).problems
    } == errors


def test_links_in_text_follow_and_the_old_address_leads_on(tmp_path: Path) -> None:
    files = {
        "terms/lint.yaml": "title: Lint\nmeans: Fibres.\nstatus: approved\n",
        "terms/fluff.yaml": "title: Fluff\nmeans: The same as [lint](term:lint), not [lint bag](term:lint-bag).\nstatus: approved\n",
        "terms/lint-bag.yaml": "title: Lint bag\nmeans: It holds it.\nstatus: approved\n",
    }
    root = sign_all(write_shop(tmp_path, files))
    assert main(["rename", "term", "lint", "dust", "--kb", str(root)]) == 0
    said = (root / "terms" / "fluff.yaml").read_text(encoding="utf-8")
    assert "[lint](term:dust), not [lint bag](term:lint-bag)." in said
    compiled = compile_folder(root)
    assert compiled.base.entries[Ref(Kind.TERM, "dust")].head.former_ids == ("lint",)
    assert compiled.problems == (), "signatures of what reads as it did go along"
    assert (root / "signed" / "terms" / "dust.txt").is_file()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("device example-hihg-limit top-limit", "did you mean `example-high-limit`?"),
        ("device example-high-limit Top", "is no id"),
        ("device example-high-limit example-thermostat", "there is a device `example-thermostat` already"),
    ],
)
def test_wrong_use_is_one_sentence(
    shop: Path, words: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    before = texts(shop)
    assert main(["rename", *words.split(), "--kb", str(shop)]) == 2
    assert says in capsys.readouterr().err
    assert texts(shop) == before


def test_what_would_bring_a_new_problem_or_take_an_old_address_is_not_renamed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = shutil.copytree(Path(__file__).resolve().parents[1] / "kb" / "good" / "routines", tmp_path / "kb")
    before = texts(shop)
    assert main(["rename", "device", "flow-switch", "paddle", "--kb", str(shop)]) == 2
    assert "procedures/trip.yaml [routine-unknown-name]" in capsys.readouterr().err
    assert texts(shop) == before
    assert main(["rename", "circuit", "string", "strip", "--kb", str(shop)]) == 0
    assert main(["rename", "circuit", "strip", "chain", "--kb", str(shop)]) == 0
    shutil.copy(shop / "circuits" / "chain.yaml", other := shop / "circuits" / "other.yaml")
    text = other.read_text(encoding="utf-8")
    other.write_text(text.replace("former_ids: [string, strip]\n", ""), encoding="utf-8")
    capsys.readouterr()
    assert main(["rename", "circuit", "other", "strip", "--kb", str(shop)]) == 2
    assert "circuit:chain was called `strip` before" in capsys.readouterr().err
