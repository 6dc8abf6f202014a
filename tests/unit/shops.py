"""Small knowledge bases for tests, written as YAML into a folder."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from textwrap import dedent

from kbgen.pipeline import Compiled, compile_folder
from kbgen.problems import Severity
from kbgen.report import Located, locate

SETTINGS = "shop: Test shop\nkey: test\n"


def write_shop(root: Path, files: Mapping[str, str]) -> Path:
    """Write a knowledge base; ``kb.yaml`` is added where it is not given."""
    for path, text in {"kb.yaml": SETTINGS, **files}.items():
        file = root / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(dedent(text), encoding="utf-8")
    return root


def compiled(root: Path, files: Mapping[str, str]) -> Compiled:
    """Write and compile a knowledge base."""
    return compile_folder(write_shop(root, files))


def problems(root: Path, files: Mapping[str, str]) -> list[Located]:
    """Write a knowledge base and return its errors, located and sorted.

    Warnings of coverage are left out: no small example covers everything.
    """
    found = compiled(root, files)
    located = locate(found.problems, found.documents)
    return [each for each in located if each.severity is Severity.ERROR]


def places(found: list[Located]) -> list[str]:
    """Return problems as ``path:line:column rule``."""
    return [f"{each.path}:{each.line}:{each.column} {each.rule}" for each in found]
