"""Numbers as bits, held against the same written as text."""

from __future__ import annotations

import random

from kbgen.search.bits import BitWriter


def between(values: list[int], low: int, high: int) -> str:
    """Binary interpolative coding with centred truncated binary, as its authors describe it."""
    if not values:
        return ""
    middle = len(values) // 2
    least, most = low + middle, high - (len(values) - 1 - middle)
    size = most - least + 1
    width = (size - 1).bit_length()
    spare = (1 << width) - size
    code = (values[middle] - least - (size - spare) // 2) % size
    bits = width - 1 if code < spare else width
    own = format(code if code < spare else code + spare, f"0{bits}b") if bits else ""
    return (
        own
        + between(values[:middle], low, values[middle] - 1)
        + between(values[middle + 1 :], values[middle] + 1, high)
    )


def test_bits_are_those_of_the_text_however_many_there_are() -> None:
    chance = random.Random(4)
    for count in (0, 1, 7, 8, 9, 4095, 4096, 4097, 20_000):
        writer, text = BitWriter(), ""
        while len(text) < count:
            if chance.random() < 0.5:
                number = chance.randrange(1, 3000)
                writer.gamma(number)
                text += "0" * (number.bit_length() - 1) + format(number, "b")
            else:
                high = chance.randrange(40)
                values = sorted(chance.sample(range(high + 1), chance.randint(0, high + 1)))
                writer.between(values, 0, high)
                text += between(values, 0, high)
        whole = text + "0" * (-len(text) % 8)
        wanted = bytes(int(whole[at : at + 8], 2) for at in range(0, len(whole), 8))
        assert writer.data() == wanted
