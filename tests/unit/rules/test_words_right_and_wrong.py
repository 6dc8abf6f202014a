"""Instructions as people of the trade write them: what goes with its action, and the neighbour that does not."""

from __future__ import annotations

import pytest

from kbgen.rules.words.english import ENGLISH
from tests.mutants.words import Words
from tests.unit.rules.wording import told

BOILER, HEATER, POOL, DRYER = "ondrel-sb", "vashby-mah", "zellick-ph", "harnok-td"


RIGHT = [
    (DRYER, "replace: td-lint-door", "Put the new switch of the lint door in."),
    (HEATER, "end: returned-to-service", "Enter cause and reset in the record."),
    (HEATER, "record: [display]", "Before panel and ladder, take a moment. Write the display down."),
    (
        HEATER,
        "inform: Painters and workshop lead",
        "Tell the painters. They stop spraying and clear the booth.",
    ),
    (HEATER, "inform: Painters and workshop lead", "Tell the painters to stop spraying and clear the booth."),
    (POOL, "wait: 6 min, for: Fan and pump carry the heat out", "Let the run-on of 5 min finish."),
    (
        DRYER,
        "prove_gone: heat, by: Contact thermometer below 45 °C",
        "Thermometer on the hood: below 45 °C, 60 °C is hot.",
    ),
    (BOILER, "prove_dead: control", "Tester on every pair at `T10` and `T90`, and each to ground."),
    (
        POOL,
        "measure: volts, at: J1, to: J0, reads: 22.8 V to 25.2 V",
        "Turn the meter from ohms to volts and read `J1` to `J0`.",
    ),
    (DRYER, "work_in: drum-and-belt", "Swing the idler aside and set the belt on its track."),
    (
        DRYER,
        "inspect: Locks, ask: 'Are they on?'",
        "Look at plug box, lock cap and booster switch before a cover comes off.",
    ),
    (
        DRYER,
        "inform: Colleague",
        "Show the colleague the locks and what is undone: the belt lies beside its track.",
    ),
    (DRYER, "open_gas_train: g1", "Break the joint at G1 and renew its seal."),
    (POOL, "lock: water", "Thread the chain through both handwheels, snap the padlock shut, tags on."),
    (
        BOILER,
        "wait: 1 h, for: Pressure falls",
        "Let the steam pressure fall by itself. Read the gauge every 10 min.",
    ),
    (
        BOILER,
        "replace: sb-high-gas-pressure",
        "Old high gas pressure switch out, new one in. The low gas pressure switch stays.",
    ),
    (BOILER, "leak_check: [p2, p3]", "Soap P2 and P3, not P4, and look for bubbles."),
    (BOILER, "hold: sb-first-low-water, for: 5 min", "Hold the test button of the first low water."),
    # What teaches, names or takes for done what nobody does.
    (DRYER, "end: left-safe", "Show the operator how the lamp tells that the drum stands."),
    (BOILER, "open_gas_train: work-order-joint", "Open the gas filter named in the work order."),
    (BOILER, "cap: work-order-joint", "Close the gas filter with a new gasket."),
    (BOILER, "unlock: fan", "Take your padlock off Q1, that of this job."),
    (BOILER, "lock: steam", "Run a chain through the handwheel of the main stop and snap your padlock on."),
    (BOILER, "shut_valve: pilot-cock", "Close the little cock in the thin line that feeds the pilot."),
    (POOL, "replace: ph-water-flow", "Undo the paddle switch from the pipe and screw the new one in."),
    (POOL, "clip: meter-1, at: J5, to: J0", "Clip both leads on `J5` and `J0`."),
    (POOL, "stop_demand: Heat switch S1 to OFF", "Turn `S1` to OFF and keep to the side of the burner door."),
    (DRYER, "restore: mains", "Push the plug into its socket, paint mark up."),
    (
        HEATER,
        "inspect: Blue lamp, ask: 'Is it lit once the fan runs?'",
        "Look at the blue lamp on the panel.",
    ),
    (BOILER, "open_cover: probe-cap", "Note how the cap of the probe relay sits, and take it off."),
    # A button is named by what it resets; a figure of the name or of where it stood is no figure it is set to.
    (HEATER, "reset: limit-75-button", "Press the red button of the 75 °C limit under its flap, once."),
    (DRYER, "reset: exhaust-limit-button", "Push the pin of the exhaust limit in once."),
    (
        HEATER,
        "adjust: limit-60-opens, from: 60 °C, to: 15 °C",
        "Turn the scale of the 60 °C limit down until it stands below the outlet air.",
    ),
    (HEATER, "adjust: limit-60-opens, from: 60 °C, to: 15 °C", "Turn it from 60 °C down to 15 °C."),
    (
        BOILER,
        "hold: sb-first-low-water, for: 5 min",
        "The person at the glass holds the test button of the first low water and does not let go.",
    ),
    # What runs down by itself is waited for.
    (POOL, "wait: 1 min, for: 24 V power supply", "Let the 24 V power supply run down."),
    (POOL, "wait: 1 min, for: 24 V power supply", "Let the power rail discharge down to nothing."),
    (DRYER, "isolate: mains", "Pull the plug, and switch the socket off."),
    (DRYER, "lock: mains", "Put the plug into the lock box and hang your tag on it."),
    (HEATER, "lock: motion", "Hang your tag on the wedge and the door handle."),
    # What is left as it is, nobody turns.
    (
        HEATER,
        "start_demand: Fan switch at ON, heat switch stays at OFF",
        "Turn the fan switch to ON, heat switch left at OFF.",
    ),
    # Where a trial is broken off is no trip by a switch; what a switch drives may be tripped by it.
    (
        BOILER,
        "prove_trip: sb-high-steam-pressure",
        "Let it fire and watch the gauge. At 128 psi turn the burner switch to OFF, whatever happens.",
    ),
    (HEATER, "prove_trip: mah-fan-switch", "Turn the fan switch to OFF."),
    (BOILER, "isolate: feed-water", "Switch the feed pump off and shut the feed stop valve at the boiler."),
    (
        BOILER,
        "adjust: operating-opens, from: 90 psi, to: 100 psi",
        "Turn the control from 90 psi to 100 psi.",
    ),
    # Hands are at the terminals of the panel, and the step says so.
    (BOILER, "work_in: panel-terminals", "Tighten `T19` to `T27` one after the other."),
    (BOILER, "inspect: Terminals of the limit string", "Look whether any terminal screw is loose."),
    # An electrician opens a switch to turn it off.
    (BOILER, "isolate: control", "Open the disconnect Q2."),
    (BOILER, "restore: fan", "Close Q1 again."),
    # A lock, its chain, its plate or its box go on and come off together.
    (BOILER, "unlock: gas", "Remove your padlock and chain from the plant cock."),
    (DRYER, "lock: mains", "Close the lock box over the plug and hang lock and tag."),
    (DRYER, "unlock: mains", "Open the lock box and take the plug out."),
    # What is only watched belongs to no deed before it.
    (BOILER, "prove_gone: feed-water", "Try the feed pump hand switch and watch the level in the glass."),
    (POOL, "record: [display]", "Hold the button LAST and write down what it says."),
    # A device that is replaced hangs on wires.
    (BOILER, "replace: sb-burner-switch", "Fit the new burner switch and connect its two wires."),
    (
        HEATER,
        "replace: mah-fan-contactor",
        "Take the wires off K1, change it and screw them on at the same marks.",
    ),
    # A quantity is no device.
    (
        BOILER,
        "prove_trip: sb-operating-pressure",
        "Let the steam pressure rise until the control stops the burner.",
    ),
    # How something stands meanwhile is no part of the deed.
    (BOILER, "leak_check: [p2]", "Put the cap under leak spray with the plant cock open."),
    (BOILER, "end: evacuated", "Go out, and shut the gas only if it can be done on the way."),
    (BOILER, "end: left-safe", "Leave the locks on. The tag says: reset once, cause mended."),
    (BOILER, "end: left-safe", "Leave the locks on, and the tag says: reset once."),
    (HEATER, "end: left-safe", "Leave all the locks and the wedge in with their tags."),
    (HEATER, "end: left-safe", "Leave the wedge in place, the locks on, and come down."),
    (DRYER, "reset: td-exhaust-limit", "Push the pin of the exhaust limit in once."),
    (
        DRYER,
        "measure: ohms, across: td-loading-door",
        "Shut the loading door and read the ohms across its switch.",
    ),
    (BOILER, "unlock: gas", "Remove your lock, tag and chain from the plant cock."),
    (BOILER, "close_cover: panel-door", "Close and lock the panel door with its key."),
    (
        BOILER,
        "prove_dead: control, known_source: Proving unit",
        "Prove the outgoing supply dead at T10 and T90.",
    ),
    (BOILER, "work_in: burner-throat", "Take the pilot tube out, clean it and put it back."),
    (HEATER, "work_in: fan-and-belt", "Remove the guard, change the belt, put the guard back."),
    (HEATER, "lock: motion", "Fit the wedge into the wheel and tag the door."),
    (DRYER, "isolate: motion", "Let the drum run down and see that no load stays in it."),
    (DRYER, "end: returned-to-service", "Leave it running with its load."),
    # What tells a deed names its object by a clause of its own, and the deed goes on behind it.
    (BOILER, "shut_valve: plant-cock", "Turn the cock where the gas train begins off."),
    (BOILER, "shut_valve: burner-cock", "Put the handle of the last cock before the burner across the pipe."),
    (BOILER, "shut_valve: pilot-cock", "Turn the cock in the thin line to the pilot off."),
    (BOILER, "close_cover: float-cap", "Have the cover of the float switch put on."),
    (BOILER, "restore: control", "Push Q2 up to ON."),
    (POOL, "shut_valve: heater-cock", "Screw the heater valve down."),
    (POOL, "open_valve: heater-cock", "Bring the gas back at the heater stopcock."),
    (HEATER, "", "Lay the tools out on a rag."),
    (POOL, "", "Put a new second outlet limit in."),
    (POOL, "replace: ph-second-outlet-limit", "Fit the new limit. A clamp keeps its capillary straight."),
    (POOL, "unlock: pump", "Take your own padlock off `Q7`."),
    (POOL, "unlock: pump", "Take your padlock off when the one of the electrician has come off."),
    (POOL, "unlock: pump", "Let the electrician take his padlock off, then take off yours."),
]
WRONG = [
    # Of another stranger's set: a deed in a participle, another supply's conductors, another quantity, a warmer proof.
    (
        DRYER,
        "observe: firing",
        "Watch the flame with a folded beer mat jammed behind the plunger of the loading door.",
    ),
    (BOILER, "inspect: Gauge glass", "Look at the glass, a rag stuffed into the boiler vent."),
    (
        BOILER,
        "prove_dead: control",
        "Check `L1`, `L2` and `L3` for zero volts against each other and ground.",
    ),
    (
        DRYER,
        "measure: ohms, at: D4, to: D5, reads: 0 Ω to 1 Ω",
        "Meter to volts AC and measure from `D4` to `D5`.",
    ),
    (
        POOL,
        "prove_gone: heat, by: Contact thermometer below 40 °C",
        "Burner door: anything under 80 °C is cool enough.",
    ),
    (POOL, "wait: 6 min, for: Fan and pump carry the heat out", "Wait 5 min."),
    (HEATER, "inform: Painters", "Bridge `H4` to `H5` and tell the painters."),
    (DRYER, "inform: Shift lead", "Tell the shift lead and clear the duct."),
    # What was made quiet for a belt on its track and a lock cap still tells.
    (DRYER, "work_in: drum-and-belt", "Switch the drum on with the belt off."),
    (DRYER, "unlock: mains", "Lock plug and box."),
    # Of a stranger's set.
    (HEATER, "lock: gas", "Fasten padlock and tag on the firing cock."),
    (
        POOL,
        "measure: volts, at: J5, to: J0, meter: low-impedance",
        "Dial the meter to its ordinary high-impedance range and read `J5` to `J0`.",
    ),
    (DRYER, "wait: 30 min, for: Hood and collar cool", "Give hood and collar 3 minutes to cool."),
    (BOILER, "replace: sb-low-gas-pressure", "Swap the high gas pressure switch for the new one."),
    (DRYER, "stop_demand: Press STOP", "Hit START and let it go on."),
    (BOILER, "open_gas_train: p2", "Unscrew the plug of P4, slowly."),
    (HEATER, "leak_check: [p2, p3]", "Soap P1 and P4 and look for bubbles."),
    (DRYER, "unclip: [meter-1]", "Nip the meter leads back on at D6 and D20."),
    (BOILER, "lock: feed-water", "Strip chain and padlock from the feed stop valve and the pump switch."),
    (BOILER, "hold: sb-second-low-water, for: 5 min", "Hold the test button of the first low water."),
    (
        DRYER,
        "end: left-safe",
        "Show the operator how a strip of tape over the plunger keeps a busy day going.",
    ),
    (BOILER, "open_gas_train: work-order-joint", "Open the gas cock before the filter."),
    (BOILER, "unlock: fan", "Take the padlocks off Q1, yours and that of the electrician."),
    (BOILER, "unlock: fan", "Open the second padlock on Q1 with the spare key from the office."),
    (BOILER, "unlock: fan", "Open the second padlock on Q1 with the master key."),
    (BOILER, "shut_valve: burner-cock", "Close the little cock in the thin line that feeds the pilot."),
    (POOL, "replace: ph-water-pressure", "Undo the paddle switch from the pipe and screw the new one in."),
    (POOL, "clip: meter-1, at: J5, to: J0", "Pull both crocodile clips off `J5` and `J0`."),
    (POOL, "stop_demand: Heat switch S1 to OFF", "Turn `S1` to ON and keep to the side of the burner door."),
    (DRYER, "isolate: mains", "Push the plug into its socket, paint mark up."),
    (HEATER, "lock: motion", "Draw the wedge out of the fan wheel and hang it on its hook."),
    (
        HEATER,
        "inspect: Blue lamp, ask: 'Does it light after you have turned the fan switch off and on?'",
        "Look at the blue lamp on the panel.",
    ),
    (BOILER, "open_cover: probe-cap", "Note the level in the glass and how quickly it swings."),
    (DRYER, "start_demand: START in AIR ONLY", "Tell the shift lead that the load stays wet for an hour."),
    (DRYER, "", "Blank off half of the duct outlet with the board from the van."),
    (
        HEATER,
        "measure: volts, at: H5, to: M0",
        "Slip the wire off `H5` and hold the probes on `H5` and `M0`.",
    ),
    (DRYER, "observe: standstill", "Wait until the drum has come to rest, then set AIR ONLY going again."),
    (HEATER, "reset: overload-button", "Press the red button of the 75 °C limit under its flap, once."),
    (HEATER, "adjust: limit-60-opens, from: 60 °C, to: 15 °C", "Set the scale to 60 °C."),
    (HEATER, "adjust: limit-60-opens, from: 60 °C, to: 15 °C", "Turn the 60 °C limit to 30 °C."),
    (POOL, "wait: 1 min, for: 24 V power supply", "Power the panel down."),
    # The entry says that the plug is pulled, and what holds it off.
    (DRYER, "isolate: mains", "Switch the dryer off at the switch of its socket."),
    (DRYER, "lock: mains", "Stick red tape over the socket switch and hang your tag on it."),
    (HEATER, "lock: motion", "Hang the tag on the unit door."),
    # The switch stops the burner; the device is believed and was never seen to.
    (
        HEATER,
        "prove_trip: mah-low-airflow",
        "With the burner firing turn the fan switch to OFF and see the flame go out.",
    ),
    # The source's own words say that this valve is shut for it.
    (BOILER, "isolate: feed-water", "Switch the feed pump off and open the feed stop valve at the boiler."),
    (BOILER, "adjust: operating-opens, from: 90 psi, to: 100 psi", "Turn the control up to 130 psi."),
    # With the panel live, hands at terminals stood in the words alone.
    (BOILER, "inspect: Terminals of the limit string", "Tighten `T19` to `T27` one after the other."),
    (BOILER, "", "Crimp the wire at `T24` anew."),
    (BOILER, "isolate: gas", "Open the plant cock."),
    (BOILER, "restore: gas", "Close the plant cock."),
    (BOILER, "unlock: gas", "Remove your padlock and open the burner cock."),
    (DRYER, "lock: mains", "Close the lock box over the plug and press START."),
    (BOILER, "record: [display]", "Hold the flap shut and write down what it says."),
    (BOILER, "replace: sb-burner-switch", "Put a wire across the old switch."),
    (BOILER, "replace: sb-burner-switch", "Lift the two wires off and twist them together."),
    (
        BOILER,
        "prove_trip: sb-operating-pressure",
        "Let it rise until the high steam pressure limit stops the burner.",
    ),
    (BOILER, "leak_check: [p2]", "Put the plant cock open and spray the cap."),
    (BOILER, "end: evacuated", "Go out and switch Q2 off."),
    (BOILER, "end: left-safe", "The tag says so; press reset."),
    (BOILER, "end: left-safe", "The tag says so: press reset."),
    (BOILER, "end: left-safe", "Do what the tag says: press reset."),
    (BOILER, "end: left-safe", "The tag says: reset once, then press reset again."),
    (BOILER, "end: left-safe", "The tag says: reset once, now press reset again."),
    (BOILER, "end: left-safe", "The tag says: reset once. Press reset again."),
    (BOILER, "end: left-safe", "The: press reset."),
    (BOILER, "end: left-safe", "The tag says: bridge `T20` and `T21`."),
    (HEATER, "end: left-safe", "Leave the wedge in the damper."),
    (HEATER, "end: left-safe", "Leave the tape in place."),
    (BOILER, "reset: sb-second-low-water", "Press the button in and wedge it."),
    (
        DRYER,
        "measure: ohms, across: td-loading-door",
        "Open the loading door and read the ohms across its switch.",
    ),
    (DRYER, "inspect: Load in the drum", "Look at the wet load through the glass; it stays in the drum."),
    (DRYER, "isolate: motion", "Let the drum run down and leave the load in it."),
    (DRYER, "work_in: drum-and-belt", "Switch the dryer on and lay the belt on."),
    (BOILER, "shut_valve: plant-cock", "Turn the cock where the gas train begins on."),
    (POOL, "replace: ph-ventilation", "A strip of tape holds the vane in the made position."),
    (
        BOILER,
        "hold: sb-second-low-water, for: 20 s",
        "The person at the glass holds the test button of the first low water and does not let go.",
    ),
    (BOILER, "", "Put the handle of the last cock before the burner across the pipe."),
    (BOILER, "shut_valve: burner-cock", "Swing the burner stopcock in line with the pipe."),
    (BOILER, "", "Have the burner stopcock opened."),
    (POOL, "", "Q1 to OFF."),
    (HEATER, "", "Plug the safety valve."),
    (POOL, "", "Leave the thermal fuse at the burner door out."),
    (POOL, "", "Put the second outlet limit up."),
    (POOL, "", "Turn the vent pressure switch all the way up."),
    (POOL, "unlock: pump", "Take both padlocks off `Q7`, yours and the one of the electrician of the bath."),
    (POOL, "unlock: pump", "Take your padlock and the electrician's padlock off `Q7`."),
]


