"""Every energy, sentence by sentence: a small page that breaks it is refused, the same page put right passes."""

from __future__ import annotations

from typing import Any

import pytest

from kbgen.problems import Severity
from tests.unit.rules.cases import plant, problems_of
from tests.unit.walk.procedures import walked

Steps = list[Any]


def _source(name: str, energy: str, **more: str) -> dict[str, Any]:
    return {"id": name, "title": name.title(), "energy": energy, "isolate": "As the tag says", **more}


def _boiler() -> dict[str, Any]:
    known = plant()["entries"]["equipment/boiler"]
    fed = {"prove": "Every conductor to every other and to earth"}
    reached = {
        "hot": "heat",
        "sprung": "spring",
        "hung": "load",
        "blown": "air",
        "charged": "cap",
        "wet": "steam",
    }
    return {
        **known,
        "sources": [
            *known["sources"],
            _source("oil", "fuel"),
            {**_source("fan", "electric", voltage="480 V", phases="3", needed_to_fire="true"), **fed}
            | {"conductors": ["L1", "L2", "L3"]},
            {**_source("booth", "foreign-fed", voltage="230 V"), **fed, "conductors": ["B1", "B2"]},
            _source("feed", "water", lock="Padlock", needed_to_fire="true", prove="Level stands still"),
            _source("steam", "pressure", lock="Chain", prove="Gauge at 0 and vent open"),
            _source("heat", "heat", prove="Contact thermometer below 45 °C"),
            _source("spring", "spring", prove="Pin in and pulled at"),
            _source("load", "load", prove="Rests on its stop"),
            _source("air", "air", lock="Padlock", prove="Gauge at 0"),
            _source("cap", "charge", prove="Meter below 5 V"),
        ],
        "fuel_valves": [
            {"id": "plant-cock", "title": "Plant cock", "stops": "all-fuel", "fuel": "gas"},
            {"id": "burner-cock", "title": "Burner cock", "stops": "burner-fuel", "fuel": "gas"},
            {"id": "oil-cock", "title": "Oil cock", "stops": "all-fuel", "fuel": "oil"},
        ],
        "zones": [
            {"id": "fan-housing", "title": "Fan housing", "place": "front", "reached_by": ["fan", "control"]},
            *(
                {"id": zone, "title": zone, "place": "front", "reached_by": [energy]}
                for zone, energy in reached.items()
            ),
        ],
    }


ENTRIES = {
    "equipment/boiler": _boiler(),
    "procedures/reset-water": {
        "title": "Reset",
        "equipment": ["boiler"],
        "steps": ["note", {"do": "Off.", "isolate": "control"}, {"do": "Lock.", "lock": "control"}, "leave"],
    },
}


def errors(steps: Steps, entries: dict[str, Any] | None = None, who: str = "lead-technician") -> set[str]:
    """Return the rules that a page on this plant breaks."""
    page = {"procedures/case": {"who": who, "steps": steps}}
    found = problems_of({**(entries or ENTRIES), **page})
    assert {each.rule for each in found} & {"unknown-name", "outcome-leads-badly"} == set()
    return {each.rule for each in found if each.severity is Severity.ERROR}


def off(*names: str) -> Steps:
    """Switch off and lock."""
    return [
        step for name in names for step in ({"do": "Off.", "isolate": name}, {"do": "Lock.", "lock": name})
    ]


def on(*names: str) -> Steps:
    """Unlock and switch on."""
    return [
        step for name in names for step in ({"do": "Unlock.", "unlock": name}, {"do": "On.", "restore": name})
    ]


def gone(name: str, by: str = "") -> dict[str, Any]:
    """Prove it gone."""
    more = {"by": by} if by else {}
    return {"do": "See it gone.", "prove_gone": name, **more, "gone": "next", "still-there": "stop"}


def dead(name: str) -> dict[str, Any]:
    """Prove it dead."""
    return {"do": "Prove it.", "prove_dead": name, "dead": "next", "live": "stop"}


