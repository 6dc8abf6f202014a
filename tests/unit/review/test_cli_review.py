"""``kbgen review`` as somebody meets it: out of git, in three forms, with one sentence for wrong use."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest

from kbgen.cli import main
from tests.unit.shops import write_shop

SYMPTOM = """\
    title: Panel stays dark
    status: approved
    review: [{by: MK, on: 2026-05-04}]
    means: The panel has no supply.
    displays: [blank panel]
    look_first:
      - look: Isolator of the panel
    stop_and_call:
      - The isolator is hot
    """


def git(root: Path, *words: str) -> None:
    who = ("-c", "user.name=A", "-c", "user.email=a@example.org", "-c", "commit.gpgsign=false")
    subprocess.run(["git", *who, *words], cwd=root, check=True, capture_output=True)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A repository with a shop in a folder of it, committed once, and changed since."""
    repository = tmp_path / "repository"
    shop = write_shop(repository / "our shop", {"symptoms/dark.yaml": SYMPTOM})
    (repository / "elsewhere.txt").write_text("no matter\n", encoding="utf-8")
    git(repository, "init", "-q", "-b", "main")
    git(repository, "add", ".")
    git(repository, "commit", "-q", "-m", "first")
    edit(shop, "    stop_and_call:\n      - The isolator is hot\n", "")
    return shop


