"""What a tablet is given to lead through a page: always to the dangerous side, in words of the trade, small enough."""

from __future__ import annotations

import gzip
import json
import re
from copy import deepcopy
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from kbgen.compute.circuit.bands import WORDS
from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study
from kbgen.model import action as act
from kbgen.model.head import Head
from kbgen.model.procedure import Procedure
from kbgen.pipeline import Compiled
from kbgen.ref import Kind, Ref
from kbgen.render.web.build import steps_script
from kbgen.render.web.scripts import shipped, shipped_style
from kbgen.views.doing import words
from kbgen.views.doing.data import can_be_done, doing_data
from kbgen.views.doing.practice import practice_data
from kbgen.views.doing.replay import _KINDS, alike, begin, fits, judge, may_start, proved, replay
from kbgen.views.doing.rows import opened, packed

ROOT = Path(__file__).resolve().parents[3]
SAMPLE = (
    "td-prove-trips",
    "td-record-evidence",
    "td-make-safe",
    "td-find-open-contact",
    "sb-find-open-contact",
    "ph-return-to-service",
)


@pytest.fixture(scope="module")
def pages(demonstration: Compiled) -> dict[str, dict[str, Any]]:
    base, study = demonstration.base, Study(demonstration.base, demonstration.store)
    found = {}
    for name in SAMPLE:
        entry, walk = base.entries[Ref(Kind.PROCEDURE, name)], demonstration.walks[Ref(Kind.PROCEDURE, name)]
        assert isinstance(entry.record, Procedure)
        found[name] = opened(*map(json.loads, doing_data(base, entry, entry.record, walk, study)))
    return found


def keys(page: dict[str, Any], node: int) -> set[str]:
    return {page["items"][each][0] for each in page["holds"][page["nodes"][node][1]]}


def actions(demonstration: Compiled, name: str) -> list[act.AnyAction | None]:
    page = demonstration.base.procedure(name)
    assert page is not None
    return [step.action for step in page.steps]


@pytest.mark.parametrize("name", SAMPLE)
def test_everything_counts_to_the_dangerous_side(
    demonstration: Compiled, pages: dict[str, dict[str, Any]], name: str
) -> None:
    page, done = pages[name], actions(demonstration, name)
    for node, (number, *_) in enumerate(page["nodes"]):
        there, action = keys(page, node), done[number]
        match action:
            case act.Restore(restore=source):
                assert f"dead:{source}" not in there, "it may be live from the moment its step is shown"
                assert f"off:{source}" not in there
            case act.Lock(lock=source) if f"lock:{source}" not in _before(page, node):
                assert f"lock:{source}" not in there, "a lock counts when it is confirmed"
            case act.ProveDead(prove_dead=source) if f"dead:{source}" not in _before(page, node):
                assert f"dead:{source}" not in there, "nothing is dead before its figures are in"
            case act.Fit(name=what):
                assert f"in:{what}" in there, "an alteration may be in from the moment its step is shown"
            case act.OpenCover(open_cover=cover):
                assert f"cover:{cover}" in there


def _before(page: dict[str, Any], node: int) -> set[str]:
    """Return what stands at every node that leads here."""
    ways = [keys(page, other) for other, row in enumerate(page["nodes"]) if node in row[2]]
    return set.intersection(*ways) if ways else set()


def test_a_lock_is_told_by_the_switch_it_hangs_on(pages: dict[str, dict[str, Any]]) -> None:
    said = {words for _, _, words in pages["sb-find-open-contact"]["items"]}
    assert "{who} locked Q1 (Burner fan 480 V, three-phase), {time}" in said


def test_no_node_holds_a_thing_both_ways(pages: dict[str, dict[str, Any]]) -> None:
    for page in pages.values():
        for node in range(len(page["nodes"])):
            there = keys(page, node)
            for key in there:
                kind, _, name = key.partition(":")
                assert not (kind == "live" and {f"dead:{name}", f"lock:{name}"} & there), (
                    page["id"],
                    node,
                    key,
                )


