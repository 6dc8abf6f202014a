"""A wrong reading does not decide: what hangs on one place, and what nothing left explains."""

from __future__ import annotations

from functools import cache

import pytest

from kbgen.compute.circuit.inference import judge, locate
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z
from kbgen.compute.circuit.probing import Probing, prepare
from kbgen.compute.circuit.reading import Reading
from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.verdict import Verdict
from kbgen.views.verdict_words import said
from tests.unit.circuit.test_locate import demonstration, ids


@cache
def probing(circuit: str, stage: str, size: str = "") -> Probing:
    return prepare(readings(demonstration(), circuit, State(size=size, stage=stage)))


def read(circuit: str, stage: str, *taken: tuple) -> Verdict:
    return judge(probing(circuit, stage), [Reading(*each) for each in taken])


def words(verdict: Verdict) -> str:
    return " ".join(said(demonstration(), verdict))


D1 = ("D1", 208.5), ("D1", 209.0, LOW_Z)
D2 = ("D2", 0.8), ("D2", 1.2, LOW_Z)


def test_what_one_terminal_alone_keeps_out_is_not_found_and_says_who_settles_it():
    # Nothing behind D2 can be told in this stage: with the leads on another terminal than D2 all else remains.
    verdict = read("td-heat", "standby", *D1, *D2)
    assert verdict.next is not None
    assert (verdict.next.port, verdict.next.anew) == ("D2", True)
    assert verdict.verdict == "unclear"
    assert verdict.hangs_on == "D2"
    assert verdict.to_json()["hangs_on"] == "D2"
    told = words(verdict)
    assert "All of this hangs on D2 alone. Find D2 anew by the drawing" in told
    assert "If it reads the same: fuse" in told


def test_other_hands_that_find_the_place_anew_bear_it_out_and_no_repeat_of_one_s_own_does():
    again = read("td-heat", "standby", *D1, *D2, ("D2", 1.1, LOW_Z))
    assert (again.verdict, again.hangs_on) == ("unclear", "D2")
    anew = read("td-heat", "standby", *D1, *D2, ("D2", 1.0, LOW_Z, True))
    assert (anew.verdict, anew.hangs_on, anew.next) == ("found", "", None)
    assert ids(anew)[0] == "fuse"
    # What hung on D2 is still listed, with the reading that alone keeps it out.
    listed = {anew.probing.table.faults[row].id: anew.evidence.against[row] for row, _ in anew.remaining}
    assert {anew.taken[k].port for k in listed["open:td-loading-door"]} == {"D2"}


def test_other_hands_that_read_otherwise_put_the_place_aside_and_name_it():
    verdict = read("td-heat", "start-check", *D1, *D2, ("D2", 208.2, LOW_Z, True))
    assert verdict.verdict != "found"
    assert [verdict.taken[k].port for k in verdict.unexplained] == ["D2", "D2"]
    assert not {"fuse"} & {verdict.probing.table.faults[row].id for row in verdict.standing}
    assert "Found anew, the place reads otherwise. Nothing that is left explains it" in words(verdict)


def test_one_s_own_reading_in_the_other_mode_puts_nothing_aside():
    own = read("td-heat", "start-check", *D1, D2[0], ("D2", 208.2, LOW_Z))
    assert own.evidence.sorted.not_counted == ()
    others = read("td-heat", "start-check", *D1, D2[0], ("D2", 208.2, LOW_Z, True))
    assert others.evidence.sorted.not_counted == ((2, "anew"),)


def test_a_place_that_another_place_bears_out_is_found():
    # The next point reads nothing too: with D2 misread it would read full.
    verdict = read("td-heat", "start-check", *D1, *D2, ("D3", 0.5), ("D3", 0.4, LOW_Z))
    assert verdict.hangs_on == ""
    assert verdict.verdict == "found"
    assert ids(verdict)[0] == "fuse"


def test_before_a_verdict_another_place_is_read_and_not_the_same_terminal_again():
    verdict = read("td-heat", "start-check", *D1, *D2)
    assert verdict.verdict == "unclear"
    assert verdict.next is not None
    assert verdict.next.port not in ("D1", "D2")
    assert verdict.next.why == "confirm"


@pytest.mark.parametrize(
    ("circuit", "stage", "taken", "doubted"),
    [
        ("sb-running", "fan-start", [("T19", 111.8), ("T20", 0.1), ("T52", 0.1)], "T20"),
        ("td-heat", "purge", [("D1", 2.7), ("J5", 2.7), ("D8", 0.3)], "D1"),
    ],
)
def test_the_terminal_in_doubt_does_not_bear_itself_out_in_the_other_mode(circuit, stage, taken, doubted):
    verdict = read(circuit, stage, *[(*each, LOW_Z) for each in taken])
    assert verdict.next.why == "confirm"
    assert verdict.next.port != doubted


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [(0.2, 118.7, True), (118.7, 0.2, True), (60.0, 118.7, True), (118.6, 118.7, False)],
)
def test_a_reading_taken_again_that_reads_otherwise_is_named(first, second, told):
    taken = [("T19", 119.0), ("T20", first, LOW_Z), ("T20", second, LOW_Z)]
    verdict = read("sb-limits", "start-check", *taken)
    assert verdict.unexplained == ((1,) if told else ())
    assert ("one reading was wrong, or it comes and goes" in words(verdict)) is told
    assert len(verdict.to_json()["unexplained"]) == int(told)