@pytest.mark.parametrize(("plant", "action", "do"), RIGHT)
def test_right_words_are_quiet(words: Words, plant: str, action: str, do: str) -> None:
    assert not told(words, plant, action, do)


@pytest.mark.parametrize(("plant", "action", "do"), WRONG)
def test_their_neighbours_aretold(words: Words, plant: str, action: str, do: str) -> None:
    assert told(words, plant, action, do)


@pytest.mark.parametrize("word", sorted(ENGLISH.quiet))
def test_a_verb_that_tells_no_deed_ends_the_deed_before_it(words: Words, word: str) -> None:
    assert not told(words, BOILER, "", f"Try the feed pump hand switch and {word} the glass in the light.")
    assert told(words, BOILER, "", f"Press the flap with a finger and {word} the glass in the light.")


@pytest.mark.parametrize("word", sorted(ENGLISH.tags))
def test_what_is_written_on_it_tells_nobody_to_do_it(words: Words, word: str) -> None:
    assert not told(words, BOILER, "end: left-safe", f"The {word} says: reset once, cause mended.")
    assert told(words, BOILER, "end: left-safe", f"Look at the {word}: reset once.")


@pytest.mark.parametrize("word", sorted(ENGLISH.says))
def test_what_it_says_stands_behind_such_a_word(words: Words, word: str) -> None:
    assert not told(words, BOILER, "end: left-safe", f"The tag {word}: reset once, cause mended.")
    assert told(words, BOILER, "end: left-safe", f"The lead {word}: reset once.")


