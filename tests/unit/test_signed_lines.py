"""Who signs a page reads its cautions, and what is right to see, where a technician meets them."""

from __future__ import annotations

from pathlib import Path

from kbgen.pipeline import compile_folder
from kbgen.ref import Kind, Ref
from kbgen.rewrite.sign import read_entry

SHOP = Path(__file__).resolve().parents[1] / "kb" / "good" / "routines"


def test_the_signed_text_has_the_cautions_of_a_step_and_what_is_right() -> None:
    compiled = compile_folder(SHOP)
    lines = read_entry(compiled, Ref(Kind.PROCEDURE, "find"), "MK").now
    opened = lines.index("- Open the front panel.")
    assert lines[opened - 1].startswith("WARNING: The strip is live.")
    assert any(line.startswith("- ") and " Right: " in line for line in lines)