def test_readings_are_judged_as_the_judge_of_circuits_does(
    demonstration: Compiled, pages: dict[str, dict[str, Any]]
) -> None:
    page = pages["td-find-open-contact"]
    done, compared = actions(demonstration, "td-find-open-contact"), set()
    plant = demonstration.base.procedure("td-find-open-contact")
    assert plant is not None
    table = readings(demonstration.base, plant.circuit or "td-heat", State(), pairs=False)
    for number, step in enumerate(page["steps"]):
        action = done[number]
        if "volts" not in step or "sup" in step["volts"] or not isinstance(action, act.Measure):
            continue
        mode = "low_z" if action.meter == "low-impedance" else "high_z"
        port = table.points.index(action.at) if action.to == "D20" else len(table.points)
        for supply in (210.0, 230.0, 250.0):
            for tenth in range(0, 2700, 7):
                volts = tenth / 10
                mine = judge(step["volts"], volts, [step["volts"]["of"], -1, supply])
                assert mine == WORDS[table.bands.word(volts, mode, port, supply)], (action.at, volts, supply)
                compared.add(mine)
    assert compared == {"none", "some", "full", "over"}


def test_the_supply_is_taken_from_a_reading_that_shows_it(pages: dict[str, dict[str, Any]]) -> None:
    step = next(each for each in pages["td-find-open-contact"]["steps"] if each.get("volts", {}).get("sup"))
    assert judge(step["volts"], 230, None) == "full"
    assert judge(step["volts"], 480, None) == "over"
    assert judge(step["volts"], 0, None) == "none"


def test_dead_is_a_meter_that_reads_before_and_after_and_nothing_between() -> None:
    step = {"pairs": ["a", "b"], "dead": 2.0, "least": 10.0}
    assert proved(step, [230, 0, 1.9, 229]) == "dead"
    assert proved(step, [230, 0, 2.1, 229]) == "live"
    assert proved(step, [230, 0, 0, 3]) == "live", "the meter died meanwhile"
    assert proved(step, [0, 0, 0, 230]) == "live", "nobody saw it read before"
    assert proved(step, [230, 0, 229]) == "", "a pair is missing"


def test_marks_are_the_same_at_every_plate_and_that_of_the_machine_the_shop_knows() -> None:
    assert (alike(["b 7", "B-7"]), alike(["7", "8"]), alike(["7"])) == ("same", "different", "")
    assert (alike(["T-118", "t118"], "T-118"), alike(["T-118"], "T-118")) == ("same", "")
    assert alike(["T-119", "T-119"], "T-118") == "different", "all alike, at the machine beside it"
    pages = two_pages()
    pages["a"]["steps"][0] |= {"mark": 1, "answers": [["Same", "same", 0, 0]]}
    log = [
        {"k": "start", "page": "a", "who": "MK", "plant": "T-118", "machine": "t-118", "t": 1},
        {"k": "go", "e": 0, "v": ["T-119", "T-119"], "t": 2},
    ]
    assert replay(pages, log)["at"] == 0
    del log[0]["machine"]
    assert replay(pages, log)["at"] == 1, "a name of one's own need not be what stands on the plates"


def test_what_is_right_is_shown_when_the_answer_is_in(pages: dict[str, dict[str, Any]]) -> None:
    typed = [
        step for page in pages.values() for step in page["steps"] if {"number", "pairs", "mark"} & step.keys()
    ]
    assert len(typed) > 20
    for step in typed:
        assert "see" not in step, step["do"]
        assert {"Right is", "It shows by"}.isdisjoint(label for label, _ in step.get("facts", [])), step["do"]
    assert all("right" in step for step in typed if "mark" in step), "it is told afterwards"


def test_a_page_waits_for_the_one_before_it(pages: dict[str, dict[str, Any]]) -> None:
    assert not may_start(pages["td-make-safe"], begin())
    assert may_start(pages["td-record-evidence"], begin())
    fresh = {"k": "start", "page": "td-make-safe", "who": "MK", "plant": "7", "t": 1}
    assert replay(pages, [fresh])["page"] == ""


def hunt(page: dict[str, Any]) -> tuple[int, dict[str, int]]:
    """Return where a hunt begins, and the step of each point it reads."""
    steps = page["steps"]
    node = next(at for at, row in enumerate(page["nodes"]) if "reach" in steps[row[0]])
    return node, {steps[each]["volts"]["p"]: each for each in steps[page["nodes"][node][0]]["reach"]}