@pytest.mark.parametrize("word", sorted(ENGLISH.own_wires))
def test_the_wires_of_a_part_come_off_with_it(words: Words, word: str) -> None:
    assert not told(
        words, BOILER, "replace: sb-burner-switch", f"Lift the {word} off and fit the new switch."
    )
    assert told(words, BOILER, "", "Lift the two wires off the terminals.")


@pytest.mark.parametrize("word", sorted(ENGLISH.sides))
def test_wires_that_are_brought_together_are_a_bridge(words: Words, word: str) -> None:
    assert told(words, BOILER, "replace: sb-burner-switch", f"Twist the wires {word} the terminal.")


@pytest.mark.parametrize("word", sorted(ENGLISH.rest))
def test_a_wedge_that_locks_stays_where_it_is(words: Words, word: str) -> None:
    assert not told(words, HEATER, "end: left-safe", f"Leave the wedge in {word}.")
    assert told(words, HEATER, "end: left-safe", f"Leave the jumper in {word}.")


@pytest.mark.parametrize("word", sorted(ENGLISH.quantities))
def test_a_quantity_alone_names_no_device(word: str) -> None:
    assert word not in ENGLISH.kinds


@pytest.mark.parametrize("word", sorted(ENGLISH.takes))
def test_a_part_comes_out_of_a_safe_zone_and_goes_in_again(words: Words, word: str) -> None:
    out = f"{word.capitalize()} the pilot tube out"
    assert not told(words, BOILER, "work_in: burner-throat", f"{out}, clean it and put it back.")
    assert not told(words, BOILER, "work_in: burner-throat", f"{out}, clean it and push it on again.")


