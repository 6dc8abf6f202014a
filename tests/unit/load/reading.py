"""Shared by the tests of reading: one file in, data and faults out."""

from __future__ import annotations

from typing import Any

from kbgen.load import Document, read
from kbgen.load.discover import File
from kbgen.problems import Problem
from kbgen.ref import Kind

FILE = File("devices/gv-1.yaml", Kind.DEVICE, "gv-1")


def read_text(text: str | bytes) -> tuple[Document, list[Problem]]:
    """Read one device."""
    return read(FILE, text if isinstance(text, bytes) else text.encode())


def data_of(text: str | bytes) -> dict[str, Any]:
    """The data of a file that must have no fault."""
    document, problems = read_text(text)
    assert problems == []
    return document.data


def faults_of(text: str | bytes) -> list[str]:
    """Faults as ``line:column rule``, sorted by place."""
    document, problems = read_text(text)
    places = [(document.source.resolve(problem.place), problem.rule) for problem in problems]
    return [f"{position.line}:{position.column} {rule}" for position, rule in sorted(places)]


def sentence_of(text: str | bytes) -> str:
    """Message and hint of the only fault."""
    _, [problem] = read_text(text)
    return f"{problem.message}; {problem.hint}"
