"""Typing errors: how far apart two words are on a touch keyboard."""

from __future__ import annotations

_ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")


def letter_mask(word: str) -> int:
    """Return one bit per letter a to z of a word; a cheap lower bound for the distance."""
    mask = 0
    for letter in word:
        if "a" <= letter <= "z":
            mask |= 1 << (ord(letter) - 97)
    return mask


def _side_by_side() -> frozenset[str]:
    pairs: set[str] = set()
    for i, row in enumerate(_ROWS):
        for at, letter in enumerate(row):
            for beside in _ROWS[max(0, i - 1) : i + 2]:
                pairs.update(letter + other for other in beside[max(0, at - 1) : at + 2])
    return frozenset(pairs)


_NEIGHBOURS = _side_by_side()
FAR = 99
"""The cost of what is no typing error."""


def cost(typed: str, word: str, most: int) -> int:
    """Return the cost of mistyping ``word`` as ``typed``, or a large number.

    The optimal string alignment distance counts an inserted, missing, exchanged or transposed letter.
    An edit costs 4; a neighbouring key, a doubled letter or a transposition 3; so that the number of
    edits is ``(cost + 3) // 4`` up to two.

    Args:
        typed: What was typed.
        word: What may have been meant.
        most: Number of edits that are still looked at.
    """
    if abs(len(typed) - len(word)) > most:
        return FAR
    before: list[int] = []
    above = [4 * at for at in range(len(word) + 1)]
    for i, letter in enumerate(typed, 1):
        row = [4 * i] + [FAR] * len(word)
        for j in range(max(1, i - most), min(len(word), i + most) + 1):
            meant = word[j - 1]
            if letter == meant:
                best = above[j - 1]
            else:
                best = above[j - 1] + (3 if letter + meant in _NEIGHBOURS else 4)
            doubled = i > 1 and typed[i - 2] == letter
            best = min(best, above[j] + (3 if doubled else 4))
            single = j > 1 and word[j - 2] == meant
            best = min(best, row[j - 1] + (3 if single else 4))
            if i > 1 and j > 1 and letter == word[j - 2] and typed[i - 2] == meant:
                best = min(best, before[j - 2] + 3)
            row[j] = best
        before, above = above, row
    return above[len(word)] if above[len(word)] <= 4 * most else FAR