def work(zone: str) -> dict[str, Any]:
    """Reach in."""
    return {"do": "Reach in.", "work_in": zone}


def fit(kind: str) -> dict[str, Any]:
    """Make an alteration."""
    return {"do": "Fit it.", "fit": kind, "name": "a-1", "at": "There"}


TRY = {"do": "Try.", "try_start": "Burner switch, back to off", "dead": "next", "live": "stop"}
BEGIN: Steps = ["identify", "note", "tell"]
STOP = {"do": "Stop it.", "stop_demand": "Burner switch to OFF"}
START = {"do": "Start it.", "start_demand": "Burner switch to ON"}
CYCLE = {"do": "Watch it.", "observe": "full-cycle", "seen": "next", "not-seen": "stop"}
LOCKED: Steps = [*BEGIN, STOP, *off("gas", "oil", "fan", "control", "booth")]
UNDO = {"do": "Undo it.", "undo": "a-1"}
OPEN = {"do": "Open the door.", "open_cover": "unit-door"}
SHUT = {"do": "Close the door.", "close_cover": "unit-door"}
LEAVE: Steps = ["leave"]
WAIT = {"do": "Wait.", "wait": "30 min"}
WITHOUT_LOCK = {"hot": "heat", "sprung": "spring", "hung": "load", "charged": "cap"}
WITH_LOCK = {"blown": "air", "wet": "steam"}
WAIT_STILL = {"do": "Watch.", "observe": "standstill", "seen": "next", "not-seen": "stop"}
IN: Steps = [*LOCKED, TRY, dead("fan"), dead("control")]


@pytest.mark.parametrize(("zone", "energy"), [*WITHOUT_LOCK.items(), *WITH_LOCK.items()])
def test_each_energy_is_proved_by_itself_and_no_wait_is_a_proof(zone: str, energy: str) -> None:
    away = off(energy) if zone in WITH_LOCK else [{"do": "Let it go.", "isolate": energy}]
    assert errors([*LOCKED, TRY, *away, gone(energy), work(zone), *LEAVE]) == set()
    for instead in ([], [WAIT]):
        assert errors([*LOCKED, TRY, *away, *instead, work(zone), *LEAVE]) == {"work-not-isolated"}
    waited = [*LOCKED, TRY, *away, gone(energy, "30 min have passed"), work(zone), *LEAVE]
    assert errors(waited) == {"proof-shows-nothing"}
    if zone in WITH_LOCK:
        assert "proof-without-lock" in errors([*LOCKED, TRY, away[0], gone(energy), work(zone), *LEAVE])


def test_gone_is_off_locked_tried_and_proved() -> None:
    assert errors([*IN, work("fan-housing"), *LEAVE]) == set()
    for lacking, rule in ((TRY, "start-not-tried"), (dead("fan"), "work-not-isolated")):
        assert rule in errors([*(step for step in IN if step != lacking), work("fan-housing"), *LEAVE])


def test_an_alarm_muted_and_back_owes_no_cycle_and_every_other_alteration_does() -> None:
    def left(kind: str) -> set[str]:
        found = {"do": "Write it down.", "end": "found", "next": "reset-water"}
        return errors([*BEGIN, STOP, fit(kind), UNDO, found])

    assert left("muted-alarm") == set()
    assert "left-able-to-fire" in left("damper-in-hand")
    assert errors([*BEGIN, STOP, fit("muted-alarm"), *LEAVE]) >= {"alteration-left"}


@pytest.mark.parametrize(
    ("says", "claim", "denies"),
    [
        ("Unit on, cock open", "all-on", False),
        ("Both units closed", "covers-closed", False),
        ("Nothing out of place", "nothing-altered", False),
        ("Normal, on at both", "all-on", False),
        ("Not yet on", "all-on", True),
        ("Untested", "trips-proved", True),
        ("Hasn’t been closed", "covers-closed", True),
        ("It isn't back", "nothing-altered", True),
    ],
)
def test_a_claim_is_denied_by_words_of_denial_and_by_no_word_that_begins_like_one(
    says: str, claim: str, denies: bool
) -> None:
    outcomes = [{"when": says, "go": "on", "claims": [claim]}, {"when": "Not sure", "go": "stop"}]
    asked = {"do": "Look.", "ask": "How is it?", "outcomes": outcomes}
    assert ("claim-denied" in errors([*BEGIN, asked, {"id": "on", **STOP}, *LEAVE])) is denies


