"""Lines of a page: where they lead, what they are called, and what is told of them where."""

from __future__ import annotations

from pathlib import Path

import pytest

from kbgen.compose.told import at_the_line
from kbgen.report import locate
from tests import shared
from tests.unit.compose.ground import faults, page, steps

END = "- {do: Hang the tag., end: left-safe}\n"
ASK = '- {do: Look., ask: "Well?", outcomes: [{when: "Yes", go: %s}, {when: No or not sure, go: %s}]}\n'


def test_next_is_the_line_below_whatever_it_writes() -> None:
    assert steps(ASK % ("next", "stop-here") + "- {open: [panel-door]}\n" + END)["#0"]["outcomes"][0][
        "go"
    ] == ("open.panel-door")
    # A line that has nothing to put back writes nothing, and the one below it is next.
    found = steps(
        ASK % ("next", "stop-here") + "- {put_back: [all]}\n- {id: tag, do: Tag., end: left-safe}\n"
    )
    assert found["#0"]["outcomes"][0]["go"] == "tag"


def test_a_step_without_an_id_is_called_by_its_words_whatever_stands_above_it() -> None:
    ask, look = ASK % ("next", "stop-here"), "- {do: Look at the gauge glass again.}\n"
    for above in ("", ask, "- {open: [panel-door]}\n" + ask):
        assert "look-at-the-gauge" in steps(above + ask + look + END)
    # The same words twice are told apart by the step before them; an ending keeps its name.
    found = steps(ask + look + "- {open: [panel-door]}\n" + ask.replace("Look", "Hear") + look + END)
    assert [name for name in found if name.endswith("look-at-the-gauge")] == [
        *("start.look-at-the-gauge", "open.panel-door.look-at-the-gauge"),
    ]
    assert "start.stop-here" in steps(ask + "- {do: Stop here.}\n" + END)


def test_a_line_with_a_name_is_led_to_by_it_and_its_steps_begin_with_it() -> None:
    found = steps(
        ASK % ("next", "later") + END + "- {id: later, open: [panel-door]}\n- {put_back: [all]}\n" + END
    )
    assert found["#0"]["outcomes"][1]["go"] == "later.panel-door"


def test_what_an_answer_says_first_is_a_step_of_its_own() -> None:
    found = steps(
        """
- id: trip
  do: Look.
  ask: Did it trip?
  outcomes:
    - {when: "Yes", go: next}
    - {when: No or not sure, go: stop-here, say: It does not trip where it must.}
"""
        + END
    )
    assert found["trip"]["outcomes"][1]["go"] == "trip.no-or-not-sure"
    assert found["trip.no-or-not-sure"]["do"] == "It does not trip where it must."
    assert found["trip.no-or-not-sure"]["go"] == "stop-here.burner-off.demand"


def test_a_routine_may_lead_elsewhere_than_to_the_line_below() -> None:
    found = steps("- {lock_off: [fan], go: stop-here}\n")
    assert found["lock-off.fan.lock"]["go"] == "stop-here.burner-off.demand"


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (ASK % ("next", "stop-hear") + END, ("line-leads-nowhere", "steps[1].outcomes[2].go")),
        ("- {lock_off: [fan], go: stop-hear}\n", ("line-leads-nowhere", "steps[1]")),
        ("- {open: [panel-door]}\n", ("line-leads-nowhere", "steps[1]")),
        (ASK % ("next", "stop-here"), ("line-leads-nowhere", "steps[1].outcomes[1].go")),
        ("- {open: [panel-door]}\n- {open: [float-cap]}\n" + END, None),
        ("- {open: [panel-door]}\n- {open: [panel-door]}\n" + END, ("line-id-twice", "steps[2]")),
        ("- {id: stop-here, open: [panel-door]}\n" + END, ("line-id-twice", "steps[1].id")),
        (
            "- {do: Look., id: a}\n- {do: Look., id: a}\n- {open: [panel-door]}\n" + END,
            ("line-id-twice", "steps[2]"),
        ),
    ],
)
def test_what_leads_nowhere_or_is_named_twice_is_told(lines: str, expected: tuple[str, str] | None) -> None:
    assert [each[:2] for each in faults(lines)][:1] == ([expected] if expected else [])


