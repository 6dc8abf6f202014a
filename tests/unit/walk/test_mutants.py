"""Unsafe changes of the demonstration procedures are refused, harmless ones are not.

Every kind is made on every family of plant. All changes there are: ``tests/bench/mutants.py``.
"""

from __future__ import annotations

import pytest

from kbgen.pipeline import Compiled
from tests.mutants import dangers, harmless
from tests.mutants.ground import Ground
from tests.mutants.run import tally


@pytest.fixture(scope="module")
def ground(demonstration: Compiled) -> Ground:
    return Ground(demonstration.base, demonstration.schemas)


def test_the_demonstration_procedures_are_accepted_as_they_are(ground: Ground) -> None:
    broken = {draft.name: sorted(ground.rules_broken(draft)) for draft in ground.drafts}
    assert {name: rules for name, rules in broken.items() if rules} == {}


def test_unsafe_changes_are_refused_on_every_plant(ground: Ground) -> None:
    found = tally(ground, dangers.KINDS, unsafe=True, for_each_plant=2)
    made, refused = sum(each.made for each in found), sum(each.refused for each in found)
    missed = [f"{each.kind}: {odd}" for each in found for odd in each.odd]
    assert made >= 400
    assert [each.kind for each in found if not each.made] == []
    assert refused / made >= 0.99, missed


def test_harmless_changes_pass_on_every_plant(ground: Ground) -> None:
    found = tally(ground, harmless.KINDS, unsafe=False, for_each_plant=5)
    assert sum(each.made for each in found) >= 200
    assert [f"{each.kind}: {odd}" for each in found for odd in each.odd] == []


def test_every_kind_says_why(ground: Ground) -> None:
    for kind in (*dangers.KINDS, *harmless.KINDS):
        assert kind.why.endswith("."), kind.name


def test_a_mutant_is_never_refused_only_for_a_name_its_plant_does_not_have(ground: Ground) -> None:
    """Such a mutant would be caught whatever it does; only kinds about another plant's names are."""
    about_names = {
        "terminals of another plant",
        "reading in another plant",
        "misspelt name",
        "name of another plant",
    }
    alone = []
    for kind in dangers.KINDS:
        if kind.name in about_names:
            continue
        for draft in ground.drafts:
            changed = next(kind.make(ground.site(draft), draft), None)
            # Where every name is there, whatever refuses it is another rule: only the others are walked.
            if changed and ground.names_what_is_not_there(changed):
                alone += [(kind.name, draft.name)] * (ground.rules_broken(changed) == {"unknown-name"})
    assert alone == []