def test_a_reach_begins_with_the_supply_and_goes_as_far_as_it_decides(
    pages: dict[str, dict[str, Any]],
) -> None:
    page = pages["td-find-open-contact"]
    node, read = hunt(page)
    assert list(read) == ["D1", "D7", "D8", "D5"]
    at_hunt = begin() | {"page": page["id"], "at": node, "who": "MK"}

    def after(*volts: tuple[str, float]) -> dict[str, Any]:
        state = deepcopy(at_hunt)
        _KINDS["reach"](pages, state, {"t": 5, "v": [[read[point], figure] for point, figure in volts]})
        return state

    def point(state: dict[str, Any]) -> str:
        step = page["steps"][page["nodes"][state["at"]][0]]
        return str(step["at"]).removeprefix("step-string.")

    assert point(after(("D1", 230), ("D7", 0), ("D8", 0), ("D5", 230))) == "D6"
    assert point(after(("D1", 230), ("D7", 230), ("D8", 0))) == "open.D7-D8.again"
    assert point(after(("D1", 230), ("D7", 60), ("D5", 230))) == "D7", "what lies in between picks no way"
    assert point(after(("D7", 0), ("D5", 0))) == "D1", "nothing counts without the supply"
    assert after(("D1", 230), ("D7", 480))["stop"] == "foreign"
    assert len(after(("D1", 230), ("D7", 0), ("D8", 0), ("D5", 230))["readings"]) == 4
    at_hunt["at"] = after(("D1", 230))["at"]
    assert after(("D1", 0), ("D7", 0))["stop"] == "supply", "a zero without the supply is none"


def test_a_reach_names_every_mark_once(pages: dict[str, dict[str, Any]]) -> None:
    reaches = [(page, step["reach"]) for page in pages.values() for step in page["steps"] if "reach" in step]
    assert len(reaches) > 10
    for page, listed in reaches:
        marks = [page["steps"][each]["volts"]["p"] for each in listed]
        assert len(set(marks)) == len(marks) <= 4, (page["id"], marks)


def test_a_figure_in_no_range_is_answered_by_the_person(pages: dict[str, dict[str, Any]]) -> None:
    ranges = [[0, 2], [100_000, 1e9], None]
    assert [fits(ranges, e, 0.4) for e in range(3)] == [True, False, False]
    assert [fits(ranges, e, 1e9) for e in range(3)] == [False, True, False]
    assert [fits(ranges, e, 50) for e in range(3)] == [False, False, True]


def test_a_wait_is_over_when_its_time_is_and_what_shows_it_is_there() -> None:
    pages = two_pages()
    pages["a"]["steps"][0] |= {"wait": [60, "Gauge below 60 psi", [["psi", 60]]]}
    log = [{"k": "start", "page": "a", "who": "MK", "plant": "7", "t": 0}]

    def at(seconds: int, **more: Any) -> int:
        return int(replay(pages, [*log, {"k": "go", "e": 0, "t": seconds * 1000, **more}])["at"])

    assert (at(30, v=[10]), at(61), at(61, v=[60]), at(61, v=[59])) == (0, 0, 0, 1)
    pages["a"]["steps"][0]["wait"] = [60, "Discharged", []]
    assert (at(61), at(30, ok=1), at(61, ok=1)) == (0, 0, 1), "the clock alone proves nothing"
    log[0]["practice"] = 1
    assert at(1, ok=1) == 1, "no plant cools in practice"


def test_whoever_takes_over_hangs_an_own_lock_first() -> None:
    log = [
        {"k": "start", "page": "a", "who": "MK", "plant": "7", "t": 1},
        {"k": "go", "e": 0, "t": 2},
        {"k": "break", "who": "CD", "t": 3},
    ]
    seen = {"k": "sure", "key": "lock:m", "ok": True, "t": 4}
    assert replay(two_pages(), [*log, seen])["unknown"] == ["lock:m", "dead:m"]
    assert replay(two_pages(), [*log, seen | {"own": 1}])["unknown"] == ["dead:m"]
    log[2]["who"] = "MK"
    assert replay(two_pages(), [*log, seen])["unknown"] == ["dead:m"], "an own lock needs no second one"


def test_practice_and_work_are_never_one_job() -> None:
    log = [
        {"k": "start", "page": "a", "who": "MK", "plant": "7", "t": 1, "practice": 1},
        {"k": "go", "e": 0, "t": 2},
        {"k": "end", "t": 3},
        {"k": "start", "page": "b", "who": "MK", "plant": "7", "t": 4},
    ]
    assert replay(two_pages(), log)["page"] == ""
    log[3]["practice"] = 1
    assert replay(two_pages(), log)["page"] == "b"


