"""Every rule has a record, a good case that it lets pass and a bad case that it finds where it stands."""

from __future__ import annotations

import pytest

from kbgen.problems import Severity
from kbgen.rules.registry import BY_NAME, RULES
from tests.unit.rules.cases import Case, all_cases, place, problems_of

CASES = all_cases()
# What a case cannot show: it needs ten thousand states.
WITHOUT_CASE = {"too-many-ways"}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.rule)
def test_a_good_case_passes(case: Case) -> None:
    found = problems_of(case.good, case.procedure)
    assert [f"{p.rule} at {place(p)}: {p.message}" for p in found if p.severity is Severity.ERROR] == []
    assert [place(p) for p in found if p.rule == case.rule] == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.rule)
def test_a_bad_case_is_found_where_it_stands(case: Case) -> None:
    found = problems_of(case.bad, case.procedure)
    assert sorted(place(p) for p in found if p.rule == case.rule) == sorted(case.at)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.rule)
def test_consequences_are_not_listed_beside_their_cause(case: Case) -> None:
    found = problems_of(case.bad, case.procedure)
    others = {p.rule for p in found if p.rule != case.rule and p.severity is Severity.ERROR}
    assert others == set(), [f"{p.rule} at {place(p)}: {p.message}" for p in found]


def test_every_rule_has_a_case() -> None:
    checked = {rule.name for rule in RULES if rule.check is not None or rule.family == "Coverage"}
    missing = checked - {case.rule for case in CASES} - WITHOUT_CASE
    assert missing == set()


def test_every_case_is_about_a_rule() -> None:
    assert {case.rule for case in CASES} <= BY_NAME.keys()


def test_names_are_unique_and_documented() -> None:
    assert len(BY_NAME) == len(RULES)
    for rule in RULES:
        assert rule.why.strip(), rule.name
        assert rule.before.strip(), rule.name
        assert rule.after.strip(), rule.name
        assert rule.before != rule.after, rule.name
        assert rule.rests_on.strip(), rule.name


def test_problems_have_a_hint_and_the_severity_of_their_record() -> None:
    for case in CASES:
        for problem in problems_of(case.bad, case.procedure):
            if problem.rule in BY_NAME:
                assert problem.severity is BY_NAME[problem.rule].severity, problem.rule
            assert problem.hint.strip(), problem.rule
