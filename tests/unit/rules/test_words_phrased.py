"""Wordings by kind on one plant of the demonstration: how many are told, and how many quiet ones alarm."""

from __future__ import annotations

from tests.mutants.ground import demonstration
from tests.mutants.phrasings import phrased
from tests.mutants.words import Case, Words

PLANT = "harnok-td"


def test_nine_of_ten_wordings_are_told_and_quiet_ones_do_not_alarm() -> None:
    words = Words(demonstration())
    wrong, right = [], []
    for each in phrased(words.site(PLANT)):
        told = bool(words.judge(Case("phrased", PLANT, each.step, [])))
        (right if each.kind == "quiet" or each.kind.endswith("right") else wrong).append(told)
    assert sum(wrong) / len(wrong) > 0.9
    assert sum(right) / len(right) < 0.03
