"""What an instruction says clause by clause: harmless beside its action, and its neighbours that are not."""

from __future__ import annotations

import pytest

from kbgen.rules.words.english import ENGLISH
from tests.mutants.words import Words
from tests.unit.rules.wording import told

BOILER, HEATER, POOL, DRYER = "ondrel-sb", "vashby-mah", "zellick-ph", "harnok-td"

RIGHT = [
    (DRYER, "isolate: gas", "Swing the lock cap over its handle."),
    (DRYER, "isolate: gas", "Put the lock plate on over its handle."),
    (
        HEATER,
        "'prove_dead': fan, known_source: Proving unit",
        "Lift the shroud off K1, prove its line terminals dead and put the shroud back on.",
    ),
    (POOL, "wait: 1 min, for: The supply runs down", "Give the supply a minute to die."),
    (POOL, "end: evacuated", "Leave now. Take the swimmers along and call from outside."),
    (POOL, "end: evacuated", "Leave at once and bring the crew with you."),
    (HEATER, "lock: gas", "Padlock, tag, key in your bag."),
    (DRYER, "wait: 5 min, for: The drum cools", "Let the drum cool with the lint door shut."),
    (BOILER, "stop_demand: Burner switch to OFF", "See that the new switch is at OFF."),
    (POOL, "measure: ohms, at: J5, to: J6", "Ohms. Tips on `J5` and `J6`."),
    (BOILER, "hand_over: Lead technician", "Walk him round all three locks."),
    (BOILER, "hand_over: Lead technician", "Take the colleague round the locks."),
    (BOILER, "hand_over: Lead technician", "Walk the electrician to the plate."),
    (BOILER, "hand_over: Lead technician", "Show the fitter locks and plate."),
    (BOILER, "inspect: Alarms, ask: 'Quiet?'", "Hold the CO detector in and listen."),
    (HEATER, "hand_over: Technician of the last job", "Leave the padlock on and the button out."),
    (HEATER, "hand_over: Technician of the last job", "Leave the three locks on and the button out. Call."),
    (POOL, "observe: purge", "Watch letter B."),
    (HEATER, "work_in: fan-and-belt", "Shift the motor on its slide until the belt is tight."),
    (HEATER, "work_in: fan-and-belt", "Slide the motor along its rail."),
]
WRONG = [
    (DRYER, "isolate: gas", "Swing the lock cap off its handle."),
    (
        HEATER,
        "'prove_dead': fan, known_source: Proving unit",
        "Take the shroud of K1 off and prove its line terminals dead.",
    ),
    (HEATER, "work_in: fan-and-belt", "Take the shroud of K1 off, set the belt and put the shroud back."),
    (POOL, "wait: 1 min, for: The supply runs down", "Give the supply back for a minute."),
    (POOL, "wait: 1 min, for: The supply runs down", "Give the panel power for a minute."),
    (POOL, "inform: Colleague", "Take the wedge along and put it under the flap."),
    (DRYER, "wait: 5 min, for: The drum cools", "Let a helper with a key open the dryer cock."),
    (HEATER, "stop_demand: Fan switch to OFF", "Turn the heat switch to OFF."),
    (BOILER, "reset: sb-first-low-water", "Wake it up and press START."),
    (HEATER, "hand_over: Technician of the last job", "Leave the button in. Call."),
]


@pytest.mark.parametrize(("plant", "action", "do"), RIGHT)
def test_what_is_harmless_is_quiet(words: Words, plant: str, action: str, do: str) -> None:
    assert not told(words, plant, action, do)


@pytest.mark.parametrize(("plant", "action", "do"), WRONG)
def test_its_neighbour_is_told(words: Words, plant: str, action: str, do: str) -> None:
    assert told(words, plant, action, do)


@pytest.mark.parametrize("word", sorted(ENGLISH.escorts))
def test_people_are_taken_along(words: Words, word: str) -> None:
    assert not told(words, BOILER, "hand_over: Lead technician", f"{word} the colleague round the locks.")
    assert told(words, BOILER, "hand_over: Lead technician", "Take the padlock off the box.")


@pytest.mark.parametrize("word", sorted(ENGLISH.renewed))
def test_what_was_just_changed_needs_no_name(words: Words, word: str) -> None:
    stop = "stop_demand: Burner switch to OFF"
    assert not told(words, BOILER, stop, f"See that the knob of the {word} switch stands at OFF.")
    assert told(words, BOILER, stop, "See that the knob of the purple switch stands at OFF.")
