"""What each word weighs in the question whether somebody speaks of danger, learnt from labelled sentences.

``make danger-points`` writes ``kbgen/search/danger_points_en.txt`` anew from ``tests/data/search/danger.tsv`` and what
is typed in Spanish; the same sentences give the same file. A logistic regression with a normal prior, one word after the other within a region of
trust (Genkin, Lewis and Madigan 2007); what a line of the table weighs is given, so that words say what it does not.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection
from dataclasses import replace
from pathlib import Path

from kbgen.search import danger
from kbgen.search.danger_table import HARMLESS
from kbgen.search.languages import LANGUAGES
from kbgen.search.normalise import atoms
from kbgen.search.stem import stem
from kbgen.search.weights import Weights, said

LANGUAGE = LANGUAGES["en"]
DATA = Path(__file__).parents[1] / "data" / "search"
SENTENCES = (DATA / "danger.tsv", DATA / "danger-es.tsv")
"""Who is in fear types in his own language, whatever the shop's is."""
POINTS = Path(danger.__file__).with_name("danger_points_en.txt")
VARIANCE = 4.0
"""Of the prior of a weight."""
SWEEPS = 20
LEAST_KEPT = 2
"""Quarters: what weighs less when all words are learnt is not shipped; RESULTS says what each step costs."""
_OFTEN = 2
"""Two words side by side weigh something of their own when they stand in so many sentences."""

HEAD = """\
# What a word weighs in the question whether a sentence speaks of danger, in quarters of the
# logarithm of the odds; below nothing: harmless words.
# Two words with _ between them stand side by side; _ alone is the beginning or the end. Written by `make danger-points`
# from tests/data/search/danger.tsv and danger-es.tsv: change the sentences there and not these lines.
"""

Labelled = list[tuple[bool, bool, list[str]]]


def sentences() -> Labelled:
    """Return of each labelled sentence, and of each example of the table: whether it is danger, whether a line says so, its stems."""
    rows = [line.split("\t") for file in SENTENCES for line in file.read_text(encoding="utf-8").splitlines()]
    texts = [(label == "danger", text) for label, text in rows]
    texts += [(row.kind != HARMLESS, row.example) for row in LANGUAGE.danger.rows]
    by_line = danger.Danger(replace(LANGUAGE.danger, weights=Weights()), _stem, lambda _: False)
    words = [[atom.text for atom in atoms(text)] for _, text in texts]
    return [
        (label, by_line.kind(each) is not None, list(map(_stem, each)))
        for (label, _), each in zip(texts, words, strict=True)
    ]


def learn(rows: Labelled, among: Collection[str] | None = None) -> tuple[int, dict[str, int]]:
    """Return what is weighed before the first word, and what each word or pair weighs, in quarters.

    Args:
        among: The only words and pairs that may weigh something; None for all.
    """
    often = Counter(each for _, _, stems in rows for each in said(stems))
    signs = [1 if label else -1 for label, _, _ in rows]
    # How far each sentence is on its right side.
    margins = [sign * danger.LINE / 4 * line for sign, (_, line, _) in zip(signs, rows, strict=True)]
    where: dict[str, list[int]] = {"": list(range(len(rows)))}
    for at, (_, _, stems) in enumerate(rows):
        for each in sorted(said(stems)):
            if (each in among) if among is not None else ("_" not in each or often[each] >= _OFTEN):
                where.setdefault(each, []).append(at)
    weights = dict.fromkeys(where, 0.0)
    reach = dict.fromkeys(where, 1.0)
    for _ in range(SWEEPS):
        for each, places in where.items():
            trust = reach[each]
            slope, bend = (-weights[each] / VARIANCE, 1 / VARIANCE) if each else (0.0, 1e-9)
            for at in places:
                margin = max(-30.0, min(30.0, margins[at]))
                slope += signs[at] / (1 + math.exp(margin))
                beyond = abs(margin) - trust
                bend += 0.25 if beyond <= 0 else 1 / (2 + math.exp(beyond) + math.exp(-beyond))
            step = max(-trust, min(trust, slope / bend))
            for at in places:
                margins[at] += signs[at] * step
            weights[each] += step
            reach[each] = max(2 * abs(step), trust / 2)
    base = round(4 * weights.pop(""))
    # What is less than a quarter says nothing.
    return base, {each: round(4 * weight) for each, weight in weights.items() if abs(weight) >= 0.25}


def _stem(word: str) -> str:
    return stem(word, LANGUAGE)


def main() -> None:
    """Write the file."""
    rows = sentences()
    _, first = learn(rows)
    # Whoever says little is let go, and the others learn to say it.
    base, points = learn(rows, {each for each, weight in first.items() if abs(weight) >= LEAST_KEPT})
    lines: dict[int, list[str]] = {}
    for each in sorted(points):
        lines.setdefault(points[each], []).append(each)
    body = [f"{value} | {' '.join(lines[value])}" for value in sorted(lines, reverse=True)]
    POINTS.write_text(HEAD + f"\nbase | {base}\n" + "\n".join(body) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
