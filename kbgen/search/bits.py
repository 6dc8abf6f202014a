"""Packing postings: binary interpolative coding of entries, and of those whose level is not the usual one.

A sorted list of numbers in a known range is written middle first; what is left and right of it then
lies in a smaller range, so that dense and clustered lists take a fraction of a bit an entry; the middle
one of a list lies most likely in the middle of its range, which is why the shorter codes are there
(Moffat and Stuiver 2000).
"""

from __future__ import annotations

from collections.abc import Sequence

GROUP = 8
"""Terms whose postings begin on a byte together; a reader unpacks a group at a time."""


class BitWriter:
    """Collects bits, most significant first."""

    def __init__(self) -> None:
        self._bits: list[str] = []

    def bits(self, value: int, count: int) -> None:
        """Write ``count`` bits of a number."""
        if count:
            self._bits.append(format(value, f"0{count}b"))

    def below(self, value: int, size: int, *, centred: bool = False) -> None:
        """Write a number that is known to be below ``size`` (truncated binary).

        The few shorter codes go to the least numbers or, ``centred``, to those in the middle.
        """
        width = (size - 1).bit_length()
        spare = (1 << width) - size
        if centred:
            value = (value - (size - spare) // 2) % size
        if value < spare:
            self.bits(value, width - 1)
        else:
            self.bits(value + spare, width)

    def gamma(self, value: int) -> None:
        """Write a positive number of unknown size (Elias gamma)."""
        width = value.bit_length()
        self.bits(value, 2 * width - 1)

    def between(self, values: Sequence[int], low: int, high: int) -> None:
        """Write ascending numbers that lie from ``low`` to ``high``."""
        if not values:
            return
        middle = len(values) // 2
        value = values[middle]
        least = low + middle
        most = high - (len(values) - 1 - middle)
        self.below(value - least, most - least + 1, centred=True)
        self.between(values[:middle], low, value - 1)
        self.between(values[middle + 1 :], value + 1, high)

    def data(self) -> bytes:
        """Return all bits, filled to a whole byte."""
        text = "".join(self._bits)
        text += "0" * (-len(text) % 8)
        return int(text, 2).to_bytes(len(text) // 8, "big") if text else b""


def pack(
    postings: Sequence[Sequence[tuple[int, int]]], entries: int, order: Sequence[int]
) -> tuple[bytes, bytes]:
    """Pack postings.

    Args:
        postings: For each term (entry, level) ascending.
        entries: Number of entries of the index.
        order: Levels, most frequent first. What has the first is not written; any other level is written
            as its place here in unary.

    Returns:
        Of each group its length in bytes plus one and its terms' frequencies; and the groups.
    """
    heads = BitWriter()
    groups = []
    for start in range(0, len(postings), GROUP):
        body = BitWriter()
        rows = postings[start : start + GROUP]
        for row in rows:
            body.between([entry for entry, _ in row], 0, entries - 1)
            others = [at for at, (_, level) in enumerate(row) if level != order[0]]
            body.below(len(others), len(row) + 1)
            body.between(others, 0, len(row) - 1)
            for at in others:
                place = order.index(row[at][1])
                body.bits((1 << place) - 2, place)
        groups.append(body.data())
        for number in (len(groups[-1]) + 1, *map(len, rows)):
            heads.gamma(number)
    return heads.data(), b"".join(groups)