def test_yes_and_no_do_not_claim_the_same() -> None:
    def asked(no: list[str]) -> set[str]:
        yes = {"when": "Yes", "go": "on", "claims": ["all-on"]}
        outcomes = [yes, {"when": "No", "go": "on", "claims": no}, {"when": "Not sure", "go": "stop"}]
        step = {"do": "Look.", "ask": "Is all of it on?", "outcomes": outcomes}
        return errors([*BEGIN, step, {"id": "on", **STOP}, *LEAVE])

    assert "claim-denied" in asked(["all-on"])
    assert "claim-denied" not in asked(["people-told"])


def test_what_is_in_at_the_fan_comes_out_once_it_was_seen_to_stand_still() -> None:
    still = {"do": "Look at the fan.", "observe": "standstill", "seen": "next", "not-seen": "stop"}
    run = [*BEGIN, START, STOP, fit("unplugged-tube")]
    assert "undone-unlocked" in errors([*run, UNDO, *LEAVE])
    assert "undone-unlocked" not in errors([*run, still, UNDO, *LEAVE])


def test_second_fuels_and_supplies_count_each_for_itself() -> None:
    one = [*BEGIN, STOP, *off("gas")]
    assert errors([*one, *LEAVE]) == {"left-unlocked", "left-able-to-fire"}
    assert errors([*one, *off("oil"), *LEAVE]) == set()
    unsafe = {
        "do": "Leave it.",
        "end": "unsafe-left-off",
        "label": "UNSAFE",
        "notice": "Warning",
        "tell": "Lead",
    }
    assert {"unsafe-not-said", "left-unlocked"} <= errors([*one, unsafe])
    jumper = {"do": "Fit.", "fit": "jumper", "name": "a-1", "over": "filter", "from": "X4", "to": "X5"}
    bridged = [*off("control", "fan", "booth"), dead("control"), gone("cap"), jumper, UNDO, *LEAVE]
    assert errors([*one, *bridged]) == {"jumper-with-fuel"}
    assert errors([*one, *off("oil"), *bridged]) == set()


def test_what_must_stay_on_while_it_fires_is_not_taken_from_plant_that_may_run() -> None:
    """Also from plant as it was found, which nobody has stopped."""
    for source in ("feed", "fan"):
        assert errors([*BEGIN, *off(source), *off("gas", "oil"), *LEAVE]) == {"off-while-firing"}
        assert errors([*BEGIN, STOP, *off(source), *off("gas", "oil"), *LEAVE]) == set()
    assert "off-while-firing" in errors([*BEGIN, STOP, *off("feed"), START, STOP, *off("gas", "oil"), *LEAVE])


def test_nothing_that_reaches_there_comes_back_with_hands_in_or_with_nobody_told() -> None:
    inside = [
        *LOCKED,
        TRY,
        *off("steam", "air"),
        gone("steam"),
        gone("air"),
        OPEN,
        work("wet"),
        work("blown"),
    ]
    for energy in ("steam", "air"):
        assert "moves-with-hands-in" in errors([*inside, "tell", *on(energy), SHUT, *LEAVE])
        assert errors([*inside, SHUT, "tell", *on(energy), *LEAVE]) == set()
    assert errors([*IN, work("fan-housing"), "tell", *on("fan"), *off("fan"), *LEAVE]) == set()
    untold = errors([*IN, work("fan-housing"), *on("fan"), *off("fan"), *LEAVE])
    assert untold == {"unlock-without-telling"}
    unlocked = [*BEGIN, STOP, *off("gas", "oil", "control"), {"do": "Off.", "isolate": "feed"}]
    seen = [{"when": "Yes", "go": "feed-on"}, {"when": "No or not sure", "go": "stop"}]
    look = {"do": "Look.", "inspect": "Gauge glass", "ask": "Is water in sight?", "outcomes": seen}
    assert errors([*unlocked, look, {"id": "feed-on", "do": "On.", "restore": "feed"}, *LEAVE]) == set()


