"""No damaged file may break, hang or blind the check; ``make bench`` does the same with 20,000 files."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from kbgen.pipeline import compile_folder
from kbgen.problems import MOST_OF_A_FILE
from tests.bench.damage import KINDS
from tests.bench.fuzz_bench import in_another_process
from tests.unit.shops import write_shop


def test_damaged_files_never_break_hang_or_blind_the_check() -> None:
    found = in_another_process(80, seed=7)
    assert found["faults"] == []
    assert found["inputs"] >= 80


@pytest.mark.parametrize("kind", [name for name, kind in KINDS.items() if kind.bad])
def test_what_cannot_be_in_order_has_an_error(kind: str, tmp_path: Path) -> None:
    good = "title: Jumper\nmeans: A wire across a contact.\nstatus: draft\naliases: [link]\n"
    root = write_shop(tmp_path, {})
    (root / "terms").mkdir()
    (root / "terms/jumper.yaml").write_bytes(KINDS[kind].make(good, random.Random(1)))
    compiled = compile_folder(root)
    assert {problem.place.path for problem in compiled.problems if problem.severity == "error"} == {
        "terms/jumper.yaml"
    }


def test_a_pipe_is_refused_and_not_read_without_end(tmp_path: Path) -> None:
    root = write_shop(tmp_path, {"terms/a.yaml": "title: A\nmeans: B\nstatus: draft\n"})
    for path in ("terms/b.yaml", "photos/c.png"):
        (root / path).parent.mkdir(exist_ok=True)
        os.mkfifo(root / path)
    found = [(problem.place.path, problem.rule) for problem in compile_folder(root).problems]
    assert sorted(found) == [("photos/c.png", "unreadable-file"), ("terms/b.yaml", "unreadable-file")]


@pytest.mark.parametrize("line", ["a: 1\n", "x{}: 1\n"])
def test_a_spreadsheet_saved_as_an_entry_is_told_in_short(line: str, tmp_path: Path) -> None:
    text = "title: A\nmeans: B\n" + "".join(line.format(number) for number in range(1000))
    problems = compile_folder(write_shop(tmp_path, {"terms/a.yaml": text})).problems
    assert MOST_OF_A_FILE <= len(problems) <= MOST_OF_A_FILE + 1
    assert any("more problems; mend these first." in problem.hint for problem in problems)