def shop_with(tmp_path: Path, page: str, old: str, new: str) -> Path:
    import shutil

    root = shutil.copytree(shared.DEMONSTRATION, tmp_path / "kb")
    file = root / "procedures" / f"{page}.yaml"
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1
    file.write_text(text.replace(old, new), encoding="utf-8")
    return root


def test_what_the_walk_finds_is_told_at_the_line_with_routine_step_and_way(tmp_path: Path) -> None:
    # The gas comes back after the hunt has let the burner start, with nothing shut before the flame.
    root = shop_with(
        tmp_path,
        "sb-find-open-contact",
        "  - {burner_off: valves, still: yes}\n",
        "  - {burner_off: demand, still: yes}\n",
    )
    compiled = shared.compiled(root)
    found = [each for each in locate(compiled.problems, compiled.documents) if each.severity == "error"]
    assert found
    text = (root / "procedures" / "sb-find-open-contact.yaml").read_text(encoding="utf-8").splitlines()
    told = [each for each in found if each.path == "procedures/sb-find-open-contact.yaml"]
    first = min(told)
    assert "`" in first.message
    assert " writes “" in first.message
    assert "arrive.smell → No → " in first.message
    assert text[first.line - 1].lstrip().startswith("- ")


def test_a_place_elsewhere_stays_where_it_is() -> None:
    from kbgen.compose import Source
    from kbgen.compose.rules import LINE_LEADS_NOWHERE
    from kbgen.position import Spot

    origins = {"a.yaml": (Source(4, "x", "", "Look."), Source(2, "open.door", "open", "Open the door."))}
    own = LINE_LEADS_NOWHERE.at(Spot("a.yaml", ("steps", 0, "go")), "wrong", "Mend it.")
    derived = LINE_LEADS_NOWHERE.at(Spot("a.yaml", ("steps", 1, "do")), "wrong", "Mend it.")
    other = LINE_LEADS_NOWHERE.at(Spot("b.yaml", ("steps", 1, "do")), "wrong", "Mend it.")
    assert at_the_line(own, origins).place == Spot("a.yaml", ("steps", 4, "go"))
    moved = at_the_line(derived, origins)
    assert moved.place == Spot("a.yaml", ("steps", 2))
    assert moved.message == "`open` writes “Open the door.” (open.door): wrong"
    assert at_the_line(other, origins) == other


@pytest.mark.parametrize(
    ("message", "told"),
    [
        ("nothing leads to step 1", "nothing leads to “Look.”"),
        ("step 2 → Yes → step 1: wrong", "open.door → Yes → “Look.”: wrong"),
        ("`Go to step 1` in step 2 is wrong", "`Go to step 1` in open.door is wrong"),
        ("sent to step 1 of Another page; step 2 there: wrong", None),
        ("step 3 does not exist", None),
    ],
)
def test_a_number_that_stands_on_no_line_is_not_told(message: str, told: str | None) -> None:
    from kbgen.compose import Source
    from kbgen.compose.rules import LINE_LEADS_NOWHERE
    from kbgen.position import Spot

    origins = {"a.yaml": (Source(4, "", "", "Look."), Source(2, "open.door", "open", "Open the door."))}
    own = LINE_LEADS_NOWHERE.at(Spot("a.yaml", ("steps", 0)), message, "Mend it.")
    assert at_the_line(own, origins).message == (told or message)
    elsewhere = LINE_LEADS_NOWHERE.at(Spot("b.yaml", ("steps", 0)), message, "Mend it.")
    assert at_the_line(elsewhere, origins).message == message


def test_a_step_without_an_id_has_no_empty_brackets() -> None:
    from kbgen.compose import Source
    from kbgen.compose.rules import LINE_LEADS_NOWHERE
    from kbgen.position import Spot

    problem = LINE_LEADS_NOWHERE.at(Spot("a.yaml", ("steps", 0)), "wrong", "Mend it.")
    told = at_the_line(problem, {"a.yaml": (Source(4, "", "stop-here", "Hang the tag."),)})
    assert told.message == "`stop-here` writes “Hang the tag.”: wrong"