UNUSUAL = (
    "blank",
    "open-drain",
    "open-vent",
    "hose",
    "prop",
    "belt-off",
    "hand-drive",
    "damper-in-hand",
    "unplugged-tube",
)


@pytest.mark.parametrize("kind", [*UNUSUAL, "other-fuse"])
def test_what_is_not_as_it_should_be_is_out_before_anything_may_run(kind: str) -> None:
    cold = [*LOCKED, *off("steam"), gone("steam")]
    assert errors([*cold, fit(kind), UNDO, *LEAVE]) == set()
    assert errors([*cold, fit(kind), *LEAVE]) == {"alteration-left"}
    back = ["tell", *on("steam", "booth", "fan", "control", "gas", "oil")]
    ends = [STOP, *off("gas", "oil"), UNDO, *LEAVE]
    assert "fire-with-alteration" in errors([*cold, fit(kind), *back, START, *ends])
    # On plant as it was found nobody knows that it stands still.
    assert "fire-with-alteration" in errors([*BEGIN, fit(kind), UNDO, *off("gas", "oil"), *LEAVE])


def test_another_fuse_is_out_before_anything_is_live() -> None:
    cold = [*LOCKED, fit("other-fuse"), "tell", *on("control"), START, STOP, *off("control"), UNDO, *LEAVE]
    assert errors(cold) == {"fire-with-alteration"}
    assert errors([each for each in cold if each not in (UNDO, cold[len(LOCKED)])]) == set()


def test_a_drain_is_opened_without_pressure_and_a_vent_lets_it_go() -> None:
    still = [*BEGIN, STOP, *off("gas", "oil")]
    assert errors([*still, fit("open-drain"), UNDO, *LEAVE]) == {"opened-under-pressure"}
    assert errors([*still, *off("steam"), fit("open-drain"), UNDO, *LEAVE]) == {"opened-under-pressure"}
    assert errors([*still, *off("steam"), gone("steam"), fit("open-drain"), UNDO, *LEAVE]) == set()
    assert errors([*still, fit("open-vent"), UNDO, *LEAVE]) == {"opened-under-pressure"}
    assert errors([*still, *off("steam"), fit("open-vent"), UNDO, *LEAVE]) == set()


def test_an_operating_control_stands_elsewhere_only_to_see_a_limit_trip() -> None:
    raised = {
        "do": "Turn it up.",
        "fit": "changed-setting",
        "name": "a-1",
        "over": "operating",
        "at": "140 psi",
    }
    still: Steps = [*BEGIN, STOP, raised]
    ends = [STOP, UNDO, *off("gas", "oil"), *LEAVE]
    assert errors([*still, START, *ends]) == {"fire-with-alteration"}
    trip = {"do": "See it stop.", "prove_trip": "high-limit", "tripped": "out", "not-tripped": "out"}
    purge = {"do": "Watch it.", "observe": "purge", "seen": "next", "not-seen": "out"}
    assert errors([*still, START, purge, trip, {"id": "out", **ends[0]}, *ends[1:]]) == set()


def test_a_device_that_opened_without_a_reason_is_not_put_back_as_it_is() -> None:
    check = {"do": "Read the gauge.", "check_real": "high-limit", "real": "stop", "faulty": "next"}
    trip = {"do": "See it stop.", "prove_trip": "high-limit", "tripped": "next", "not-tripped": "stop"}
    assert "trip-not-proved" in errors([*BEGIN, check, CYCLE, "served"])
    assert "trip-not-proved" not in errors([*BEGIN, check, trip, CYCLE, "served"])


