"""What every word of a sentence weighs together, where lines of a table cannot list all that people say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any


@dataclass(frozen=True, slots=True)
class Weights:
    """Tenths of the logarithm of the odds that a sentence speaks of danger.

    Attributes:
        base: Of a sentence before its first word.
        words: Of a stem, or of two side by side with ``_`` between.
    """

    base: int = 0
    words: dict[str, int] = field(default_factory=dict)

    def of(self, stems: Sequence[str]) -> int:
        """Return what a sentence weighs; a word that is said twice counts once."""
        said = {*stems, *(f"{one}_{other}" for one, other in pairwise(stems))}
        return self.base + sum(self.words.get(each, 0) for each in said)

    def shipped(self) -> dict[str, Any]:
        """Return them as plain data, for the browser: the words under what they weigh."""
        lines: dict[int, list[str]] = {}
        for each in sorted(self.words):
            lines.setdefault(self.words[each], []).append(each)
        return {"base": self.base, "words": [[value, " ".join(lines[value])] for value in sorted(lines)]}


def read_weights(path: Path) -> Weights:
    """Read weights; lines with # are remarks."""
    base = 0
    words: dict[str, int] = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        head, _, rest = line.partition(" | ")
        if head == "base":
            base = int(rest)
        elif rest and not line.startswith("#"):
            words.update(dict.fromkeys(rest.split(), int(head)))
    return Weights(base, words)
