"""The list of rules is complete, and each rule in it is explained."""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import kbgen
from kbgen.compute.walk.hazard import Hazard
from kbgen.model.duties import DUTIES
from kbgen.rule import Rule
from kbgen.rules.registry import BY_NAME, RULES

SCHEMAS = sorted((Path(__file__).parents[3] / "schema").glob("*.json"))


def test_every_rule_that_is_defined_is_listed_once() -> None:
    modules = [import_module(each.name) for each in walk_packages(kbgen.__path__, "kbgen.")]
    defined = {each for module in modules for each in vars(module).values() if isinstance(each, Rule)}
    assert {rule.name for rule in defined - set(RULES)} == set()
    assert len(BY_NAME) == len(RULES)


def test_every_rule_is_explained() -> None:
    for rule in RULES:
        assert all(
            text.strip() for text in (rule.why, rule.before, rule.after, rule.rests_on, rule.family.practice)
        ), rule.name
        assert rule.before != rule.after, rule.name


def test_what_a_rule_rests_on_is_named_as_the_schemas_name_it() -> None:
    """A field that was renamed would leave a sentence that points at nothing."""
    known = {word for file in SCHEMAS for word in re.findall(r"[a-z][a-z0-9_-]*", file.read_text("utf-8"))}
    for rule in RULES:
        for typed in re.findall(r"`([^`]+)`", rule.rests_on):
            for name in typed.split(": "):
                assert name in known, f"{rule.name}: `{name}`"


def test_what_every_page_must_do_names_rules_that_exist() -> None:
    for duty in DUTIES:
        assert duty.rules, duty.head
        assert set(duty.rules) <= BY_NAME.keys(), duty.head


def test_every_hazard_of_the_walk_stands_in_a_duty() -> None:
    """Whatever is refused is told before somebody writes."""
    told = [name for duty in DUTIES for name in duty.rules]
    hazards = {rule.name for rule in RULES if isinstance(rule, Hazard)}
    assert hazards - set(told) == set()


def test_a_duty_is_read_in_one_breath() -> None:
    long = [says for duty in DUTIES for says in duty.says if len(says.split()) > 24]
    assert long == []


def test_every_problem_is_made_by_a_rule() -> None:
    """What no rule makes, `kbgen explain` does not know."""
    makers = [
        file
        for file in Path(kbgen.__path__[0]).rglob("*.py")
        if re.search(r"(?<!class )\bProblem\(", file.read_text("utf-8"))
    ]
    assert [file.name for file in makers] == ["rule.py"]