def edit(shop: Path, old: str, new: str) -> None:
    file = shop / "symptoms/dark.yaml"
    text = file.read_text(encoding="utf-8")
    old, new = (re.sub(r"^    ", "", each, flags=re.MULTILINE) for each in (old, new))
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def test_a_revision_is_read_out_of_git_and_safety_without_a_signature_ends_with_1(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", "--base", "main", "--kb", str(shop)]) == 1
    out = capsys.readouterr().out
    assert "LESS SAFE\n  Panel stays dark (symptom:dark)\n" in out
    assert "Stop and call: no longer The isolator is hot." in out
    assert "was symptoms/dark.yaml:9:5" in out
    assert "Signatures this change breaks: symptom:dark (content)." in out
    assert out.endswith("1 less safe\n")


def test_words_alone_end_with_0(shop: Path) -> None:
    git(shop.parent, "commit", "-q", "-a", "-m", "second")
    edit(shop, "The panel has no supply.", "There is no supply at the panel.")
    assert main(["review", "--base", "HEAD", "--kb", str(shop)]) == 0


def test_what_another_branch_did_since_is_no_change_of_this_one(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    git(shop.parent, "checkout", "-q", "-b", "ours")
    git(shop.parent, "commit", "-q", "-a", "-m", "our change")
    git(shop.parent, "checkout", "-q", "main")
    edit(shop, "look: Isolator of the panel", "look: Fuse of the panel")
    git(shop.parent, "commit", "-q", "-a", "-m", "their change")
    git(shop.parent, "checkout", "-q", "ours")
    assert main(["review", "--base", "main", "--kb", str(shop)]) == 1
    out = capsys.readouterr().out
    assert "held against main (where this branch left it)" in out
    assert "Fuse of the panel" not in out


def test_a_shop_that_was_not_there_is_all_new(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = write_shop(shop.parent / "other", {"symptoms/dark.yaml": SYMPTOM})
    assert main(["review", "--base", "main", "--kb", str(other)]) == 0
    out = capsys.readouterr().out
    assert "“Panel stays dark” is new" in out
    assert "Problems of the check: 0 new" not in out.replace("0 new, 0 mended", "")


def test_json_has_the_fixed_names(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["review", "--base", "main", "--kb", str(shop), "--json"])
    found = json.loads(capsys.readouterr().out)
    assert found["changed"] == ["symptom:dark"]
    assert (found["added"], found["removed"], found["renamed"]) == ([], [], [])
    (told,) = found["safety"]
    assert told["id"] == "symptom:dark"
    assert told["less_safe"] is True
    assert told["sentence"] == "Stop and call: no longer The isolator is hot."
    assert re.fullmatch(r"[0-9a-f]{12}", told["fingerprint"])
    assert told["before"] == {"path": "symptoms/dark.yaml", "line": 9, "column": 5}
    assert found["signatures"] == [{"entry": "symptom:dark", "broken_by": "content"}]
    assert found["unsigned"] == ["symptom:dark"]
    assert {each["rule"] for each in found["problems"]} == set()


def test_what_a_reviewer_has_seen_is_not_told_again(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["review", "--base", "main", "--kb", str(shop), "--json"])
    seen = tmp_path / "seen.txt"
    seen.write_text("MK: " + json.loads(capsys.readouterr().out)["safety"][0]["fingerprint"] + "\n")
    git(shop.parent, "commit", "-q", "-a", "-m", "second")
    edit(shop, "title:", "# another line\ntitle:")
    assert main(["review", "--base", "HEAD~1", "--kb", str(shop), "--seen", str(seen)]) == 0
    out = capsys.readouterr().out
    assert "The isolator is hot" not in out
    assert "Seen and approved before: 1." in out


def test_markdown_is_one_comment_that_says_how_to_find_it_again_and_calls_nobody(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edit(shop, "title: Panel stays dark", "title: Panel <b>stays</b> dark, @everybody *look*")
    assert main(["review", "--base", "main", "--kb", str(shop), "--format", "markdown"]) == 1
    out = capsys.readouterr().out
    assert out.startswith("<!-- kbgen review -->\n### What this change does: 1 less safe, 2 words\n")
    assert "#### Less safe (1)" in out
    assert "<details><summary>Show</summary>" in out
    assert "<b>" not in out
    assert "@" not in out
    assert "\\*look\\*" in out


@pytest.mark.parametrize(
    ("base", "said"),
    [
        ("no-such-branch", "there is no revision `no-such-branch` here; known branches: main;"),
        ("--output=x", "there is no revision `--output=x` here"),
    ],
)
def test_what_there_is_not_is_said_in_one_sentence(
    shop: Path, capsys: pytest.CaptureFixture[str], base: str, said: str
) -> None:
    assert main(["review", f"--base={base}", "--kb", str(shop)]) == 2
    err = capsys.readouterr().err
    assert err.startswith(f"kbgen: {said}")
    assert err.count("\n") == 1


def test_a_folder_that_is_no_repository_can_be_held_against_a_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    now, before = (write_shop(tmp_path / name, {"symptoms/dark.yaml": SYMPTOM}) for name in ("now", "before"))
    edit(now, "The isolator is hot", "The isolator is hot, or it hums")
    assert main(["review", "--base", "main", "--kb", str(now)]) == 2
    assert "is in no git repository, and there is no folder main" in capsys.readouterr().err
    files = {path: path.read_bytes() for path in before.rglob("*.yaml")}
    main(["review", "--base", str(before), "--kb", str(now)])
    assert "The isolator is hot, or it hums, was The isolator is hot" in capsys.readouterr().out
    assert {path: path.read_bytes() for path in before.rglob("*.yaml")} == files


def test_a_machine_without_git_is_told_what_to_give(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", "")
    assert main(["review", "--base", "main", "--kb", str(shop)]) == 2
    assert "git is not installed here; give a folder" in capsys.readouterr().err


def test_two_forms_at_once_and_a_missing_file_are_wrong_use(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["review", "--base", "main", "--kb", str(shop)]
    assert main([*asked, "--json", "--format", "markdown"]) == 2
    assert "two ways of writing" in capsys.readouterr().err
    assert main([*asked, "--seen", "nowhere.txt"]) == 2
    assert "there is no file nowhere.txt" in capsys.readouterr().err


WHO = """shop: Test
key: test
people:
  - {initials: MK, may: [gas, electric], up_to: 400 V, until: "2027-12-31"}
  - {initials: AB}
"""
MORE = [
    ("[gas, electric]", "[gas, electric, boiler]", "who may sign, MK, may: now boiler."),
    ("400 V", "690 V", "who may sign, MK, up to: 690 V, was 400 V."),
    ("2027-12-31", "2028-12-31", "who may sign, MK, until: 2028-12-31, was 2027-12-31."),
    ("AB}", "AB, may: [gas]}", "who may sign, AB, may: now gas."),
    (
        "  - {initials: AB}",
        "  - {initials: AB}\n  - {initials: NN, may: [gas]}",
        "who may sign: now NN, gas.",
    ),
]


@pytest.mark.parametrize(("before", "after", "says"), MORE)
@pytest.mark.parametrize("more", [True, False])
def test_who_may_sign_what_is_told_until_somebody_answers_for_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], before: str, after: str, says: str, more: bool
) -> None:
    one, other = WHO, WHO.replace(before, after)
    base, root = (
        write_shop(tmp_path / name, {"kb.yaml": text})
        for name, text in zip(("base", "head"), (one, other) if more else (other, one), strict=True)
    )
    words = ["review", "--base", str(base), "--kb", str(root)]
    assert main([*words, "--json"]) == 1
    (found,) = json.loads(capsys.readouterr().out)["safety"]
    assert found["weight"] == ("cannot be decided" if more else "safer")
    assert found["sentence"].lower() == says.lower() or not more
    assert main(words) == 1
    out = capsys.readouterr().out
    assert "whoever merges the change answers for it" in out
    (seen := tmp_path / "seen.txt").write_text(out, encoding="utf-8")
    assert main([*words, "--seen", str(seen)]) == 0
