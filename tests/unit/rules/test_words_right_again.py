"""More instructions as people of the trade write them, each with the neighbour that is not right."""

from __future__ import annotations

import pytest

from kbgen.rules.words.english import ENGLISH
from tests.mutants.words import Case, Words
from tests.unit.rules.wording import told

BOILER, HEATER, POOL, DRYER = "ondrel-sb", "vashby-mah", "zellick-ph", "harnok-td"
RUN_UP = "prove_trip: sb-operating-pressure, tripped: next, not-tripped: next"
SEEN = "observe: purge, seen: next, not-seen: next"
LIFTED = [{"do": "Lift the wire.", "fit": "lifted-wire", "name": "wire-j8", "from": "J8"}]
COOLS = "wait: 1 h, for: Burner door and vent cool down"


def _told(words: Words, plant: str, action: str, do: str) -> bool:
    return told(words, plant, action, do, LIFTED if plant == POOL else ())


# Plant, action, what is right, and its neighbours that are not.
PAIRS: list[tuple[str, str, str, tuple[str, ...]]] = [
    # Volts prove it dead: a meter that beeps or reads ohms says nothing of them.
    (
        BOILER,
        "prove_dead: control, known_source: Proving unit, between: [T19 to T90], dead: next, live: next",
        "Prove `Q2` dead, `T19` to `T90`: meter on volts, not on ohms.",
        ("Prove `Q2` dead, `T19` to `T90`: meter on beep.",),
    ),
    # Gas is looked for with leak fluid.
    (
        BOILER,
        "leak_check: [p3], tight: next, leaks: next",
        "Brush `P3` with leak fluid. No lighter near it.",
        ("Run a lighter round `P3`, look if it catches.", "Brush `P3`, then hold a match to it."),
    ),
    (
        BOILER,
        "close_cover: panel-door",
        "Close the panel door.",
        ("The panel door ajar is enough for today.",),
    ),
    (
        BOILER,
        "hold: sb-first-low-water, for: 5 min",
        "Keep the button of the first low-water cutoff in for five minutes.",
        ("Keep the button of the first low-water cutoff in for a quarter of an hour.",),
    ),
    (
        BOILER,
        "open_valve: plant-cock",
        "Ease the main shutoff round till its handle lies in line with the pipe.",
        ("Ease the main shutoff round till its handle lies across the pipe.",),
    ),
    # What is written down stands as a list, or goes into the book.
    (POOL, "record: [display, gauges]", "Letter, dot, gauges.", ("Letter, dot, gauges. Turn `S1` to OFF.",)),
    (
        POOL,
        "record: [display]",
        "Letter, dot, flashes into the book.",
        ("Letter into the book, then shut the heater cock.",),
    ),
    (
        HEATER,
        "record: [state]",
        "Book: fan did not come up, nothing read.",
        ("Book: fan did not come up. Switch `Q1` off.",),
    ),
    # What is observed is named; whoever is told stands clear; whoever is shown the locks locks nothing.
    (BOILER, SEEN, "Purge down to zero.", ("Cut the purge short.",)),
    (
        DRYER,
        "inform: Everyone at the dryer",
        "Everybody clear of the drum.",
        ("Everybody clear of the drum. Press START.",),
    ),
    (
        BOILER,
        "hand_over: Colleague",
        "Walk the colleague round all three locks.",
        ("Walk round and put a lock on `Q1`.",),
    ),
    # What runs already is let go on; nobody starts it.
    (
        BOILER,
        RUN_UP,
        "Let it run up until the operating pressure control stops it.",
        ("Make the boiler run up until the operating pressure control stops it.",),
    ),
    # Who is shown the locks locks nothing.
    (
        HEATER,
        "hand_over: Electrician of the booth",
        "Show the booth's electrician locks, tags and readings.",
        ("The booth's electrician locks Q2.",),
    ),
    # What is checked with gas has gas behind it, and no air from a pump.
    (
        HEATER,
        "leak_check: [p2], with: gas, tight: next, leaks: next",
        "Brush P2 with leak fluid all round.",
        ("Pump the pipe up to 20 mbar with the hand bulb and dab suds on P2.",),
    ),
    # A lid that may lie there is not shut, a padlock that a switch is cleared of holds nothing.
    (
        HEATER,
        "close_cover: roof-box",
        "Put the lid of the terminal box on. The old seal may lie on the roof.",
        ("The lid of the terminal box may lie on the roof till tomorrow.",),
    ),
    (HEATER, "lock: booth", "Padlock and tag on `Q7`.", ("Clear `Q7` of padlock and tag.",)),
    (DRYER, "lock: mains", "Put the plug into its lock box.", ("Stick the plug back into the wall.",)),
    (
        BOILER,
        "restore: steam",
        "Run the main steam stop valve open by its wheel.",
        ("Run the main steam stop valve down onto its seat.",),
    ),
    # Who is told is told; a fuse is replaced by a fuse; a wedge that holds comes out with its own action.
    (
        BOILER,
        "inform: Shift lead",
        "Tell the shift lead.",
        ("No need to tell the shift lead, she sees it anyhow.",),
    ),
    (
        POOL,
        "replace: ph-thermal-fuse",
        "Swap the melted thermal fuse for a new one.",
        ("Swap the melted thermal fuse for a bit of bare copper.",),
    ),
    (
        HEATER,
        "isolate: motion",
        "Wait until the wheel stands, then put the wedge in.",
        ("See the wheel stand, then draw the wedge out.",),
    ),
    (
        HEATER,
        "start_demand: 'Fan switch to ON, heat switch OFF'",
        "Turn the fan switch to ON. The heat switch stays at OFF.",
        ("Turn both switches to ON, fan and heat.",),
    ),
    # Whose lock it is names no source, though an entry's own words say "theirs".
    (
        BOILER,
        "lock: gas",
        "Put your own padlock on the main shutoff before your colleague takes theirs.",
        ("Put your own padlock on the alarm zone beside theirs.",),
    ),
    # A door that is eased off its latch is open.
    (
        DRYER,
        "observe: firing, seen: next, not-seen: next",
        "Look at the flame through the glass of the loading door.",
        ("Ease the loading door off its latch by a finger's breadth, and look at the flame.",),
    ),
    # What is looked at from outside is not put across anything.
    (
        POOL,
        "find_cause: lockout, cause-mended: next, cause-left: next, not-found: next",
        "Look for the cause: heater cock, air pipe, igniter cable from outside.",
        ("Look for the cause: heater cock, air pipe, igniter cable from J5 to J6.",),
    ),
    # Where somebody stands is no end of a lead.
    (
        POOL,
        "measure: volts, at: J5, to: J0, full: next, none: next, some: next",
        "Read `J5` to `J0`. Stand on dry ground.",
        ("Read `J5` to the ground.", "Red probe to `J5`, black probe to the bare steel of the panel."),
    ),
    # How another switch stands may be told first.
    (
        HEATER,
        "start_demand: Heat switch to ON",
        "Fan switch at ON: turn the heat switch to ON.",
        ("Flick the fan switch to ON, the heat comes with it.",),
    ),
    # What stands behind a colon is what they are told; what follows another way is done here.
    (
        HEATER,
        "inform: Painters and workshop lead",
        "Tell the painters: stop spraying, clear the booth, `Q7` goes off too.",
        ("Tell the painters, clear the duct, then call.",),
    ),
    (
        BOILER,
        "identify: Same number on boiler and panel, same: next, different: next",
        "Check the plates once more, and your three padlocks.",
        ("Check the plates once more, and grease your three padlocks.",),
    ),
    # A sign of the display is no article.
    (POOL, SEEN, "Watch the pre-purge, letter A.", ("Watch the pre-purge, letter a wire.",)),
    # An instrument that is carried is held where the air is.
    (
        BOILER,
        "inspect: Alarms and floor",
        "Smell, hold the gas detector in, look at alarms and floor.",
        (
            "Smell, hold the float in, look at alarms and floor.",
            "Smell, hold the gas detector button in, look at alarms and floor.",
            "Smell, hold the gas detector in with a wedge, look at alarms and floor.",
        ),
    ),
    # Where something is moved is no switch.
    (
        HEATER,
        "work_in: fan-and-belt",
        "Move the motor on its slide until the belt gives.",
        ("Move the motor on until the belt gives.", "Turn the motor on its switch."),
    ),
    # A button that tripped stays out.
    (
        HEATER,
        "hand_over: Technician",
        "Leave both locks on and the button out. Call them.",
        ("Leave both locks on and the limit out. Call them.",),
    ),
    # A lifted wire goes back by landing it on its own terminal.
    (
        POOL,
        "undo: wire-j8",
        "Land the tagged wire on J8 and tug it.",
        ("Land the tagged wire on J7 and tug it.", "Land a jumper on J8 and tug it."),
    ),
    # The screws of a cover go in with it.
    (
        BOILER,
        "close_cover: float-cap",
        "Seat the cap of the float switch and run its screws in.",
        (
            "Seat the cap of the float switch and run its screws out.",
            "Seat the cap of the float switch and run its cock in.",
        ),
    ),
    (
        BOILER,
        "open_cover: float-cap",
        "Take the cap of the float switch off and run its screws out.",
        ("Take the cap of the float switch off and run its screws in.",),
    ),
    # Whatever people are called by, they are told.
    (
        DRYER,
        "inform: Shift lead",
        "Bell the shift lead and say that this dryer is out of action.",
        ("Bell the gas valve and tell the shift lead.",),
    ),
    # A button is named by what is printed on it.
    (
        POOL,
        "reset: lockout",
        "One press on RESET, two seconds long.",
        ("One press on LAST, two seconds long.",),
    ),
    # What is given time is left alone.
    (
        POOL,
        COOLS,
        "Give burner door and vent a good hour to cool.",
        ("Give burner door an hour and vent the coil.", "Clear the burner door and vent a good hour."),
    ),
    # Figures stand the way round that the fields say.
    (
        BOILER,
        "adjust: operating-opens, from: 95 psi, to: 100 psi",
        "Raise the operating pressure, it was on 95 psi, make it 100 psi.",
        (
            "Make the operating pressure 95 psi, it was on 100 psi.",
            "Lower the operating pressure to 100 psi.",
            "Turn the operating pressure down to 100 psi.",
        ),
    ),
    (
        BOILER,
        "adjust: operating-opens, from: 95 psi, to: 100 psi",
        "Turn the screw down until the scale of the operating pressure stands at 100 psi.",
        ("Turn the screw until the operating pressure stands at 105 psi.",),
    ),
    # Of two chambers the one that hands empty is the one of the field.
    (
        BOILER,
        "prove_trip: sb-first-low-water, tripped: next, not-tripped: next",
        "Blow the float chamber empty through its own valve and see the burner drop out.",
        ("Blow the probe chamber empty through its own valve and see the burner drop out.",),
    ),
    (
        BOILER,
        "prove_trip: sb-second-low-water, tripped: next, not-tripped: next",
        "Blow the probe chamber empty through its own valve and see the burner drop out.",
        ("Blow the float chamber empty through its own valve and see the burner drop out.",),
    ),
    # A cover that hangs by a screw is not shut.
    (
        DRYER,
        "close_cover: box-cover",
        "Hang the cover of the control box on and turn both screws in.",
        (
            "The cover of the control box can hang by its lower screw for now.",
            "The cover of the control box stays off for now, screws back in their box.",
        ),
    ),
    # Something jammed into a latch, as an order behind "so".
    (
        DRYER,
        "observe: start, seen: next, not-seen: next",
        "Watch the drum come up. The loading door does not catch well, so note it.",
        (
            "Watch the drum come up. The loading door does not catch well, so stick a screwdriver in its latch.",
            "Watch the drum come up. Jam a coin behind the catch.",
        ),
    ),
    # A screw that is backed out opens.
    (
        HEATER,
        "cap: p4",
        "Turn the screw of P4 home until it no longer hisses.",
        ("Turn the screw of P4 until it hisses.", "Back the screw of P4 out two turns."),
    ),
    # A lock that is collected comes off.
    (
        HEATER,
        "inform: Painters and workshop lead",
        "Tell the painters that the fan comes on, and on your way collect the padlock from the van.",
        (
            "Tell the painters that the fan comes on, and on your way collect the padlock from `Q1`.",
            "Tell the painters that the fan comes on. Gather in your padlocks.",
        ),
    ),
    (HEATER, "unlock: fan", "Collect your padlock from `Q1`.", ("Leave your padlock on `Q1`.",)),
    (
        POOL,
        "end: left-safe",
        "Sign the tag, leave all your padlocks on and tell them.",
        ("Sign the tag, gather in all your padlocks and tell them.",),
    ),
    # The mark of another switch.
    (
        POOL,
        'fit: changed-setting, name: pump-hand, at: "Pump switch S2, at HAND"',
        "Swing the pump switch `S2` over to HAND.",
        ("Swing the heat switch `S1` over to ON.",),
    ),
    # A proof stands as its field says.
    (
        POOL,
        'prove_gone: water, by: "Drain of the coil open, gauge at 0 bar", gone: next, still-there: next',
        "See that the drain of the coil is open, then read the gauge.",
        ("Nip the drain of the coil shut, then read the gauge.",),
    ),
    # Each zone has its own words.
    (
        POOL,
        "work_in: burner-and-fan",
        "Swing the burner door out, brush the igniter and the fan wheel clean.",
        ("Change the thermal fuse, nuts finger-tight first.",),
    ),
    (
        POOL,
        "work_in: door-outside",
        "Change the thermal fuse, nuts finger-tight first.",
        ("Swing the burner door out, brush the igniter and the fan wheel clean.",),
    ),
    # At DC a meter shows nothing of AC.
    (
        POOL,
        "prove_dead: control, known_source: Proving unit, dead: next, live: next",
        "Prove the supply of `Q1` dead in volts AC, then in volts DC, every pair and each to earth.",
        ("Meter to volts DC. Prove the supply of `Q1` dead, every pair and each to earth.",),
    ),
    # A hand holds, and nothing that would stay there.
    (
        BOILER,
        "hold: sb-first-low-water, for: 3 min",
        "Hold the test button of the first low-water cutoff with your thumb, 3 min at most. No tape.",
        (
            "Hold the test button of the first low-water cutoff with a strip of tape round the box, 3 min at most.",
        ),
    ),
    # What is hooked open is not shut.
    (
        HEATER,
        "close_cover: unit-door",
        "Swing the unit door shut and latch it.",
        (
            "Swing the unit door back on its hook.",
            "Swing the unit door back so that it stays wide for the next man.",
        ),
    ),
    (HEATER, "open_cover: unit-door", "Swing the unit door back on its hook.", ("Latch the unit door.",)),
    # Each switch by its own name; another one may be said to stand as it does.
    (
        HEATER,
        "stop_demand: Heat switch to OFF",
        "Flick the heat switch to OFF. The fan switch has been at ON since before.",
        ("Flick the fan switch to OFF, the heat dies with it.",),
    ),
    # What is reset by a button is looked at.
    (
        POOL,
        "check_real: ph-second-outlet-limit, ask: 'Does it stand out?', outcomes: [{when: 'Yes', real: next}]",
        "Unscrew the cap of the second limit and look how far the button stands out.",
        ("Unscrew the cap of the second limit, look how far the button stands out, and push it home.",),
    ),
    # A word before an article tells a verb, whether anybody knows it or not.
    (
        DRYER,
        "inspect: td-exhaust-vane, ask: 'Is it clean?'",
        "Look through the collar at the fan and the vane.",
        ("Look through the collar past the fan and rake the lint off it.",),
    ),
    # What a cock does is no start of what it feeds.
    (
        HEATER,
        "open_valve: firing-cock",
        "Bring the handle of the firing cock into line with the pipe.",
        ("Bring the burner on line.",),
    ),
]


