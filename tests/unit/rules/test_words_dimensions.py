"""Each dimension of an action's own data against the words: figures, positions, points, ends, who does it.

Every word of the tables that hold them has a sentence in which it decides, and the same sentence without it.
"""

from __future__ import annotations

import pytest

from kbgen.rules.words.english import ENGLISH
from kbgen.rules.words.figures import spans
from tests.mutants.words import Words
from tests.unit.rules.wording import told

BOILER, DRYER, ROOF, POOL = "ondrel-sb", "harnok-td", "vashby-mah", "zellick-ph"
_HEAT = (
    "prove_gone: heat, by: Contact thermometer below 40 °C on the burner door, gone: next, still-there: next"
)
_VOLTS = "measure: volts, at: J5, to: J0, reads: 22.8 V to 25.2 V, full: next, none: next, some: next"
_PRESS = "reset: lockout"
_SHUT, _OPEN = "shut_valve: heater-cock", "open_valve: heater-cock"
_TUBE = "fit: unplugged-tube, name: tube-1, over: mah-low-airflow, at: Tube at the low airflow switch"
_HOLD = "hold: sb-first-low-water, for: 5 min"
_AIR = "start_demand: START in AIR ONLY"
_TRY = "'try_start': 'S1 to ON, then back to OFF', dead: next, live: next"
_GUARD = "guard: control, with: Shroud over the upper terminals of Q1"
_FIT = "name: one, from: J5, back: Put it back."

# Field, plant, action, a sentence that is told with each of its words, and one that is quiet.
DECIDES = [
    ("again", POOL, _PRESS, "Press RESET for 2 s {}.", "Press RESET for 2 s, once."),
    ("times", POOL, _PRESS, "Press RESET for 2 s, three {}.", "Press RESET for 2 s, one time."),
    ("as_it_is", POOL, _TRY, "Turn `S1` to ON and leave {}.", "Turn `S1` to ON and back to OFF."),
    ("crosswise", POOL, _OPEN, "Open the heater cock, handle {} pipe.", "Open the heater cock."),
    ("lengthwise", POOL, _SHUT, "Shut the heater cock, handle {} pipe.", "Shut the heater cock."),
    ("part_way", POOL, _SHUT, "Shut the heater cock {}.", "Shut the heater cock."),
    ("hands_over", POOL, "lock: pump", "Lock `Q7`, {} the electrician a key.", "Lock `Q7`, show the electrician a key."),
    ("keys", POOL, "lock: pump", "Lock `Q7`, give him the {}.", "Lock `Q7`, give him the list."),
    ("body", DRYER, "observe: standstill", "Watch the drum stand still by {}.", "Watch the drum stand still."),
    ("with_tool", DRYER, "observe: standstill", "Watch it stand still {} glove.", "Watch it stand still."),
    ("earths", POOL, _VOLTS, "Read `J5` to the {}.", "Read `J5` to `J0`."),
    ("limitless", BOILER, _HOLD, "Hold the test button of the first low water {}.", "Hold the test button of the first low water."),
    ("unlocked", POOL, "lock: pump", "Hang the padlock on `Q7`, {}.", "Hang the padlock on `Q7`."),
    ("presses", POOL, "record: [display]", "Write it down, {} RESET for 2 s.", "Write it down, leave RESET for now."),
    ("turning", DRYER, "observe: standstill", "See the drum {}.", "See the drum stand still."),
    ("allowed", BOILER, "leak_check: [p3]", "Brush `P3`; a few bubbles are {}.", "Brush `P3`; look for bubbles."),
    ("counts", POOL, _HEAT, "Thermometer on the burner door: it {} as cold.", "Thermometer on the burner door, below 40 °C."),
    ("counted_as", POOL, _HEAT, "Thermometer on the burner door: it counts {} cold.", "Thermometer on the burner door, below 40 °C."),
    ("sets", ROOF, "inspect: mah-dirty-filter", "Look at it and {} it to 300 Pa.", "Look at it, it stands at 250 Pa."),
    ("sniffs", BOILER, "leak_check: [p3]", "Check `P3`: {} along it.", "Check `P3`: brush it."),
    ("put_to", DRYER, _AIR, "AIR ONLY and START, then DRYING: knob {} DRYING.", "AIR ONLY and START."),
    ("chooses", DRYER, _AIR, "AIR ONLY and START, then {} DRYING.", "AIR ONLY and START."),
    ("pipes", POOL, _SHUT, "Shut the heater cock, handle along the {}.", "Shut the heater cock, handle across the pipe."),
    ("seated", ROOF, _TUBE, "Pull the tube off; the tube may stay {} it.", "Pull the tube off the low airflow switch."),
    ("bared", POOL, _GUARD, "Lay the shroud {} the upper terminals of `Q1`.", "Lay the shroud over the upper terminals of `Q1`."),
    ("measures", POOL, "record: [display]", "Note the letter. {} wire from `J5` to `J6`.", "Note the letter. Wire it by the book."),
    ("tubes", ROOF, _TUBE, "Pull it off; the {} may stay on.", "Pull it off the low airflow switch."),
]  # fmt: skip
# Field, plant, action, a sentence that is quiet with each of its words, and the same told without.
EXCUSES = [
    ("broken_off", POOL, _HEAT, "Thermometer on the burner door, {} at 90 °C.", "Thermometer on the burner door, fine at 90 °C."),
    ("begins", POOL, _HEAT, "Thermometer on the burner door, it falls {} 90 °C.", "Thermometer on the burner door, it falls to 90 °C."),
    ("back", POOL, _TRY, "Turn `S1` to ON, then {}.", "Turn `S1` to ON."),
    ("fully", POOL, _OPEN, "Open the heater cock, half at first and {}.", "Open the heater cock, half."),
    ("whole_turns", POOL, _OPEN, "Open the heater cock, a quarter {}.", "Open the heater cock, a quarter."),
    ("others", ROOF, _TUBE, "Pull the tube off; the {} tube stays on.", "Pull the tube off; the tube stays on."),
    ("nearby", ROOF, "fit: lifted-wire, name: wire-1, from: H6", "Lift the wire of `H6`, {} `H7`.", "Lift the wire of `H6`, to `H7`."),
    ("at_rest", DRYER, "observe: standstill", "See the drum turning until it is {}.", "See the drum turning."),
    ("home", ROOF, "cap: p2", "Cap `P2`: screw out and {}.", "Cap `P2`: screw out."),
    ("fluids", BOILER, "leak_check: [p3]", "Check `P3` with {}, then sniff.", "Check `P3`, then sniff."),
    ("instruments", POOL, _HEAT, "Feel the burner door by hand and {}, below 40 °C.", "Feel the burner door by hand, below 40 °C."),
]  # fmt: skip