def test_on_plant_whose_marks_differ_nothing_is_worked_on() -> None:
    other = {"do": "Compare.", "identify": "Numbers", "same": "next", "different": "next"}
    ends = [*off("gas", "oil"), *LEAVE]
    assert "proof-without-identity" in errors([other, "note", "tell", OPEN, SHUT, *ends])
    assert errors(["identify", "note", "tell", STOP, OPEN, SHUT, *ends]) == set()


def test_a_cover_is_shut_before_what_reaches_behind_it_comes_back() -> None:
    door = {"id": "unit-door", "title": "Unit door", "place": "front", "reached_by": ["fan"]}
    boiler = ENTRIES["equipment/boiler"]
    covers = [*(each for each in boiler["covers"] if each["id"] != "unit-door"), door]
    entries = {**ENTRIES, "equipment/boiler": {**boiler, "covers": covers}}
    opened = [*IN, OPEN]
    for steps, wrong in (
        ([*opened, "tell", *on("fan"), SHUT], True),
        ([*opened, SHUT, "tell", *on("fan")], False),
    ):
        assert ("cover-on-live" in errors([*steps, *off("fan"), *LEAVE], entries)) is wrong


@pytest.mark.parametrize(
    ("between", "wrong"),
    [
        ([], True),
        ([SHUT], False),
        # No answer closes a cover that the page before left open.
        ([{"do": "Read the tags.", "ask": "Is every cover on?", "outcomes": [
            {"when": "Yes", "go": "next", "claims": ["covers-closed"]}, {"when": "No or not sure", "go": "stop"}]}], True),
    ],
)  # fmt: skip
@pytest.mark.parametrize("second", [on("fan"), [{"do": "Start it.", "start_demand": "Fan switch to ON"}]])
def test_a_cover_that_the_page_before_left_open_is_shut_before_anything_turns_behind_it(
    between: Steps, wrong: bool, second: Steps
) -> None:
    door = {"id": "unit-door", "title": "Unit door", "place": "front", "reached_by": ["fan"]}
    boiler = ENTRIES["equipment/boiler"]
    turns = {
        "id": "wheel",
        "title": "Wheel",
        "place": "front",
        "reached_by": ["fan", "turn"],
        "behind": ["unit-door"],
    }
    entries = {
        **ENTRIES,
        "equipment/boiler": {
            **boiler,
            "covers": [*(each for each in boiler["covers"] if each["id"] != "unit-door"), door],
            "sources": [*boiler["sources"], _source("turn", "motion", prove="Pushed and stands still")],
            "zones": [*boiler["zones"], turns],
        },
    }
    left = {"do": "Go on.", "end": "found", "next": "second"}
    starts = "start_demand" in second[0]
    locked: Steps = [*BEGIN, STOP, *off("gas", "oil", "fan", "control", "booth")]
    first = [
        *(BEGIN if starts else locked),
        *([STOP, *off("gas", "oil"), WAIT_STILL] if starts else [TRY, dead("fan")]),
        OPEN,
        left,
    ]
    pages = {
        "procedures/first": {
            "title": "First",
            "equipment": ["boiler"],
            "who": "lead-technician",
            "steps": first,
        },
        "procedures/second": {
            "title": "Second",
            "equipment": ["boiler"],
            "who": "lead-technician",
            "after": "first",
            "steps": [
                "identify",
                "tell",
                *between,
                *second,
                STOP,
                *off("gas", "oil", "fan", "control"),
                *LEAVE,
            ],
        },
    }
    found = {
        each.rule
        for each in problems_of({**entries, **pages})
        if each.severity is Severity.ERROR and "second" in str(each.place)
    }
    assert ("cover-on-live" in found) is wrong


def test_an_open_live_panel_is_left_to_nobody_who_goes_on() -> None:
    """Also where the burner cannot light: the terminals are live."""
    cold: Steps = [*BEGIN, STOP, *off("gas", "oil")]
    over = {"do": "Hand over.", "hand_over": "Colleague"}
    assert "cover-left-open" in errors([*cold, OPEN, over])
    assert errors([*cold, OPEN, SHUT, over]) == set()