def test_what_is_known_is_listed_once() -> None:
    told = next(each for each in page("- {open: [panel-door], go: xxxxxxxxxx}\n" + END).problems)
    known = told.hint.split("Known: ")[1].rstrip(".").split(", ")
    assert sorted(set(known)) == known


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("- {lockoff: [fan]}", ["Did you mean `lock_off`?"]),
        ("- {lock_off: [fan], do: Switch it off.}", ["A routine has its own words; yours go under `add`"]),
        ("- {lock_off: fan}", ["Put a dash before each item."]),
        ("- {burner_off: all}", ["Use demand or valves."]),
        ("- {lock_off: [fan], when: always}", ["It goes with `bring_back`"]),
        (
            "- {lock_off: [fan], add: {fan: {do: Pull the plug.}}}",
            ["Nothing of a routine is replaced; add `say`"],
        ),
        ("- {lock_off: [fan], add: {fan: {isolate: gas}}}", ["Nothing of a routine is replaced; add `say`"]),
    ],
)
def test_a_line_that_is_typed_wrong_gets_one_sentence(line: str, said: list[str]) -> None:
    import json

    import yaml

    from kbgen.load import read
    from kbgen.load.discover import File
    from kbgen.load.document import Loaded
    from kbgen.ref import Kind
    from kbgen.schemacheck import check
    from tests.unit.compose.ground import schemas

    data = {"title": "Case", "steps": yaml.load(f"{line}\n{END}", yaml.BaseLoader)}
    document, _ = read(File("procedures/case.yaml", Kind.PROCEDURE, "case"), json.dumps(data).encode())
    found = check(Loaded(Path(), (document,), (), ()), schemas()).problems
    assert [any(each.hint.startswith(words) for words in said) for each in found] == [True]


def test_a_derived_step_that_is_called_otherwise_now_is_told_with_the_nearest_that_there_is() -> None:
    ask = '- {do: Look., ask: "Well?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: lock-off.fam}]}\n'
    (problem,) = page(ask + "- {lock_off: [fan]}\n" + END).problems
    assert (problem.rule, problem.hint) == ("line-leads-nowhere", "Did you mean `lock-off.fan`?")
    assert not page(ask.replace("fam", "fan") + "- {lock_off: [fan]}\n" + END).problems


def test_a_step_whose_author_does_not_say_takes_what_hands_usually_take() -> None:
    found = steps(
        "- {arrive: [smell]}\n- {id: look, do: Look at the fan., inspect: Fan}\n"
        "- {id: long, do: Look at the burner., inspect: Burner, minutes: 9 min}\n"
        "- {id: tell, do: Write it down., record: [display]}\n- {do: Hang the tag., end: left-safe}\n"
    )
    assert [found[name].get("minutes") for name in ("look", "long", "tell")] == ["1 min", "9 min", "2 min"]
    assert "minutes" not in list(found.values())[-1]


def test_a_routine_that_stands_twice_is_called_behind_the_line_above_it_that_has_an_id() -> None:
    found = steps(
        "- {lock_off: [fan]}\n- {id: tube, do: Look at the tube., inspect: Tube}\n- {bring_back: [fan]}\n"
        "- {lock_off: [fan]}\n- {id: lever, do: Look at the lever., inspect: Lever}\n- {bring_back: [fan]}\n"
        + END
    )
    names = [name for name in found if name.endswith("fan")]
    assert names == ["lock-off.fan", "tube.bring-back.fan", "tube.lock-off.fan", "lever.bring-back.fan"]


def test_twice_behind_the_same_line_it_needs_an_id() -> None:
    found = faults("- {id: tube, do: Look at the tube., inspect: Tube}\n" + 2 * "- {lock_off: [fan]}\n" + END)
    assert [each[0] for each in found] == ["line-id-twice"]