@pytest.mark.parametrize(("plant", "action", "right", "wrong"), PAIRS)
def test_what_is_right_passes_and_its_neighbours_are_told(
    words: Words, plant: str, action: str, right: str, wrong: tuple[str, ...]
) -> None:
    assert not _told(words, plant, action, right)
    assert [each for each in wrong if not _told(words, plant, action, each)] == []


def test_a_wire_that_no_page_lifted_is_landed_in_words_that_go_with_it(words: Words) -> None:
    # That nobody fitted it is told by its name; another alteration in its words is told here.
    case = Case("typed", POOL, {"do": "Land the wire on J8.", "undo": "wire-of-nobody"}, [])
    assert [found.rule.name for found in words.judge(case)] == []
    case = Case("typed", POOL, {"do": "Land a jumper on J8.", "undo": "wire-of-nobody"}, [])
    assert [found.rule.name for found in words.judge(case)] == ["words-against-action"]


@pytest.mark.parametrize("screw", sorted(ENGLISH.cover_screws))
def test_every_screw_goes_with_its_cover(words: Words, screw: str) -> None:
    do = f"Seat the cap of the float switch and run the {screw}"
    assert not _told(words, BOILER, "close_cover: float-cap", f"{do} home.")
    assert _told(words, BOILER, "close_cover: float-cap", f"{do} out.")