def test_a_fire_seen_to_end_by_heat_or_steam_had_a_purge_before_it() -> None:
    purge = {"do": "Watch it.", "observe": "purge", "seen": "next", "not-seen": "stop"}
    trip = {"do": "See it stop.", "prove_trip": "high-limit", "tripped": "next", "not-tripped": "stop"}
    ends = [STOP, *off("gas", "oil"), *LEAVE]
    assert errors([*BEGIN, START, trip, *ends]) == {"firing-without-purge"}
    assert errors([*BEGIN, START, purge, trip, *ends]) == set()


def test_a_cock_that_lets_through_shows_in_minutes() -> None:
    """Pressure that is left, or seen for a moment, opens no joint."""
    for more, rules in (
        ({"for": "5 min"}, set()),
        ({"for": "5 s"}, {"gas-opened-under-pressure", "pressure-shows-nothing"}),
    ):
        watch = {"do": "Watch it.", "watch": "pressure", "point": "plug", **more}
        page = [
            *(*BEGIN, STOP, *off("gas", "oil"), {**watch, "no-pressure": "next", "pressure-left": "stop"}),
            *({"do": "Open it.", "open_gas_train": "plug"}, {"do": "Cap it.", "cap": "plug"}, *LEAVE),
        ]
        assert errors(page, who="licensed-gas") - {"gas-left-untested"} == rules


def test_a_cock_is_not_opened_under_the_lock_of_its_source() -> None:
    locked = [
        *BEGIN,
        STOP,
        *off("gas", "oil", "control"),
        {"do": "Open it.", "open_valve": "plant-cock"},
        *LEAVE,
    ]
    assert "restore-under-lock" in errors(locked)
    unlocked = [*BEGIN, STOP, *off("oil", "control"), {"do": "Shut it.", "shut_valve": "plant-cock"}]
    assert errors([*unlocked, {"do": "Open it.", "open_valve": "plant-cock"}, *LEAVE]) == set()
    # The lock of another fuel says nothing of this cock, however alike the two are called.
    boiler = _boiler()
    cock = {"id": "bio-cock", "title": "Bio cock", "stops": "all-fuel", "fuel": "bio-oil"}
    boiler["sources"].append(_source("bio-oil", "fuel"))
    boiler["fuel_valves"].append(cock)
    turned = [{"do": "Shut it.", "shut_valve": "bio-cock"}, {"do": "Open it.", "open_valve": "bio-cock"}]
    entries = {**ENTRIES, "equipment/boiler": boiler}
    assert errors([*BEGIN, STOP, *off("oil", "control"), *turned, *LEAVE], entries) == set()


def test_somebody_is_told_of_a_fan_that_starts_without_fire() -> None:
    unlit = ["identify", "note", STOP, *off("gas", "oil")]
    turned = [START, STOP, *LEAVE]
    assert errors([*unlit, *turned]) == {"start-without-telling"}
    assert errors([*unlit, "tell", *turned]) == set()
    assert errors([*unlit, *off("fan"), *turned]) == set()


def test_an_operating_control_stands_above_its_value_only_under_a_limit_of_its_own_kind() -> None:
    """That the gas pressure switch trips says nothing of the steam."""
    trip = {"do": "See it stop.", "prove_trip": "low-gas", "tripped": "next", "not-tripped": "stop"}
    up = {
        "do": "Up.",
        "adjust": "operating",
        "from": "100 psi",
        "to": "140 psi",
        "gauge": "Test gauge",
        "note_down": "x",
    }
    assert "control-above-limit" in errors([*BEGIN, trip, STOP, up, *off("gas", "oil"), *LEAVE])