def test_a_practice_meter_shows_the_simulated_fault_only(
    demonstration: Compiled, pages: dict[str, dict[str, Any]]
) -> None:
    base, study = demonstration.base, Study(demonstration.base, demonstration.store)
    page = base.procedure("td-find-open-contact")
    assert page is not None
    faults = json.loads(practice_data(study, base, "td-find-open-contact", page))
    _, read = hunt(pages["td-find-open-contact"])
    shown = next(each[2] for each in faults if each[0].startswith("open:") and "rotation" in each[1].lower())
    assert shown[str(read["D1"])] > 200 > 20 > shown[str(read["D7"])]
    assert len(faults) > 8


def two_pages() -> dict[str, dict[str, Any]]:
    """A page that locks and proves, and one that begins with it."""
    items = [
        ["lock:m", "u", "{who} locked M, {time}"],
        ["dead:m", "p", "M: {who} proved it gone {time}, not since"],
    ]
    common: dict[str, Any] = {
        "after": [],
        "items": items,
        "holds": [[], [0, 1]],
        "again": {},
        "following": [],
    }
    steps = [{"do": ["Prove."], "at": "step-1"}, {"do": ["Done."], "ends": "found", "at": "step-2"}]
    first = {"nodes": [[0, 0, [1], 2], [1, 1, [], 1]], "needs": [], "brings": {"1": ["dead:m", "lock:m"]}}
    then = {"nodes": [[1, 1, [], 1]], "needs": ["dead:m", "lock:m"], "brings": {}}
    return {
        "a": {"id": "a", "steps": steps} | common | first,
        "b": {"id": "b", "steps": steps} | common | then,
    }


@pytest.mark.parametrize(
    ("minutes", "who", "unknown"),
    [(1, "MK", []), (31, "MK", ["lock:m", "dead:m"]), (1, "JT", ["lock:m", "dead:m"])],
)
def test_what_another_page_proved_holds_for_who_goes_on_at_once(
    minutes: int, who: str, unknown: list[str]
) -> None:
    log = [
        {"k": "start", "page": "a", "who": "MK", "plant": "7", "t": 1},
        {"k": "go", "e": 0, "t": 2},
        {"k": "end", "t": 3},
        {"k": "start", "page": "b", "who": who, "plant": "7", "t": minutes * 60_000},
    ]
    state = replay(two_pages(), log)
    assert (state["page"], state["unknown"]) == ("b", unknown)
    assert replay(two_pages(), [*log, {"k": "end", "t": minutes * 60_000}])["page"] == (
        "b" if unknown else ""
    )


def test_unsigned_and_derived_pages_cannot_be_done(demonstration: Compiled) -> None:
    ref = Ref(Kind.PROCEDURE, "td-make-safe")
    page, walk = demonstration.base.entries[ref].record, demonstration.walks[ref]
    assert isinstance(page, Procedure)
    assert can_be_done(page, walk)
    assert not can_be_done(replace(page, derived=True), walk)
    assert not can_be_done(replace(page, taken_over=True), walk)
    assert not can_be_done(replace(page, head=Head(title="Not signed")), walk)
    assert not can_be_done(page, replace(walk, complete=False))


WORDS_OF_OURS = re.compile(r"\b(?:ledgers?|debts?|nodes?|walks?|verdicts?|claims?|owed?)\b", re.IGNORECASE)


def test_nobody_reads_a_word_of_ours(pages: dict[str, dict[str, Any]]) -> None:
    for page in pages.values():
        assert [words for _, _, words in page["items"] if WORDS_OF_OURS.search(words)] == []
    assert [said for said in words.WORDS.values() if WORDS_OF_OURS.search(said)] == []
    for file in (ROOT / "site_overrides" / "assets" / "js").glob("do*.js"):
        code = re.sub(r"/\*.*?\*/|//[^\n]*", "", file.read_text(encoding="utf-8"), flags=re.DOTALL)
        shown = [text for text in re.findall(r'"([^"\n]*)"', code) if " " in text]
        assert [text for text in shown if WORDS_OF_OURS.search(text)] == [], file.name


def test_script_and_style_and_a_page_are_small(pages: dict[str, dict[str, Any]]) -> None:
    assets = ROOT / "site_overrides" / "assets"
    files = [
        shipped(steps_script().decode()),
        shipped((assets / "js" / "do.js").read_text(encoding="utf-8")),
    ]
    files.append(shipped_style((assets / "css" / "do.css").read_text(encoding="utf-8")))
    assert sum(len(gzip.compress(text.encode(), 9)) for text in files) < 16_384
    for page in pages.values():
        files = list(packed(page))
        assert [len(gzip.compress(text.encode(), 9)) < 10_240 for text in files] == [True] * len(files), page[
            "id"
        ]
        assert opened(*map(json.loads, files)) == page