@pytest.mark.parametrize("pair", sorted(ENGLISH.carried))
def test_every_instrument_that_is_carried(words: Words, pair: tuple[str, str]) -> None:
    do = f"Hold the {' '.join(pair)} in"
    assert not _told(words, BOILER, "inspect: Alarms", f"Look at the alarms. {do}.")
    assert _told(words, BOILER, "inspect: Alarms", f"Look at the alarms. {do} with tape.")


@pytest.mark.parametrize("verb", sorted(ENGLISH.lands))
def test_every_verb_that_lands_a_wire(words: Words, verb: str) -> None:
    assert not _told(words, POOL, "undo: wire-j8", f"{verb.capitalize()} the wire to J8.")
    assert _told(words, POOL, "undo: wire-j8", f"{verb.capitalize()} the wire to J7.")


@pytest.mark.parametrize("verb", sorted(ENGLISH.lets))
def test_what_is_let_run(words: Words, verb: str) -> None:
    assert not _told(words, BOILER, RUN_UP, f"{verb.capitalize()} it run up until it stops.")
    assert _told(words, BOILER, "record: [gauges]", f"Note it. {verb.capitalize()} it run up.")


@pytest.mark.parametrize("word", sorted(ENGLISH.its))
def test_a_place_behind_on(words: Words, word: str) -> None:
    assert not _told(words, HEATER, "work_in: fan-and-belt", f"Move the motor on {word} slide.")
    assert _told(words, HEATER, "work_in: fan-and-belt", "Move the motor on.")