@pytest.mark.parametrize("word", sorted(ENGLISH.shrouds))
def test_no_shroud_comes_off(words: Words, word: str) -> None:
    assert told(words, BOILER, "work_in: fan-housing", f"Take the {word} off, clean it and put it back.")


@pytest.mark.parametrize("word", sorted(ENGLISH.inside))
def test_a_load_comes_out_where_the_plant_says_so(words: Words, word: str) -> None:
    assert "load" in ENGLISH.loads
    assert told(words, DRYER, "", f"The load stays {word} the drum.")
    assert not told(words, BOILER, "", f"The load stays {word} the drum.")


@pytest.mark.parametrize("word", sorted(ENGLISH.scant))
def test_a_proof_is_whole(words: Words, word: str) -> None:
    proof = "prove_dead: fan, known_source: Proving unit"
    assert told(words, BOILER, proof, f"Prove L1 to L2 and L2 to L3 dead; to earth is {word}.")
    assert not told(words, BOILER, proof, "Prove L1, L2 and L3 dead to each other and to earth.")


@pytest.mark.parametrize("word", sorted(ENGLISH.of_place))
def test_a_place_is_part_of_the_name(words: Words, word: str) -> None:
    assert told(words, BOILER, "shut_valve: burner-cock", f"Turn the burner cock {word} the pipe bends on.")


