"""The whole knowledge base as JSON."""

from __future__ import annotations

from pathlib import Path

from kbgen.pipeline import Compiled
from kbgen.render.export import export_json
from kbgen.replace import replace_file


def write_export(compiled: Compiled, out: Path) -> None:
    """Write the whole knowledge base as JSON."""
    replace_file(out, export_json(compiled.base, compiled.edition).encode())