@pytest.mark.parametrize(
    ("plant", "action", "told_with", "quiet", "word"),
    [(p, a, t, q, word) for field, p, a, t, q in DECIDES for word in sorted(getattr(ENGLISH, field))],
)
def test_a_word_decides(words: Words, plant: str, action: str, told_with: str, quiet: str, word: str) -> None:
    assert told(words, plant, action, told_with.format(word))
    assert not told(words, plant, action, quiet)


@pytest.mark.parametrize(
    ("plant", "action", "quiet", "told_without", "word"),
    [(p, a, q, t, word) for field, p, a, q, t in EXCUSES for word in sorted(getattr(ENGLISH, field))],
)
def test_a_word_excuses(
    words: Words, plant: str, action: str, quiet: str, told_without: str, word: str
) -> None:
    assert not told(words, plant, action, quiet.format(word))
    assert told(words, plant, action, told_without)


@pytest.mark.parametrize(
    ("plant", "action", "right", "wrong"),
    [
        (POOL, "adjust: outlet-limit-opens, from: 45 °C, to: 40 °C", "Wind it from 45 °C to 40 °C.", "Wind it from 40 °C to 45 °C."),
        (BOILER, "prove_gone: steam, by: Gauge at 0 psi, gone: next, still-there: next", "Read the gauge: 0 psi.", "Read the gauge: 10 psi or less."),
        (POOL, _VOLTS, "Read `J5` to `J0`: 22.8 V to 25.2 V.", "Read `J5` to `J0`: 18 V will do."),
        (ROOF, "wait: 30 min, for: It cools", "Wait half an hour.", "Wait half an hour, or five minutes in a hurry."),
        (POOL, _PRESS, "Press RESET for 2 s.", "Press RESET for 10 s."),
        (POOL, "reset: ph-second-outlet-limit", "Press the red button once.", "Thumb `RESET` on the controller for 2 s, once."),
        (BOILER, "reset: sb-high-steam-pressure", "Press the red button of the high steam pressure control, once.", "Press the blue button of the overload, once."),
        (DRYER, "'start_demand': 'START in AIR ONLY'", "Choose AIR ONLY and press START.", "Choose the normal programme and press START."),
        (ROOF, "'start_demand': 'Fan switch to ON, heat switch OFF'", "Fan switch to ON, the heat switch stays at OFF.", "Fan switch and heat switch to ON."),
        (BOILER, _HOLD, "Hold the test button of the first low water with your thumb.", "Jam a coin in beside the test button of the first low water."),
        (POOL, "fit: lifted-wire, name: wire-1, from: J8", "Lift the wire of `J8`.", "Bridge `J8` with a wire."),
        (ROOF, "guard: booth, with: Insulating mat over B1 and B2", "Insulating mat over `B1` and `B2`.", "A rag over `B1` and `B2`."),
        (DRYER, "lock: gas", "Padlock: hang it on the lock cap.", "Padlock: slip it out of the lock cap."),
        (DRYER, "hand_over: Licensed electrician", "Hand the list to the licensed electrician.", "Hand it to the shift lead."),
        (POOL, "isolate: pump", "Turn `Q7` off.", "Turn `Q7` off, then back on again."),
        (POOL, "prove_dead: pump, known_source: Proving unit, dead: next, live: next", "Prove `J51` and `J52` dead.", "Prove `J51` dead to earth."),
    ],
)  # fmt: skip
def test_each_dimension(words: Words, plant: str, action: str, right: str, wrong: str) -> None:
    assert not told(words, plant, action, right)
    assert told(words, plant, action, wrong)


