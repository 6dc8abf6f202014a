"""Every fact of the walk, every action, field, figure and rule is told when it comes and when it goes."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import fields
from typing import Any

import pytest

from kbgen.compute.walk import state
from kbgen.model import action as act
from kbgen.problems import Severity
from kbgen.ref import Kind
from kbgen.report import Located
from kbgen.review import change as c
from kbgen.review import circuits, data, deeds, facts, problems, texts, walked
from kbgen.review.about import OF_DEED, OF_FACT
from kbgen.review.change import Weight
from kbgen.review.fields import BY_ROUTE, ELSEWHERE, row_of
from kbgen.review.said import DeedSaid, PageSaid, Target, Way
from kbgen.review.ways import ways
from kbgen.rules.registry import RULES
from kbgen.schemas import load_schemas
from tests.unit.full_shop import grown
from tests.unit.review.pages import EMPTY, page

SCHEMAS = load_schemas()


def test_every_action_has_a_row_and_every_field_of_it_a_place() -> None:
    for record, row in act.TABLE.items():
        own = deeds.DEEDS[record]
        named = [name.removesuffix("_") for name in (*own.is_, *own.beside, *own.left)]
        assert sorted(named) == sorted(row.takes), row.name


def _shown(key: tuple[str, ...]) -> PageSaid:
    return page(deeds={key: DeedSaid("does what is looked for", {}, [0])})


@pytest.mark.parametrize("record", act.TABLE, ids=lambda record: act.TABLE[record].name)
def test_a_deed_is_told_when_it_comes_and_when_it_goes(record: type) -> None:
    row = deeds.DEEDS[record]
    key = (act.TABLE[record].name, *("found" for _ in row.is_))
    come = [each for each in walked.differences(EMPTY, _shown(key)) if "does what" in each.says]
    gone = [each for each in walked.differences(_shown(key), EMPTY) if "does what" in each.says]
    assert [each.kind for each in come] == [c.Kind.ADDED]
    assert [each.kind for each in gone] == [c.Kind.REMOVED]
    assert {come[0].weight, gone[0].weight} <= set(Weight) - {Weight.WORDS, Weight.FIGURE}
    assert row.gone is not row.new or row.gone is Weight.UNDECIDED


@pytest.mark.parametrize(
    ("record", "name"),
    [(record, name) for record in act.TABLE for name in deeds.DEEDS[record].beside],
    ids=lambda each: each if isinstance(each, str) else act.TABLE[each].name,
)
def test_what_stands_beside_a_deed_is_told_in_both_directions(record: type, name: str) -> None:
    key = (act.TABLE[record].name, *("found" for _ in deeds.DEEDS[record].is_))
    one, other = (
        page(deeds={key: DeedSaid("does it", {name: {value}}, [0])}) for value in ("one thing", "another")
    )
    for before, after in ((one, other), (other, one)):
        assert any(
            "one thing" in each.says and "another" in each.says for each in walked.differences(before, after)
        )


KINDS = {value for name, value in vars(state).items() if name.isupper() and isinstance(value, str)}


def test_every_fact_of_the_walk_has_a_row_or_a_written_waiver() -> None:
    assert facts.FACTS.keys() | facts.WAIVED.keys() == KINDS
    assert not facts.FACTS.keys() & facts.WAIVED.keys()
    assert all(len(why) > 20 for why in facts.WAIVED.values())


@pytest.mark.parametrize("kind", facts.FACTS)
def test_a_fact_is_told_when_it_comes_and_when_it_goes(kind: str) -> None:
    row, key = facts.FACTS[kind], ("end", "left-safe", "")
    deed = {key: DeedSaid("can end as left safe", {}, [0])}
    fact = frozenset({(kind, "thing")})
    none: frozenset[Any] = frozenset()
    there = Target(fact, none, none) if row.keeps else Target(none, fact, none)
    with_it = page(deeds=deed, targets={key: there}, facts={(kind, "thing"): "the thing"})
    without = page(deeds=deed, targets={key: Target(none, none, none)})
    come = list(walked.differences(without, with_it))
    gone = list(walked.differences(with_it, without))
    said = row.says.format("the thing")
    assert [said in each.says for each in (*come, *gone)] == [True, True]
    better, worse = (come, gone) if row.keeps else (gone, come)
    assert (better[0].weight, worse[0].weight) == (Weight.SAFER, Weight.LESS_SAFE)


def test_an_answer_that_is_said_with_another_in_one_is_not_gone() -> None:
    def way(shown: str, **more: Any) -> Way:
        given = {"next": "stop", "ahead": frozenset(), "fails": True, "passes": False, "at_most": 0}
        given |= {"claims": (), "danger": False, "step": 0} | more
        return Way(shown=shown, **given)  # type: ignore[arg-type]

    def asked(*answers: str, **more: Any) -> PageSaid:
        found = {("it", each.casefold()): way(each, **more) for each in answers}
        return page(asked={"it": "Is it?"}, ways=found)

    apart = asked("Yes", "No", "Not sure")
    for one in ("No or not sure", "No, or not sure"):
        together = asked("Yes", one)
        assert list(ways(apart, together)) == []
        assert list(ways(together, apart)) == []
    (gone,) = ways(apart, asked("Yes", "No"))
    assert "can no longer be answered by “Not sure”" in gone.says
    assert gone.weight is Weight.LESS_SAFE
    elsewhere = asked("Yes", "No or not sure", danger=True)
    assert {each.weight for each in ways(elsewhere, apart)} == {Weight.LESS_SAFE}


def test_an_answer_that_led_out_at_once_is_less_safe_when_it_goes() -> None:
    out, on = ("end", "evacuated", ""), ("reset", "limit")
    given: dict[str, Any] = {
        "next": "x",
        "fails": False,
        "passes": False,
        "at_most": 0,
        "claims": (),
        "step": 0,
    }
    found = {
        ("it", "glow"): Way(shown="Glow", ahead=frozenset({out}), danger=False, **given),
        ("it", "smoke"): Way(shown="Smoke", ahead=frozenset({out, on}), danger=True, **given),
        ("it", "lint"): Way(shown="Lint", ahead=frozenset({on}), danger=False, **given),
    }
    before, after = page(asked={"it": "What is there?"}, ways=found), page(asked={"it": "What is there?"})
    assert [each.weight for each in ways(before, after)] == [
        Weight.LESS_SAFE,
        Weight.LESS_SAFE,
        Weight.UNDECIDED,
    ]


@pytest.mark.parametrize(
    ("path", "safe", "less"),
    [
        ("sources.prove", "B1 to B2, B1 to earth and B2 to earth", "B1 to B2 in our panel"),
        ("supply.earthing", "reversible", "grounded"),
        ("supply.earthing", "ungrounded", "grounded"),
    ],
)
def test_a_proof_of_fewer_pairs_and_a_return_taken_for_certain_are_less_safe(
    path: str, safe: str, less: str
) -> None:
    kind = "circuit" if path.startswith("supply") else "equipment"
    row = row_of(kind, tuple(path.split(".")), {})
    assert row.changed(safe, less) is Weight.LESS_SAFE
    assert row.changed(less, safe) is Weight.SAFER


def test_everything_on_a_page_is_about_something() -> None:
    assert OF_FACT.keys() == facts.FACTS.keys()
    assert OF_DEED.keys() == {row.name for row in act.TABLE.values()}


def test_every_fact_is_compared_before_something() -> None:
    for kind, row in facts.FACTS.items():
        assert row.at <= facts.TARGETS, kind
        assert row.at, kind


WORKED = circuits.Worked({}, {}, {}, {}, (), (), {}, "5 min")


def test_every_figure_of_a_circuit_has_a_row_or_a_written_waiver() -> None:
    names = {each.name for each in fields(circuits.Worked)}
    assert circuits.FIGURES.keys() | circuits.WAIVED.keys() == names


@pytest.mark.parametrize("kind", circuits.FIGURES)
def test_a_figure_is_told_when_it_changes_comes_and_goes(kind: str) -> None:
    from dataclasses import replace

    def worked(value: str) -> circuits.Worked:
        known = getattr(WORKED, kind)
        return replace(WORKED, **{kind: (value, "b") if isinstance(known, tuple) else {"T22": value}})

    for one, other in ((worked("97 V"), worked("108 V")), (worked("108 V"), worked("97 V"))):
        found = list(circuits.differences({"": one}, {"": other}))
        assert [each[0] for each in found] == [kind]
        assert "97 V" in found[0][2]
        assert "108 V" in found[0][2]
    for one, other in ((WORKED, worked("97 V")), (worked("97 V"), WORKED)):
        # A fault that is new is told with what the points read with it.
        assert list(circuits.differences({"": one}, {"": other})) or kind == "input"


@pytest.mark.parametrize(
    ("kind", "what", "was", "now"),
    [
        ("full", "T22", "108 V", "90 V"),
        ("figures", "The supply reads", "106 V to 134 V", "88 V to 152 V"),
        ("figures", "A point reads none up to", "5.6 V", "9 V"),
        ("figures", "A made contact is bad above", "1 V", "3 V"),
        ("figures", "The input needs at least", "84 V", "60 V"),
    ],
)
def test_a_figure_that_makes_more_count_as_right_is_less_safe(
    kind: str, what: str, was: str, now: str
) -> None:
    one, other = (circuits.Worked(**{**_NOTHING, kind: {what: each}}) for each in (was, now))
    assert [each[1] for each in circuits.differences({"": one}, {"": other})] == [Weight.LESS_SAFE]
    assert [each[1] for each in circuits.differences({"": other}, {"": one})] == [Weight.FIGURE]


_NOTHING: dict[str, Any] = {each.name: getattr(WORKED, each.name) for each in fields(circuits.Worked)}


@pytest.mark.parametrize(
    ("was", "now", "weight"),
    [
        ("Touch nothing yet.", "Do not touch anything yet.", Weight.WORDS),
        ("Don't open any cock.", "Open no cock.", Weight.WORDS),
        ("Touch nothing and open it.", "Do not touch anything and open it.", Weight.UNDECIDED),
        ("Touch nothing yet.", "Touch anything yet.", Weight.UNDECIDED),
    ],
)
def test_what_is_forbidden_in_another_form_is_the_same_only_where_one_thing_is(
    was: str, now: str, weight: Weight
) -> None:
    assert texts.compared(was, now) is weight


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("Ask who pressed it before you pull it.", "Pull it."),
        ("Ask who pressed it, and pull it.", "Pull it."),
        ("Before you pull it, shut the cock.", "Shut the cock."),
        ("If the lamp is dark, open the cock.", "Open the cock."),
        ("Open the cock.", "Open the cock if the lamp is dark."),
        ("Pull it once the lamp is dark.", "Pull it."),
        ("Warm? Pull it.", "Pull it."),
        ("Check the lamp and pull it.", "Pull it."),
    ],
)
def test_a_condition_or_a_question_that_goes_cannot_be_decided(was: str, now: str) -> None:
    assert texts.compared(was, now) is Weight.UNDECIDED
    assert texts.binds(was) or texts.binds(now)


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("If the lamp is dark, pull it.", "Pull it when the lamp is dark."),
        ("Check that it is dark.", "Make sure it is dark."),
        ("Pull it once it is dark.", "Pull it after it is dark."),
        ("Pull it.", "Ask who pressed it, and pull it."),
    ],
)
def test_a_condition_or_a_question_in_other_words_is_only_words(was: str, now: str) -> None:
    assert texts.compared(was, now) is Weight.WORDS


def _located(rule: str, severity: Severity) -> Located:
    return Located("procedures/a.yaml", 3, 1, rule, severity, "step 3: it is so", "Mend it.")


TOLD = [rule for rule in RULES if rule.name not in problems.TOLD_ELSEWHERE]


def test_a_rule_that_is_told_elsewhere_exists_and_says_where() -> None:
    assert len(TOLD) == len(RULES) - len(problems.TOLD_ELSEWHERE)
    assert all(len(where) > 20 for where in problems.TOLD_ELSEWHERE.values())


@pytest.mark.parametrize("rule", TOLD, ids=lambda rule: rule.name)
def test_a_rule_is_told_when_it_is_broken_and_when_that_is_mended(rule: Any) -> None:
    safety = frozenset(each.name for each in RULES if each.safety)
    found = _located(rule.name, rule.severity)
    new = list(problems.differences([], [found], safety, {}))
    gone = list(problems.differences([found], [], safety, {}))
    assert [each.rule for each in (*new, *gone)] == [rule.name, rule.name]
    assert (new[0].kind, gone[0].kind) == (c.Kind.ADDED, c.Kind.REMOVED)
    assert (new[0].weight is Weight.LESS_SAFE) == (gone[0].weight is Weight.SAFER) == rule.safety
    assert (new[0].weight is Weight.PRIVATE) == rule.name.startswith("private-")


GROWN = grown(SCHEMAS, {f"{kind.folder}/beside.yaml": {"path": []} for kind in Kind})


def _routes(value: Any, route: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield (*route, name)
            yield from _routes(inner, (*route, name))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _routes(inner, (*route, index))


def _without(whole: Any, route: tuple[str | int, ...]) -> Any:
    made = copy.deepcopy(whole)
    at = made
    for step in route[:-1]:
        at = at[step]
    del at[route[-1]]
    return made


@pytest.mark.parametrize("path", GROWN)
def test_every_field_is_told_when_it_comes_and_when_it_goes(path: str) -> None:
    kind = next((each for each in Kind if path.startswith(f"{each.folder}/")), None)
    schema, whole, name = SCHEMAS.of(kind), GROWN[path], str(kind or "kb")
    for route in _routes(whole):
        if f"{name}.{route[0]}" in ELSEWHERE:
            continue
        # Of what stands beside it under other names nothing hangs on it: the whole would cost its square.
        part = {route[0]: whole[route[0]]}
        less = _without(part, route)
        for one, other in ((part, less), (less, part)):
            found = list(data.differences(schema, one, other))
            assert found, route
            assert all(row_of(name, each.path, each.leaf) for each in found), route


def test_every_row_of_a_field_is_of_a_field_that_exists() -> None:
    for route in (*BY_ROUTE, *ELSEWHERE):
        kind, *path = route.split(".")
        schema = SCHEMAS.of(None if kind == "kb" else Kind(kind))
        for name in path:
            while schema.get("type") == "array":
                schema = schema["items"]
            assert name in schema["properties"], route
            schema = schema["properties"][name]
