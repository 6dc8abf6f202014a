"""Every spelling of a word, code or quantity becomes the same atoms; shared with the browser's tests."""

from __future__ import annotations

import pytest

from kbgen.search.normalise import atoms, fold
from tests.samples.search_data import read

TABLE = read("normalise")


@pytest.mark.parametrize(("text", "folded"), TABLE["fold"])
def test_folds_case_accents_apostrophes_and_signs(text: str, folded: str) -> None:
    assert fold(text) == folded


@pytest.mark.parametrize(("text", "expected"), TABLE["atoms"])
def test_splits_into_words_and_numbers_and_keeps_what_touches(text: str, expected: list[str]) -> None:
    assert ["~" * atom.touches + atom.text for atom in atoms(text)] == expected
