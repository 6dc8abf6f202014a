"""Every rule has a record, a good case that it lets pass and a bad case that it finds where it stands."""

from __future__ import annotations

import pytest

from kbgen.problems import Severity
from kbgen.rules.registry import BY_NAME, RULES
from tests.unit.rules.cases import Case, all_cases, place, problems_of

CASES = all_cases()
# What a case cannot show: ten thousand states, today's date.
WITHOUT_CASE = {
    "too-many-ways",
    "review-overdue",
    "walk-overdue",
    "day-to-come",
    "signed-text-missing",
    "told-in-public",
}
# Found before there is a knowledge base to judge.
EARLIER = {"Files", "Fields", "References", "Photos"}
# Found by the typesetter; `tests/unit/guide` shows them.
LATER = {"Pocket guide"}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.rule)
def test_a_good_case_passes(case: Case) -> None:
    found = problems_of(case.good, case.procedure)
    assert [f"{p.rule} at {place(p)}: {p.message}" for p in found if p.severity is Severity.ERROR] == []
    assert [place(p) for p in found if p.rule == case.rule] == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.rule)
def test_a_bad_case_is_found_where_it_stands(case: Case) -> None:
    found = problems_of(case.bad, case.procedure)
    assert sorted(place(p) for p in found if p.rule == case.rule) == sorted(case.at)
    assert [p.rule for p in found if not p.hint.strip()] == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.rule)
def test_consequences_are_not_listed_beside_their_cause(case: Case) -> None:
    found = problems_of(case.bad, case.procedure)
    others = {p.rule for p in found if p.rule != case.rule and p.severity is Severity.ERROR}
    assert others == set(), [f"{p.rule} at {place(p)}: {p.message}" for p in found]


def test_every_rule_has_a_case() -> None:
    judged = {rule.name for rule in RULES if rule.family.title not in EARLIER | LATER}
    assert judged - {case.rule for case in CASES} == WITHOUT_CASE


def test_every_case_is_about_a_rule() -> None:
    assert {case.rule for case in CASES} <= BY_NAME.keys()