@pytest.mark.parametrize("word", sorted(ENGLISH.good))
def test_a_measure_of_time(words: Words, word: str) -> None:
    assert not _told(words, POOL, COOLS, f"Give burner door and vent a {word} hour to cool.")
    assert _told(words, POOL, COOLS, f"Give burner door and vent a {word} coil to cool.")


@pytest.mark.parametrize("letter", sorted(ENGLISH.letters))
def test_a_sign_of_the_display(words: Words, letter: str) -> None:
    assert not _told(words, POOL, SEEN, f"Watch the purge, letter {letter}.")
    assert _told(words, POOL, SEEN, f"Watch the purge, letter {letter.lower()} wire.")


ADJUST = "adjust: operating-opens, from: {} psi, to: {} psi"


@pytest.mark.parametrize("word", sorted(ENGLISH.was))
def test_where_a_setting_stood(words: Words, word: str) -> None:
    do = f"Set the operating pressure to 100 psi, it {word} at 95 psi."
    assert not _told(words, BOILER, ADJUST.format(95, 100), do)
    assert _told(words, BOILER, ADJUST.format(100, 95), do)


@pytest.mark.parametrize("verb", sorted(ENGLISH.raises | ENGLISH.lowers))
def test_the_way_a_setting_goes(words: Words, verb: str) -> None:
    do = f"{verb.capitalize()} the operating pressure to 100 psi."
    up = verb in ENGLISH.raises
    assert _told(words, BOILER, ADJUST.format(95, 100), do) is not up
    assert _told(words, BOILER, ADJUST.format(105, 100), do) is up


