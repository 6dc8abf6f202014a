"""What is typed anew from the tree of a long text is read as the same tree."""

from __future__ import annotations

import pytest

from kbgen.text import read
from kbgen.text.typed import typed


@pytest.mark.parametrize(
    "source",
    [
        "1. CO detector on. **Alarm: leave.**\n2. Look at the lever `Y1`.",
        "Look at\n\n- the *gauge*, 12 in wc at most\n- the [air switch](device:sb-combustion-air)\n\nTouch nothing.",
        "24*2*3 stays, and so do [these] and a \\`tick\\`.",
        "One line \\\nand the next.",
        "- outer\n\n  - inner\n\n- last",
        "3. third\n4. fourth",
    ],
)
def test_a_text_comes_back_as_it_was(source: str) -> None:
    assert read(typed(read(source))) == read(source)
