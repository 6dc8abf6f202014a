"""What a process of its own does with Typst: set one folder once, answer, and end.

Typst keeps every setting of a run and gives no memory back; a process that ends does. It is started by its path and
imports nothing of the program, so that starting it costs little. What is asked comes as JSON on standard input, and what
was found goes out as JSON; the file itself is written beside the template.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import typst


def answer(asked: dict[str, Any]) -> dict[str, Any]:
    """Set a folder and tell what is asked for (`kbgen.render.guide.typeset`)."""
    folder = Path(asked["folder"])
    # Fonts are the bundled ones, never the machine's.
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[asked["fonts"]])
    compiler = typst.Compiler(input=str(folder / asked["template"]), root=str(folder), font_paths=fonts)
    values = {name: json.loads(compiler.query(name, field="value")) for name in asked["values"]}
    most = asked["most"]
    if asked["format"] and (most is None or values["<pages>"][0] in most):
        made = compiler.compile(
            format=asked["format"], pdf_tags=bool(asked["standards"]), pdf_standards=asked["standards"]
        )
        for number, each in enumerate(made if isinstance(made, list) else [made or b""]):
            (folder / f"made-{number}").write_bytes(each)
    return values


if __name__ == "__main__":
    try:
        json.dump(answer(json.load(sys.stdin)), sys.stdout)
    except typst.TypstError as fault:
        sys.exit(str(fault))