@pytest.mark.parametrize("word", sorted(ENGLISH.more))
def test_a_figure_that_is_passed_leaves_all_above_it(word: str) -> None:
    assert spans(f"{word} 5 V", ENGLISH)["voltage"][1] == float("inf")
    assert spans("5 V", ENGLISH)["voltage"] == (5, 5)


def test_a_tolerance_is_read_as_what_it_leaves() -> None:
    assert spans("8.5 mbar ± 0.5 mbar", ENGLISH)["pressure"] == (800, 900)


@pytest.mark.parametrize("word", sorted(ENGLISH.colours))
def test_a_button_of_another_colour_is_another_button(words: Words, word: str) -> None:
    do = f"Press the {word} button of the high steam pressure control, once."
    assert told(words, BOILER, "reset: sb-high-steam-pressure", do) is (word != "red")


@pytest.mark.parametrize("word", sorted(ENGLISH.reaches))
def test_a_question_sends_no_hands_to_a_look(words: Words, word: str) -> None:
    check = "inspect: Collar, ask: 'Is it clean {}?', outcomes: [{when: 'Yes', go: next}, {when: No or not sure, go: next}]"
    assert told(words, DRYER, check.replace("{}", f"when you {word} into it"), "Look at the collar.")
    assert not told(words, DRYER, check.replace("{}", "when you look into it"), "Look at the collar.")


@pytest.mark.parametrize(("unit", "sign"), ENGLISH.signs.items())
def test_a_sign_that_a_meter_is_set_to_is_what_it_reads(words: Words, unit: str, sign: str) -> None:
    other = {"volts": "ohms", "ohms": "volts"}[unit]
    do = f"Set the meter to {sign.upper()} and read `J5` to `J0`."
    assert told(words, POOL, f"measure: {other}, at: J5, to: J0", do)
    assert not told(words, POOL, f"measure: {unit}, at: J5, to: J0", do)


@pytest.mark.parametrize(
    ("kind", "word"), [(k, w) for k, of in ENGLISH.fit_words.items() for w in sorted(of)]
)
def test_a_word_of_another_kind_of_alteration_is_told(words: Words, kind: str, word: str) -> None:
    kinds = ("jumper", "lifted-wire", "unplugged-tube")
    other = next(each for each in kinds if word not in ENGLISH.fit_words[each])
    assert told(words, POOL, f"fit: {other}, {_FIT}", f"{word} `J5`, a tag there.")