@pytest.mark.parametrize("current", sorted(ENGLISH.currents))
def test_the_current_that_a_meter_is_set_to(words: Words, current: str) -> None:
    action = "prove_dead: control, known_source: Proving unit, dead: next, live: next"
    do = f"Meter to volts {current.upper()}. Prove Q1 dead, every pair and each to earth."
    assert _told(words, POOL, action, do) is (current != "ac")


@pytest.mark.parametrize("word", sorted(ENGLISH.hanging))
def test_a_cover_that_hangs(words: Words, word: str) -> None:
    assert _told(words, DRYER, "close_cover: box-cover", f"The cover of the control box {word} by a screw.")


@pytest.mark.parametrize("word", sorted(ENGLISH.ajar))
def test_a_cover_that_stays(words: Words, word: str) -> None:
    cover = "close_cover: box-cover"
    assert _told(words, DRYER, cover, f"The cover of the control box stays {word}, screws back in the box.")
    assert not _told(words, DRYER, cover, "The cover of the control box goes back on and stays there.")


@pytest.mark.parametrize("word", sorted(ENGLISH.escapes))
def test_gas_that_comes_out_of_what_is_closed(words: Words, word: str) -> None:
    assert _told(words, HEATER, "cap: p4", f"Turn the screw of P4 until it {word}.")
    assert not _told(words, HEATER, "cap: p4", f"Turn the screw of P4 in until it never {word}.")


