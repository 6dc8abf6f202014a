"""Small knowledge bases for tests, written as YAML into a folder."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from textwrap import dedent

import pytest

from kbgen.compute import signing
from kbgen.compute.signing import person_of
from kbgen.model.head import Head, Signature, Standing, State
from kbgen.pipeline import Compiled, compile_folder
from kbgen.problems import Severity
from kbgen.report import Located, locate
from kbgen.rewrite.sign import read_entry, sign, unsigned

SETTINGS = "shop: Test shop\nkey: test\n"
PEOPLE = "people: [{initials: MK, may: [gas, electric, boiler, first-aid], up_to: 690 V}, {initials: AB}]\n"
"""Who may sign."""


def write_shop(root: Path, files: Mapping[str, str]) -> Path:
    """Write a knowledge base; ``kb.yaml`` is added where it is not given."""
    for path, text in {"kb.yaml": SETTINGS + PEOPLE, **files}.items():
        file = root / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(dedent(text), encoding="utf-8")
    return root


def sign_all(root: Path, by: str = "MK", on: str = "2026-05-04") -> Path:
    """Sign every approved entry of a knowledge base as it is, and return its folder."""
    found = compile_folder(root)
    person = person_of(found.base.shop, by)
    assert person is not None
    for reading in [read_entry(found, ref, by) for ref in unsigned(found)]:
        sign(found, reading, person, on)
    return root


@contextmanager
def as_signed() -> Iterator[None]:
    """Take every approved entry as signed: for tests that ask what is published, and not who may."""

    def standing(_: object, head: Head, __: str) -> Standing:
        last = head.review[-1] if head.review else Signature("", "")
        signed = Standing(State.SIGNED, last.by, last.on, head.review)
        return signed if head.status == "approved" else Standing()

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(signing, "standing", standing)
        patch.setattr(signing, "missing", lambda _, __: ())
        yield


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
