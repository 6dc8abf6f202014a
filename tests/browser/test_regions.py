"""Pages of a plant speak as people do where it stands; the search knows the words of every region."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from kbgen.model.wording import BRITISH_ISLES, NORTH_AMERICA, SAID
from kbgen.pipeline import Compiled
from kbgen.render.searchable import synonyms

NOT_THERE = {
    "ondrel-sb": rf"{'|'.join(SAID[NORTH_AMERICA])}|grey|louvres?|analyser|licences?|torch|shut-off valves?",
    "harnok-td": "disconnects?|grounding|gray|louvers?|analyzer|licenses?|flashlight|GFCI",
}
"""Words that no page of the plant may say of itself."""
_UNSEEN = re.compile(r"<(script|style|svg|nav|header|footer)\b.*?</\1>", re.DOTALL)


@pytest.mark.parametrize("plant", NOT_THERE)
def test_pages_of_a_plant_say_the_words_of_its_region(
    plant: str, built: Callable[[str], Path], demonstration: Compiled
) -> None:
    site, base = built("kb_source"), demonstration.base
    wrong = re.compile(rf"(?<![-\w:/])(?:{NOT_THERE[plant]})(?![-\w])", re.IGNORECASE)
    pages = [entry for entry in base.entries.values() if entry.plants == (plant,)]
    found = {}
    for entry in pages:
        page = (site / entry.ref.kind.folder / f"{entry.ref.id}.html").read_text(encoding="utf-8")
        text = html.unescape(re.sub(r"<[^>]+>", " ", _UNSEEN.sub(" ", page)))
        said = " ".join(text.split())
        for typed in sorted(entry.head.aliases, key=len, reverse=True):
            said = said.replace(typed, " ")
        if words := wrong.findall(said):
            found[str(entry.ref)] = words
    assert len(pages) > 40
    assert found == {}


def test_the_search_takes_the_words_of_one_region_for_those_of_another(demonstration: Compiled) -> None:
    groups = [{word.lower() for word in group} for group in synonyms(demonstration.base)]
    for one, other in (("disconnect", "isolator"), ("ground", "earth"), ("firing valve", "firing cock")):
        assert any({one, other} <= group for group in groups), one
    assert {NORTH_AMERICA, BRITISH_ISLES} == {
        each.region
        for entry in demonstration.base.entries.values()
        for each in getattr(entry.record, "words", ())
    }
