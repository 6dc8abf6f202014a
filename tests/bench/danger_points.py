"""What each word weighs in the question whether somebody speaks of danger, learnt from labelled sentences.

``make danger-points`` writes ``kbgen/search/danger_points_en.txt`` anew from ``tests/data/search/danger.tsv``; the same
sentences give the same file. A logistic regression with a first-degree penalty (Tibshirani 1996), in the adaptive
steps of Duchi and others (2011).
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path

from kbgen.search import danger
from kbgen.search.danger_table import HARMLESS
from kbgen.search.languages import LANGUAGES
from kbgen.search.normalise import atoms
from kbgen.search.stem import stem

LANGUAGE = LANGUAGES["en"]
SENTENCES = Path(__file__).parents[1] / "data" / "search" / "danger.tsv"
POINTS = Path(danger.__file__).with_name("danger_points_en.txt")
PENALTY, RATE, EPOCHS = 0.02, 0.3, 40
LEAST = 4
"""Tenths; what weighs less is left out."""
_OFTEN = 10
"""Two words side by side weigh something of their own when they stand in so many sentences."""

HEAD = """\
# What a word weighs in the question whether a sentence speaks of danger, in tenths; below nothing: harmless words.
# Two words with _ between them stand side by side. Written by `make danger-points` from tests/data/search/danger.tsv:
# change the sentences there and not these lines.
"""

Labelled = list[tuple[bool, list[str]]]


def sentences() -> Labelled:
    """Return each labelled sentence as stems, and each example of the table."""
    rows = [line.split("\t") for line in SENTENCES.read_text(encoding="utf-8").splitlines()]
    said = [(label == "danger", text) for label, text in rows]
    said += [(row.kind != HARMLESS, row.example) for row in LANGUAGE.danger.rows]
    return [(label, [stem(atom.text, LANGUAGE) for atom in atoms(text)]) for label, text in said]


def learn(rows: Labelled) -> tuple[int, dict[str, int]]:
    """Return what is weighed before the first word, and what each word or pair weighs, in tenths."""
    often = Counter(pair for _, stems in rows for pair in set(_pairs(stems)))
    rows = [
        (label, sorted({*s, *(pair for pair in _pairs(s) if often[pair] >= _OFTEN)})) for label, s in rows
    ]
    weights: dict[str, float] = {}
    squares: dict[str, float] = {}
    draw = random.Random(17)
    sums: dict[str, float] = {}
    for epoch in range(EPOCHS):
        draw.shuffle(rows)
        for label, said in rows:
            sign = 1 if label else -1
            score = weights.get("", 0.0) + sum(weights.get(each, 0.0) for each in said)
            slope = -sign / (1 + math.exp(min(30.0, sign * score)))
            for each in ("", *said):
                squares[each] = squares.get(each, 1e-6) + slope * slope
                step = RATE / math.sqrt(squares[each])
                moved = weights.get(each, 0.0) - step * slope
                kept = max(0.0, abs(moved) - (step * PENALTY if each else 0.0))
                weights[each] = math.copysign(kept, moved)
        if epoch >= EPOCHS // 2:
            sums = {each: sums.get(each, 0.0) + weight for each, weight in weights.items()}
    tenths = {each: round(10 * total / (EPOCHS - EPOCHS // 2)) for each, total in sums.items()}
    return tenths.pop(""), {each: points for each, points in tenths.items() if abs(points) >= LEAST}


def _pairs(stems: Sequence[str]) -> Iterator[str]:
    return (f"{one}_{other}" for one, other in pairwise(stems))


def main() -> None:
    """Write the file."""
    base, points = learn(sentences())
    lines: dict[int, list[str]] = {}
    for each in sorted(points):
        lines.setdefault(points[each], []).append(each)
    body = [f"{value} | {' '.join(lines[value])}" for value in sorted(lines, reverse=True)]
    POINTS.write_text(HEAD + f"\nbase | {base}\n" + "\n".join(body) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