def test_what_reads_otherwise_the_second_time_is_read_a_third_time_before_a_verdict():
    taken = [
        ("T19", 111.2),
        ("T52", 0.0),
        ("T51", 111.3),
        ("sb-combustion-air", 0.1),
        ("sb-combustion-air", 110.8),
    ]
    verdict = read("sb-running", "fan-start", *taken)
    assert verdict.verdict == "unclear"
    assert (verdict.next.port, verdict.next.why) == ("sb-combustion-air", "third")
    settled = read("sb-running", "fan-start", *taken, ("sb-combustion-air", 0.1))
    assert "open:sb-combustion-air" not in ids(settled)


def test_a_middle_reading_that_nothing_left_explains_is_named_and_a_ghost_is_not():
    dead = read("mah-string", "heating", ("M1", 20.5), ("M8", 7.8), ("M8", 0.05, LOW_Z), ("M2", 20.5, LOW_Z))
    assert dead.unexplained == (1,)
    # An open contact, or a blown fuse, leaves a ghost of its cable behind it.
    assert probing("td-doors", "start-check").table.interval("fuse", "D3")[1] > 13
    assert read("td-doors", "start-check", ("D1", 247.5), ("D3", 13.4), ("D3", 0.8, LOW_Z)).unexplained == ()


@pytest.mark.parametrize("taken", [[("T19", 119.0), ("T27", 88.0)], [("T19", 82.0), ("T27", 82.0)]])
def test_a_middle_reading_that_was_not_yet_repeated_is_called_no_mistake(taken):
    verdict = read("sb-limits", "start-check", *taken)
    assert verdict.unexplained == ()
    assert "one reading was wrong" not in words(verdict)


def test_a_middle_reading_across_is_taken_once_more():
    verdict = read("td-heat", "spin-up", ("D1", 221.5), ("D2", 221.3), ("td-lint-door", 69.8))
    assert (verdict.next.port, verdict.next.meter, verdict.next.why) == (
        "td-lint-door",
        HIGH_Z,
        "doubt-across",
    )
    again = read("td-heat", "spin-up", *[(r.port, r.value) for r in verdict.taken], ("td-lint-door", 0.1))
    assert again.unexplained == (2,)
    assert again.next is None or again.next.port != "td-lint-door"


def test_where_a_contact_may_stand_either_way_it_says_when_to_read_instead():
    verdict = read("sb-limits", "post-purge", ("T19", 118.9), ("T20", 119.0), ("T20", 119.2, LOW_Z))
    assert verdict.either_way
    assert not verdict.as_meant
    told = words(verdict)
    assert "nobody says how" in told
    assert "Read it in another stage, in which the circuit is judged: Start check" in told


def followed(verdict: Verdict, supply: float, full: tuple[str, ...]) -> Verdict:
    """Follow the suggestions where some points read as the supply and everything else reads nothing."""
    for _ in range(12):
        if verdict.next is None:
            break
        shown = supply if verdict.next.port in full else 0.02
        reading = Reading(verdict.next.port, shown, verdict.next.meter, verdict.next.anew)
        verdict = judge(verdict.probing, [*verdict.taken, reading])
    return verdict


def test_a_string_that_has_to_be_open_says_what_holds_it_open_and_what_to_do():
    fan = followed(read("sb-running", "standby", ("T19", 119.0), ("T51", 0.1)), 119.0, ("T19", "T20"))
    assert fan.as_meant
    assert "as the plant stands, Fan starter auxiliary" in words(fan)
    assert "must be open. Read it in another stage, in which the circuit is judged: " in words(fan)
    state = State(size="mah-6", stage="heating", covers_off=frozenset({"unit-door"}))
    door = locate(demonstration(), "mah-string", [Reading("M1", 23.0), Reading("M8", 0.1, LOW_Z)], state)
    door = followed(door, 23.0, ("M1", "M2", "H1"))
    assert door.as_meant
    assert "Unit door switch must be open. A cover that is off or a valve that is shut opens it." in words(
        door
    )


def test_what_stands_open_beside_a_made_way_does_not_make_the_string_open():
    # The timer of the heater stands open while it heats; the cut-out beside it carries.
    full = ("M1", "M2", "H1", "H2", "H3", "H4", "H5", "H6", "H7", "H8", "H9", "M8")
    taken = [Reading("M1", 23.0), Reading("M8", 23.0), Reading("M8", 23.0, LOW_Z)]
    made = followed(judge(probing("mah-string", "heating", "mah-6"), taken), 23.0, full)
    assert (made.verdict, made.asks) == ("made", ())
    unsaid = followed(locate(demonstration(), "mah-string", taken, State(size="mah-6")), 23.0, full)
    # Nothing is made before the stage is said.
    assert (unsaid.verdict, unsaid.next, unsaid.asks, unsaid.as_meant) == ("unclear", None, ("stage",), False)
    assert "made as far as read" not in words(unsaid)
