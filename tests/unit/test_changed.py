"""Which tests concern a changed file, the nearest first."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from tests.changed import Watch, concerned, distances, imported

TEXTS = {
    "kbgen/a.py": "X = 1",
    "kbgen/b/__init__.py": "from kbgen.a import X",
    "kbgen/c.py": "def f():\n    from .b import X",
    "kbgen/d.py": 'open("words.txt")',
    "tests/conftest.py": "import kbgen.c",
    "tests/unit/test_b.py": "from kbgen import b",
    "tests/unit/test_d.py": "from kbgen.d import x",
}


def test_what_is_imported_anywhere_in_a_module_is_found() -> None:
    found = {path: imported(path, text, TEXTS) for path, text in TEXTS.items()}
    assert found["kbgen/b/__init__.py"] == {"kbgen/a.py"}
    assert found["kbgen/c.py"] == {"kbgen/b/__init__.py"}
    assert found["tests/unit/test_b.py"] == {"kbgen/b/__init__.py", "tests/conftest.py"}


def test_the_way_to_the_importer_of_an_importer_is_longer() -> None:
    far = distances(["kbgen/a.py"], TEXTS)
    assert far["tests/unit/test_b.py"] == 2
    assert far["tests/unit/test_d.py"] == 4  # only by way of what pytest gives it
    assert distances(["kbgen/d.py"], TEXTS) == {"kbgen/d.py": 0, "tests/unit/test_d.py": 1}


def test_a_file_that_is_no_module_is_imported_by_whoever_names_it() -> None:
    assert distances(["kbgen/lists/words.txt"], TEXTS) == {"kbgen/d.py": 1, "tests/unit/test_d.py": 2}


@pytest.mark.parametrize(
    ("changed", "first"),
    [
        ("kbgen/store.py", "tests/unit/test_store.py"),
        ("kbgen/rules/privacy.py", "tests/unit/rules/test_privacy.py"),
        ("kbgen/serve/server.py", "tests/browser/test_serve.py"),
        ("site_overrides/assets/js/danger.js", "tests/unit/search/test_danger.py"),
        ("tests/unit/test_text.py", "tests/unit/test_text.py"),
        ("README.md", "tests/test_documents.py"),
    ],
)
def test_the_nearest_test_comes_first(changed: str, first: str) -> None:
    assert concerned([changed])[0] == first


def test_a_module_that_everybody_imports_concerns_nearly_all() -> None:
    assert len(concerned(["kbgen/ref.py"])) > 80


ENDLESS = "import time\n\ndef test_a(): pass\n\ndef test_b():\n    {}\n\ndef test_c(): pass\n"


@pytest.mark.parametrize(
    "body",
    [
        "time.sleep(60)",
        "for _ in range(6000):\n        try:\n            time.sleep(0.01)\n        except Exception:\n            pass",
    ],
)
def test_a_test_that_takes_longer_is_cut_off_and_named(tmp_path: Path, body: str) -> None:
    (tmp_path / "test_slow.py").write_text(ENDLESS.format(body), encoding="utf-8")
    watch = Watch(0, 2, 3)

    class Begun:
        def pytest_collection_finish(self) -> None:
            watch.start = time.perf_counter()  # a busy machine takes long to come so far

    assert run(tmp_path, watch, Begun()) == pytest.ExitCode.INTERRUPTED
    assert time.perf_counter() - watch.start < 45
    assert (watch.done, watch.all) == (1, 3)
    assert watch.cut.endswith("test_slow.py::test_b")


def test_no_test_is_begun_when_the_time_is_over(tmp_path: Path) -> None:
    (tmp_path / "test_one.py").write_text("def test_a(): pass\n", encoding="utf-8")
    watch = Watch(time.perf_counter() - 9, 2, 3)
    assert run(tmp_path, watch) == pytest.ExitCode.INTERRUPTED
    assert (watch.done, watch.all, watch.cut) == (0, 1, "")


def run(folder: Path, *plugins: object) -> int:
    words = ["-q", "-p", "no:cacheprovider", "--import-mode=importlib", f"--rootdir={folder}", str(folder)]
    return int(pytest.main(words, list(plugins)))
