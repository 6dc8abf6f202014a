"""How much the demonstration holds; run with ``-s`` to see the counts."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from kbgen.pipeline import compile_folder
from kbgen.ref import Kind

ROOT = Path(__file__).resolve().parent.parent
LEAST = {
    Kind.EQUIPMENT: 4,
    Kind.CIRCUIT: 6,
    Kind.DEVICE: 32,
    Kind.SYMPTOM: 48,
    Kind.PROCEDURE: 30,
    Kind.CAUTION: 24,
    Kind.TERM: 90,
    Kind.FIELD_NOTE: 120,
}
LEAST_PICTURES = 8


def test_the_demonstration_is_in_order_and_complete() -> None:
    compiled = compile_folder(ROOT / "kb_source")
    counts = Counter(ref.kind for ref in compiled.base.entries)
    for kind, least in LEAST.items():
        print(f"{kind.plural}: {counts[kind]} (at least {least})")
    print(f"Pictures: {len(compiled.base.photos)} (at least {LEAST_PICTURES})")
    assert compiled.problems == ()
    assert compiled.suppressed == 0
    assert all(counts[kind] >= least for kind, least in LEAST.items())
    assert len(compiled.base.photos) >= LEAST_PICTURES
