"""What every word of a sentence weighs together, where lines of a table cannot list all that people say.

Words are known by a number of twenty bits that is made of their letters, so that a few thousand of them are shipped in
a few kilobytes; one unknown word in two hundred is taken for another.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import Any

from .bits import BitWriter

WIDTH = 20


@dataclass(frozen=True)
class Weights:
    """Quarters of the logarithm of the odds that a sentence speaks of danger.

    Attributes:
        base: Of a sentence before its first word.
        words: Of a stem, or of two side by side with ``_`` between; ``_`` stands for the sentence's ends as well.
    """

    base: int = 0
    words: dict[str, int] = field(default_factory=dict)

    def __contains__(self, stem: str) -> bool:
        return mark(stem) in self._marks

    def of(self, stems: Sequence[str]) -> int:
        """Return what a sentence weighs; a word that is said twice counts once."""
        return self.base + sum(self._marks.get(mark(each), 0) for each in said(stems))

    def shipped(self) -> dict[str, Any]:
        """Return them as plain data, for the browser: for each value how many marks, and the marks ascending."""
        values = sorted(set(self._marks.values()))
        writer = BitWriter()
        for value in values:
            marks = sorted(each for each, points in self._marks.items() if points == value)
            writer.gamma(len(marks))
            writer.between(marks, 0, (1 << WIDTH) - 1)
        return {"base": self.base, "values": values, "marks": base64.b64encode(writer.data()).decode()}

    @cached_property
    def _marks(self) -> dict[int, int]:
        return {mark(word): points for word, points in self.words.items()}


def said(stems: Sequence[str]) -> set[str]:
    """Return what is weighed of a sentence: its words, and each two side by side.

    >>> sorted(said(["gas", "bill"]))
    ['_gas', 'bill', 'bill_', 'gas', 'gas_bill']
    """
    return {*stems, *(f"{one}_{other}" for one, other in pairwise(("", *stems, "")))}


def mark(word: str) -> int:
    """Return a word's number: the first bits of its hash (Fowler, Noll and Vo, 1a) over UTF-16."""
    found = 0x811C9DC5
    for unit in _units(word):
        found = (found ^ unit) * 0x01000193 & 0xFFFFFFFF
    return found >> 32 - WIDTH


def _units(word: str) -> Iterator[int]:
    data = word.encode("utf-16-le")
    return (low | high << 8 for low, high in zip(data[::2], data[1::2], strict=True))


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
