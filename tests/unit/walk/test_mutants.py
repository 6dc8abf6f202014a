"""Unsafe changes of the demonstration procedures are refused, harmless ones are not.

The whole run is in ``tests/bench/mutants.py``; here are its figures as limits.
"""

from __future__ import annotations

import pytest

from tests.mutants import dangers, harmless
from tests.mutants.ground import Ground, demonstration
from tests.mutants.run import tally


@pytest.fixture(scope="module")
def ground() -> Ground:
    # The kinds were made on this plant's procedures. On those of the other families some changes are
    # not unsafe by construction, or are missed: the results of the bench list them.
    return demonstration("ondrel-sb")


def test_the_demonstration_procedures_are_accepted_as_they_are(ground: Ground) -> None:
    broken = {draft.name: sorted(ground.rules_broken(draft)) for draft in ground.drafts()}
    assert {name: rules for name, rules in broken.items() if rules} == {}


def test_unsafe_changes_are_refused(ground: Ground) -> None:
    found = tally(ground, dangers.KINDS, unsafe=True)
    made, refused = sum(each.made for each in found), sum(each.refused for each in found)
    missed = [f"{each.kind}: {odd}" for each in found for odd in each.odd]
    assert made >= 400
    assert sum(each.made > 0 for each in found) >= 25
    assert refused / made >= 0.99, missed


def test_harmless_changes_pass(ground: Ground) -> None:
    found = tally(ground, harmless.KINDS, unsafe=False)
    assert sum(each.made for each in found) >= 200
    assert [f"{each.kind}: {odd}" for each in found for odd in each.odd] == []


def test_every_kind_says_why(ground: Ground) -> None:
    for kind in (*dangers.KINDS, *harmless.KINDS):
        assert kind.why.endswith("."), kind.name