@pytest.mark.parametrize(("occasion", "owed"), [("season-start", True), ("fault", False)])
def test_a_season_begins_with_what_gas_work_asks_for(occasion: str, owed: bool) -> None:
    """Nobody touched the train: after a summer the air may be blocked and the mixture off all the same."""
    found = {
        each.rule.name
        for each in walked(["note", "tell", "live", "fire", "served"], occasion=occasion).violations
    }
    assert ({"analyser-missing", "gas-work-owed"} <= found) is owed


def _cut(*steps: Any, runs_on: str = "5 min") -> bool:
    """Return whether the pump is taken from a hot coil at the end of these steps."""
    pump = {**_source("pump", "foreign-fed", voltage="120 V", lock="Padlock", runs_on=runs_on)}
    pump |= {"prove": "J1 to J2, each to earth", "conductors": ["J1", "J2"]}
    known = plant()["entries"]["equipment/boiler"]
    entries = {"equipment/boiler": {**known, "sources": [*known["sources"], pump]}}
    taken: Steps = [{"do": "Switch Q7 off.", "isolate": "pump"}, {"do": "Padlock Q7.", "lock": "pump"}]
    return "run-on-cut" in errors(["note", "tell", *steps, *taken, "safe"], entries)


_GAS_OFF = {"do": "Shut the plant cock.", "isolate": "gas"}
_GAS_ON = {"do": "Open the plant cock.", "restore": "gas"}
_COOL = {"do": "Let the pump run on.", "wait": "5 min", "for": "The coil cools"}
_STANDS = {"do": "Look.", "observe": "standstill", "seen": "next", "not-seen": "stop"}


@pytest.mark.parametrize(("wait", "cut"), [("5 min", True), ("8 min", False)])
def test_of_a_range_the_longer_end_is_waited_for(wait: str, cut: bool) -> None:
    assert _cut(STOP, {**_COOL, "wait": wait}, runs_on="5 min to 8 min") is cut


@pytest.mark.parametrize(
    ("steps", "cut"),
    [
        ((STOP, _COOL), False),
        ((_GAS_OFF, _COOL), False),
        ((STOP, _STANDS), False),
        ((STOP, _GAS_OFF, _COOL, _GAS_ON), False),
        # Nobody stopped it: with the gas the fire comes back.
        ((_GAS_OFF, _COOL, _GAS_ON, STOP), True),
        ((_GAS_OFF, _COOL, {"do": "Open.", "open_valve": "plant-cock"}, STOP), True),
        ((START, _GAS_OFF, _COOL, _GAS_ON, STOP), True),
        # It stands for now, and may start by itself.
        ((_STANDS,), True),
        ((_STANDS, STOP), True),
        # Demand was off, and somebody saw it fire all the same.
        ((STOP, _COOL, {"do": "Look.", "observe": "firing", "seen": "next", "not-seen": "stop"}), True),
        ((STOP, _COOL, {"do": "Look.", "observe": "full-cycle", "seen": "next", "not-seen": "stop"}), True),
    ],
)
def test_fire_leaves_heat_whichever_way_it_came_back(steps: tuple[Any, ...], cut: bool) -> None:
    assert _cut(*steps) is cut


@pytest.mark.parametrize("more", [(), ("booth",)])
def test_a_part_is_changed_once_what_another_panel_feeds_behind_the_same_cover_is_dead(
    more: tuple[str, ...],
) -> None:
    behind = [
        {**each, "behind": "panel-door", "lock": "Padlock"} if each["id"] == "booth" else each
        for each in _boiler()["sources"]
    ]
    filter_ = {**plant()["entries"]["devices/filter"], "place": "panel"}
    entries = {
        **ENTRIES,
        "equipment/boiler": {**_boiler(), "sources": behind},
        "devices/filter": filter_,
    }
    proofs = [dead(name) for name in ("fan", "control", *more)]
    steps = ["identify", "note", "tell", *off("gas", "fan", "control", *more), *proofs, gone("cap")]
    found = errors([*steps, {"do": "Change it.", "replace": "filter"}, "safe"], entries)
    assert ("replaced-live" in found) is not bool(more)
