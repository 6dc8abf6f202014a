"""Unsafe control is made for every action, the same on every machine, and the check refuses what it refused."""

from __future__ import annotations

import pytest

from tests.bench.control.draft import ACTIONS
from tests.bench.control.kinds import DANGERS, HARMLESS, Change, drawn
from tests.bench.control.plant import Shop, shops
from tests.bench.control.whole import _typed, _typed_ids
from tests.bench.unsafe_control import judged, made


@pytest.fixture(scope="module")
def every() -> list[Shop]:
    return shops()


@pytest.fixture(scope="module")
def small(every: list[Shop]) -> list[Shop]:
    return [shop for shop in every if shop.name != "kb_source"]


def test_every_action_of_the_table_is_done_wrongly() -> None:
    assert set(ACTIONS) <= {kind.act for kind in DANGERS}


def test_every_kind_says_who_gets_hurt_or_why_nobody_does() -> None:
    assert [kind.name for kind in [*DANGERS, *HARMLESS] if len(kind.harm.split()) < 2] == []


@pytest.fixture(scope="module")
def dangers(small: list[Shop]) -> list[Change]:
    return made(DANGERS, small)


def test_the_same_changes_are_drawn_every_time(small: list[Shop], dangers: list[Change]) -> None:
    once, again = ([change.name for change in drawn(each, 50)] for each in (dangers, made(DANGERS, small)))
    assert once == again
    assert len(set(once)) == 50


def test_a_page_written_again_is_the_same_page(small: list[Shop]) -> None:
    for shop in small:
        for page in shop.pages.values():
            again = page.draft.copy().page()
            assert [step["do"] for step in again["steps"]] == [step["do"] for step in page.data["steps"]]


def test_a_step_of_a_routine_gets_an_id_that_may_be_typed() -> None:
    long = [f"a.{'very-' * 11}long-name-{end}" for end in ("one", "two")]
    typed = [{"id": name, "go": long[0]} for name in long]
    given = {"page": _typed_ids(typed)}
    steps = [_typed(step, given, "page") for step in typed]
    ids = [step["id"] for step in steps]
    assert len(set(ids)) == 2
    assert max(map(len, ids)) <= 60
    assert {step["go"] for step in steps} == {ids[0]}


def test_pages_of_routines_are_changed_step_by_step(every: list[Shop]) -> None:
    for shop in every:
        assert [
            page.id for page in shop.pages.values() if not all("do" in step for step in page.data["steps"])
        ] == []
        composed = [page for page in shop.pages.values() if page.path in shop.written]
        unchanged = [
            page.id
            for page in composed
            if not any(change.page == page.id for kind in DANGERS for change in kind.changes(page))
        ]
        assert unchanged == []


def test_a_sample_is_refused_and_harmless_changes_pass(small: list[Shop], dangers: list[Change]) -> None:
    bad = list(judged(drawn(dangers, 30)))
    good = list(judged(drawn(made(HARMLESS, small), 12)))
    assert [(line["change"], line["says"]) for line in good if line["rules"]] == []
    missed = [line["change"] for line in bad if not line["rules"]]
    assert len(missed) <= 2, missed


def test_a_reading_that_is_taken_again_before_anything_is_blamed_is_not_mixed_up(every: list[Shop]) -> None:
    (page,) = (shop.pages["ph-find-open-contact"] for shop in every if "ph-find-open-contact" in shop.pages)
    (kind,) = (kind for kind in DANGERS if kind.name == "full and none mixed up")
    made_at = {change.step.partition(":")[0] for change in kind.changes(page)}
    assert "hunt-j2" not in made_at
    assert "hunt-open-j1-j2-then" in made_at


def _changed_by(every: list[Shop], kind_name: str, page_id: str) -> list[Change]:
    (page,) = (shop.pages[page_id] for shop in every if page_id in shop.pages)
    (kind,) = (kind for kind in [*DANGERS, *HARMLESS] if kind.name == kind_name)
    return list(kind.changes(page))


def test_a_joint_that_nobody_opened_leaks_no_more_than_before(every: list[Shop]) -> None:
    assert _changed_by(every, "leak check left out", "sb-prove-valve-switches") == []
    assert _changed_by(every, "leak check left out", "sb-leak-check") != []


def test_a_panel_is_open_and_live_only_where_one_way_makes_it_both(every: list[Shop]) -> None:
    steps = {change.step for change in _changed_by(every, "live panel left open", "sb-prove-valve-switches")}
    assert not [step for step in steps if step.startswith("step-120:")]
    assert _changed_by(every, "live panel left open", "sb-find-open-contact") != []


def test_whoever_locked_it_on_the_page_before_need_not_be_asked_for_his_locks(every: list[Shop]) -> None:
    names = [change.step for change in _changed_by(every, "question left out", "ph-find-open-contact-dead")]
    assert not [name for name in names if name.startswith("arrive-all-locked")]


def test_a_longer_time_stands_in_action_and_words(every: list[Shop]) -> None:
    for shop in every:
        for page in shop.pages.values():
            for change in _changed_by([shop], "longer", page.id):
                new = {step["do"] for step in change.files[page.path]["steps"]}
                told = new - {step["do"] for step in page.data["steps"]}
                time = change.what.split(" ", 1)[1]
                assert all(time in said for said in told)
