"""What the command line settles before anything else is imported."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = """
import os, sys
from kbgen.cli import main
assert "numpy" not in sys.modules, "it reads the number of threads when it is imported"
main(["explain", "alteration-left"])
print(os.environ["OPENBLAS_NUM_THREADS"])
"""


@pytest.mark.parametrize(("own", "used"), [(None, "1"), ("4", "4")])
def test_circuits_are_worked_out_on_one_thread_unless_somebody_says_otherwise(
    own: str | None, used: str
) -> None:
    environment = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    if own is not None:
        environment["OPENBLAS_NUM_THREADS"] = own
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT], env=environment, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == used


LARGE = "PIL jinja2 jsonschema markdown_it mkdocs numpy typst watchdog whoosh xml yaml"
LOADED = """
import sys
from kbgen.cli import main
assert main(sys.argv[2:]) == 0
print(*sorted(set(sys.argv[1].split()) & set(sys.modules)))
"""
SHOP = Path(__file__).parents[1] / "kb" / "good" / "hands"


@pytest.mark.parametrize(
    "words",
    ["check", "build --out OUT", "search limits not made", "walk change-the-vane"],
)
def test_where_nothing_changed_no_large_library_is_loaded(words: str, tmp_path: Path) -> None:
    typed = [*words.replace("OUT", str(tmp_path / "site")).split(), "--kb", str(SHOP)]
    environment = {**os.environ, "XDG_CACHE_HOME": str(tmp_path / "cache")}

    def loaded() -> str:
        command = [sys.executable, "-c", LOADED, LARGE, *typed]
        done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
        return done.stdout.splitlines()[-1]

    assert "yaml" in loaded()
    assert loaded() == ""
