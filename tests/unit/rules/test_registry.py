"""The list of rules is complete, and each rule in it is explained."""

from __future__ import annotations

from importlib import import_module
from pkgutil import walk_packages

import kbgen
from kbgen.rule import Rule
from kbgen.rules.registry import BY_NAME, RULES


def test_every_rule_that_is_defined_is_listed_once() -> None:
    modules = [import_module(each.name) for each in walk_packages(kbgen.__path__, "kbgen.")]
    defined = {each for module in modules for each in vars(module).values() if isinstance(each, Rule)}
    assert {rule.name for rule in defined - set(RULES)} == set()
    assert len(BY_NAME) == len(RULES)


def test_every_rule_is_explained() -> None:
    for rule in RULES:
        assert all(text.strip() for text in (rule.why, rule.before, rule.after, rule.family.practice)), (
            rule.name
        )
        assert rule.before != rule.after, rule.name
