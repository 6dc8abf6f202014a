"""Packing postings: binary interpolative coding of entries, and of those whose level is not the usual one.

A sorted list of numbers in a known range is written middle first; what is left and right of it then
lies in a smaller range, so that dense and clustered lists take a fraction of a bit an entry; the middle
one of a list lies most likely in the middle of its range, which is why the shorter codes are there
(Moffat and Stuiver 2000).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

GROUP = 8
"""Terms whose postings begin on a byte together; a reader unpacks a group at a time."""


_LONG = 1 << 4096


class BitWriter:
    """Collects bits, most significant first."""

    def __init__(self) -> None:
        self._done = bytearray()
        # What is not yet among the whole bytes, behind a one that keeps the noughts before it.
        self._last = 1

    def bits(self, value: int, count: int) -> None:
        """Write ``count`` bits of a number."""
        self._last = self._last << count | value
        if self._last > _LONG:
            self._put()

    def below(self, value: int, size: int) -> None:
        """Write a number that is known to be below ``size`` (truncated binary).

        The few shorter codes go to the least numbers.
        """
        width, spare, _ = _widths(size)
        if value < spare:
            self.bits(value, width - 1)
        else:
            self.bits(value + spare, width)

    def gamma(self, value: int) -> None:
        """Write a positive number of unknown size (Elias gamma)."""
        width = value.bit_length()
        self.bits(value, 2 * width - 1)

    def between(self, values: Sequence[int], low: int, high: int) -> None:
        """Write ascending numbers that lie from ``low`` to ``high``; the shorter codes go to the middle."""
        count = len(values)
        if not count:
            return
        middle = count // 2
        value = values[middle]
        size = high - low - count + 2
        width, spare, first = _widths(size)
        code = (value - low - middle - first) % size
        if code < spare:
            self._last = self._last << (width - 1) | code
        else:
            self._last = self._last << width | code + spare
        if count > 1:
            self.between(values[:middle], low, value - 1)
            self.between(values[middle + 1 :], value + 1, high)

    def _put(self) -> None:
        """Put whole bytes away: every bit that is written moves all that are not."""
        whole, left = divmod(self._last.bit_length() - 1, 8)
        rest = self._last & ((1 << left) - 1)
        self._done += ((self._last >> left) ^ (1 << (8 * whole))).to_bytes(whole, "big")
        self._last = 1 << left | rest

    def data(self) -> bytes:
        """Return all bits, filled to a whole byte."""
        self._last <<= -(self._last.bit_length() - 1) % 8
        self._put()
        return bytes(self._done)


@cache
def _widths(size: int) -> tuple[int, int, int]:
    """Return for numbers below a size the bits of most, how many need one less, and where the middle of these begins."""
    width = (size - 1).bit_length()
    spare = (1 << width) - size
    return width, spare, (size - spare) // 2


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