@pytest.mark.parametrize("word", sorted(ENGLISH.therefore))
def test_an_order_behind_a_reason(words: Words, word: str) -> None:
    loose = f"Look at the latch. It is loose, {word}"
    assert _told(words, DRYER, "inspect: Latch", f"{loose} jam a coin behind the catch.")
    assert not _told(words, DRYER, "inspect: Latch", f"{loose} look at the catch.")


@pytest.mark.parametrize("word", sorted(ENGLISH.joined))
def test_a_lifted_wire_is_joined_to_nothing(words: Words, word: str) -> None:
    lift = "fit: lifted-wire, name: wire-j8, from: J8"
    assert not _told(words, POOL, lift, "Lift the wire out of `J8`, sleeve over it.")
    assert _told(words, POOL, lift, f"Lift the wire out of `J8`, {word} with its neighbour.")


@pytest.mark.parametrize("word", sorted(ENGLISH.aims))
def test_what_a_cover_is_left_open_for(words: Words, word: str) -> None:
    assert not _told(words, HEATER, "close_cover: unit-door", f"Latch the unit door {word} it stays shut.")
    assert _told(words, HEATER, "close_cover: unit-door", f"Swing the unit door to {word} it stays ajar.")


@pytest.mark.parametrize("word", sorted(ENGLISH.buttons))
def test_what_a_device_is_reset_by_is_only_looked_at(words: Words, word: str) -> None:
    check = "check_real: ph-second-outlet-limit, ask: 'Does it stand out?'"
    assert not _told(words, POOL, check, f"Look at the {word} of the second outlet limit.")
    assert _told(words, POOL, check, f"Look at the {word} of the second outlet limit and push it home.")


@pytest.mark.parametrize("word", sorted(ENGLISH.tests))
def test_a_button_that_only_tests_may_be_pressed(words: Words, word: str) -> None:
    check = "check_real: ph-second-outlet-limit, ask: 'Does it open?'"
    assert not _told(words, POOL, check, f"Press the {word} button of the second outlet limit.")
    assert _told(words, POOL, check, "Press the button of the second outlet limit.")


STILL = [
    ("Is it turning nicely?", "Yes", False),
    ("Is it still turning?", "No", True),
    ("Does the drum stand still?", "Yes", True),
    ("Does the drum stand still?", "No", False),
]


@pytest.mark.parametrize(("ask", "when", "right"), STILL)
def test_standstill_is_seen_where_nothing_turns(words: Words, ask: str, when: str, right: bool) -> None:
    seen = f"observe: standstill, ask: '{ask}', outcomes: [{{when: '{when}', seen: next}}]"
    assert _told(words, DRYER, seen, "Watch the drum through the glass.") is not right
