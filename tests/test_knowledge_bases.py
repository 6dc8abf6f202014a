"""Good and bad knowledge bases on disk; adding a folder adds a test.

A good one has no problem at all. A bad one has exactly the problems of its ``expected.txt``: one line
``path:line:column rule`` for each, sorted as the check sorts them.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from kbgen.load import load
from kbgen.report import Located, locate
from kbgen.schemacheck import check
from kbgen.schemas import load_schemas

KB = Path(__file__).parent / "kb"


def folders(name: str) -> list[Path]:
    return sorted(path for path in (KB / name).iterdir() if path.is_dir())


def problems_of(root: Path) -> list[Located]:
    """Everything the check says about a knowledge base."""
    loaded = load(root)
    checked = check(loaded, load_schemas())
    return locate((*loaded.problems, *checked.problems), checked.documents)


@pytest.mark.parametrize("root", folders("good"), ids=lambda root: root.name)
def test_a_good_knowledge_base_has_no_problem(root: Path) -> None:
    assert problems_of(root) == []


@pytest.mark.parametrize("root", folders("bad"), ids=lambda root: root.name)
def test_a_bad_knowledge_base_has_the_problems_it_says(root: Path) -> None:
    found = [f"{each.path}:{each.line}:{each.column} {each.rule}" for each in problems_of(root)]
    assert found == (root / "expected.txt").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize("root", folders("bad"), ids=lambda root: root.name)
def test_every_problem_says_what_to_type(root: Path) -> None:
    for problem in problems_of(root):
        assert problem.message[0] not in " ."
        assert problem.hint[0].isupper()
        assert problem.hint[-1] in ".?"
        assert len(problem.message) < 250
