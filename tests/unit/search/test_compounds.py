"""What means something only together is read in texts and queries alike."""

from __future__ import annotations

import pytest

from kbgen.ref import Kind
from kbgen.search import SearchDocument, build_index
from kbgen.search.compounds import compounds, shown
from kbgen.search.english import ENGLISH
from kbgen.search.normalise import atoms
from tests.samples.search_data import titled


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("lamp 3s 1l", "3_1"),
        ("the lamp 1l 3s at night", "3_1"),
        ("lamp too short three long", "2_3"),
        ("for long", None),
        ("waits 3 s, then 1 l flows", None),
        ("lamp 3s", None),
    ],
)
def test_flash_counts_in_short_and_as_a_phone_hears_them(text: str, count: str | None) -> None:
    found = [compound.term for compound in compounds(atoms(text), ENGLISH) if "_" in compound.term]
    assert found == ([] if count is None else [count])


@pytest.mark.parametrize(
    ("text", "terms"),
    [
        ("it says see", ["see", "c"]),
        ("it says see manual", ["see"]),
        ("it shows a small b", ["b"]),
        ("the letter echo", ["echo", "e"]),
        ("see the letter", []),
    ],
)
def test_what_somebody_says_is_shown(text: str, terms: list[str]) -> None:
    assert [compound.term for compound in shown(atoms(text), ENGLISH)] == terms


def test_the_sign_of_a_unit_is_no_word_and_its_quantity_is() -> None:
    index = titled("Stops at 70 °C and 24 V")
    assert [index.find(term) is not None for term in ("c", "v", "70c", "24v", "70")] == [
        False,
        False,
        True,
        True,
        True,
    ]
    shows = build_index([SearchDocument(Kind.SYMPTOM, "a", "Letter C", "symptoms/a.html", codes=("C",))])
    assert shows.find("c") is not None


def test_forms_of_a_word_that_no_stemmer_joins_find_each_other() -> None:
    index = titled("Heat held", "Replace the fuse")
    for query, wanted, why in (
        ("heat hold", "a", "hold = held"),
        ("change fuse", "b", "change = replace"),
    ):
        first = index.query(query).results[0]
        assert (first.id, first.why) == (wanted, why)