@pytest.mark.parametrize("word", sorted(ENGLISH.befores))
def test_what_is_done_first_is_no_place(words: Words, word: str) -> None:
    assert word in ENGLISH.of_place
    assert told(words, BOILER, "", f"Shut the burner cock {word} you go.")


READ = "measure: volts, at: J5, to: J0, meter: "
RANGES = [(name, each) for name, words in ENGLISH.ranges.items() for each in words]


@pytest.mark.parametrize(("name", "said"), RANGES)
def test_every_word_for_a_range_of_the_meter_goes_with_it_and_against_the_other(
    words: Words, name: str, said: str
) -> None:
    do = f"Set the meter to {said} and read `J5` to `J0`."
    (other,) = ENGLISH.ranges.keys() - {name}
    assert not told(words, POOL, READ + name, do)
    assert told(words, POOL, READ + other, do)


@pytest.mark.parametrize(("unit", "seconds"), ENGLISH.seconds.items())
def test_every_word_for_a_length_of_time_is_read(words: Words, unit: str, seconds: int) -> None:
    action = f"wait: {2 * seconds} s, for: It cools"
    assert not told(words, DRYER, action, f"Let it cool for 2 {unit}.")
    assert told(words, DRYER, action, f"Let it cool for 3 {unit}.")


@pytest.mark.parametrize("word", sorted(ENGLISH.repeats))
def test_what_is_done_again_is_not_what_is_waited(words: Words, word: str) -> None:
    assert not told(words, DRYER, "wait: 1 h, for: It cools", f"Let it cool. Read it {word} 10 min.")
    assert told(words, DRYER, "wait: 1 h, for: It cools", "Let it cool. Read it after 10 min.")
