"""What is not understood is refused: every word of the lists that let an instruction pass, in both directions."""

from __future__ import annotations

import pytest
import yaml

from kbgen.rules.words.clauses import clauses
from kbgen.rules.words.english import ENGLISH
from kbgen.rules.words.telling import tells
from kbgen.rules.words.told import Reader
from kbgen.rules.words.unknown import unknown_orders
from kbgen.rules.words.verdict import contradicts
from tests.mutants.words import Case, Words

READER = Reader(ENGLISH)
BOILER, HEATER, POOL, DRYER = "ondrel-sb", "vashby-mah", "zellick-ph", "harnok-td"


def _refused(words: Words, plant: str, action: str, do: str) -> set[str]:
    step = {"do": do, **(yaml.safe_load(f"{{{action}}}") or {})}
    return {found.rule.name for found in words.judge(Case("typed", plant, step, []))}


def _unknown(do: str) -> bool:
    return any(unknown_orders(READER, None, do, lambda _: False))


@pytest.mark.parametrize("action", sorted(ENGLISH.ways))
def test_every_way_tells_its_action_and_is_needed(action: str) -> None:
    for way in ENGLISH.ways[action]:
        shortest = [min(group) for group in way.groups]
        for at, group in enumerate(way.groups):
            for word in group - ENGLISH.no - ENGLISH.negators:
                said = " ".join([*shortest[:at], word, *shortest[at + 1 :]])
                assert tells(READER, f"Ivory {said}.", action) or not way.without.isdisjoint(said.split()), (
                    said
                )
    assert not tells(READER, "Ivory bulldozers.", action)
    assert not tells(READER, "Never ivory bulldozers.", action)


def test_a_denied_way_tells_nothing() -> None:
    assert not tells(READER, "Do not shut the burner cock.", "shut_valve")
    assert not tells(READER, "Shut nothing.", "shut_valve")
    assert tells(READER, "Shut the burner cock and never the other.", "shut_valve")


def test_every_harmless_verb_is_let_pass_and_no_verb_of_hands_is() -> None:
    assert {verb for verb in ENGLISH.harmless if _unknown(f"{verb.capitalize()} the regulator.")} == set()
    silent = {
        verb
        for verb in ENGLISH.hands - ENGLISH.harmless - ENGLISH.leads
        if not _unknown(f"{verb.capitalize()} the regulator.")
        and not READER.told(f"{verb.capitalize()} the regulator.")
    }
    assert silent - ENGLISH.no == set()


def test_what_is_in_the_hand_is_let_pass() -> None:
    loud = {word for word in ENGLISH.in_hand if _unknown(f"Draw the {word}.")}
    assert loud == set()
    assert _unknown("Draw the regulator.")


@pytest.mark.parametrize("word", sorted(ENGLISH.objects))
def test_a_verb_that_nobody_knows_is_refused_before_its_object(word: str) -> None:
    assert _unknown(f"Twirl {word} two turns.")
    assert not _unknown("Twirl.")


@pytest.mark.parametrize("word", sorted(ENGLISH.adverbs_after))
def test_a_verb_that_nobody_knows_is_refused_before_an_adverb_and_its_object(word: str) -> None:
    assert _unknown(f"Twirl {word} the regulator.")
    assert not _unknown(f"Mat {word}.")


@pytest.mark.parametrize("verb", sorted(ENGLISH.turns))
def test_what_the_action_is_about_may_be_brought_into_place(verb: str) -> None:
    said = f"{verb.capitalize()} the regulator."
    assert not any(unknown_orders(READER, None, said, lambda _: True))
    assert _unknown(said)


@pytest.mark.parametrize("verb", sorted(ENGLISH.gives))
def test_to_give_time_is_to_wait(verb: str) -> None:
    assert not _unknown(f"{verb.capitalize()} the regulator 30 s.")
    assert _unknown(f"{verb.capitalize()} the regulator a quarter.")


@pytest.mark.parametrize("pair", sorted(ENGLISH.with_oneself))
def test_what_is_taken_along_is_only_carried(pair: tuple[str, str]) -> None:
    assert not _unknown(f"Take the regulator {' '.join(pair)}.")
    assert _unknown("Take the regulator with pliers.")


@pytest.mark.parametrize("stop", [" ".join(sorted(stop)) for stop in ENGLISH.stops])
def test_the_emergency_stop_is_for_who_leaves_in_danger(words: Words, stop: str) -> None:
    said = f"Everybody out. Push the {stop} outside as you pass."
    assert _refused(words, BOILER, "end: evacuated", said) == set()
    assert _refused(words, BOILER, "end: left-safe", said) == {"words-tell-more"}


def test_what_begins_no_order_is_let_pass() -> None:
    assert {word for word in ENGLISH.not_verbs if _unknown(f"{word.capitalize()} off by itself.")} == set()


@pytest.mark.parametrize("end", ENGLISH.no_order)
def test_what_ends_like_no_order_is_none(end: str) -> None:
    assert not _unknown(f"Twirl{end} the regulator.")


@pytest.mark.parametrize("end", ENGLISH.order_after_all)
def test_some_of_them_are_orders(end: str) -> None:
    assert _unknown(f"Tw{end} the regulator.")


@pytest.mark.parametrize("word", sorted(ENGLISH.objects_named_before | ENGLISH.every))
def test_what_was_named_before_needs_no_name(words: Words, word: str) -> None:
    said = f"Shut {word} at the mauve ferry."
    assert "action-not-told" not in _refused(words, BOILER, "shut_valve: burner-cock", said)
    assert "action-not-told" in _refused(
        words, BOILER, "shut_valve: burner-cock", "Shut off at the mauve ferry."
    )


@pytest.mark.parametrize("word", sorted(ENGLISH.pointing))
def test_pointing_words(words: Words, word: str) -> None:
    for thing in ENGLISH.pointed_at:
        said = f"Shut {word} {thing} at the mauve ferry."
        assert "action-not-told" not in _refused(words, BOILER, "shut_valve: burner-cock", said)


def test_what_every_plant_has_is_no_name(words: Words) -> None:
    action = "shut_valve: burner-cock"
    loud = {
        word
        for word in ENGLISH.unspecific
        if "action-not-told" in _refused(words, BOILER, action, f"Shut off, {word} turned.")
    }
    assert loud == set()
    assert "action-not-told" in _refused(words, BOILER, action, "Shut off, ferry turned.")


NOT_UNDERSTOOD = [
    (BOILER, "shut_valve: burner-cock", "Nip the firing valve."),
    (BOILER, "shut_valve: burner-cock", "Shut the tap by the stairs."),
    (BOILER, "shut_valve: burner-cock", "Do not shut the firing valve yet."),
    (POOL, "restore: gas", "See to the gas."),
    (DRYER, "inform: Shift lead", "Sing."),
    (BOILER, "", "Twirl the regulator two turns."),
    (BOILER, "", "Write it down, then twirl it back."),
    (BOILER, "end: left-safe", "Slacken the regulator."),
]
UNDERSTOOD = [
    (BOILER, "shut_valve: burner-cock", "The firing valve goes across the pipe now."),
    (BOILER, "shut_valve: burner-cock", "Close off the firing valve and leave the main shutoff as it is."),
    (POOL, "reset: ph-second-outlet-limit", "Push the red button of the second outlet limit, once."),
    (
        BOILER,
        "hold: sb-first-low-water, for: 2 min",
        "Keep a finger on the test button of the float for 2 min.",
    ),
    (DRYER, "inform: Shift lead", "Let the shift lead know."),
    (BOILER, "end: left-safe", "Take the photo with you. Hands off the panel."),
]


@pytest.mark.parametrize(("plant", "action", "do"), NOT_UNDERSTOOD)
def test_what_is_not_understood_is_refused(words: Words, plant: str, action: str, do: str) -> None:
    assert _refused(words, plant, action, do) & {"action-not-told", "order-not-known"}


@pytest.mark.parametrize(("plant", "action", "do"), UNDERSTOOD)
def test_natural_words_are_understood(words: Words, plant: str, action: str, do: str) -> None:
    assert _refused(words, plant, action, do) == set()


@pytest.mark.parametrize(
    ("plant", "action", "do", "rules"),
    [
        (DRYER, "shut_valve: dryer-cock", "Turn the dryer cock, handle across the pipe.", set()),
        (
            DRYER,
            "shut_valve: dryer-cock",
            "Kick the dryer cock, handle across the pipe.",
            {"order-not-known"},
        ),
        (DRYER, "end: evacuated", "Go out, take all with you, leave the plug as it is.", set()),
        (
            DRYER,
            "end: evacuated",
            "Go out, take the regulator apart, leave the plug as it is.",
            {"order-not-known"},
        ),
        (POOL, "inspect: Dot", "Give the water 30 s and look at the dot.", set()),
        (POOL, "inspect: Dot", "Give the regulator a quarter turn and look at the dot.", {"order-not-known"}),
        (POOL, "open_cover: panel-door", "Mat down. Gloves on. Open the panel door.", set()),
        (BOILER, "end: left-safe", "It stays off. The tag says: new K3, not proved.", set()),
        (BOILER, "end: left-safe", "Hang the lock list at the panel.", set()),
        (BOILER, "end: left-safe", "Hang the lock at the panel.", {"words-tell-more"}),
        (BOILER, "end: evacuated", "Everybody out. Push the red stop outside as you pass.", set()),
        (BOILER, "end: left-safe", "Push the red stop outside as you pass.", {"words-tell-more"}),
        (BOILER, "inspect: Screw", "Brush the screw. The lock stays on the main shutoff.", set()),
    ],
)
def test_what_a_stranger_says_rightly_passes_and_its_like_does_not(
    words: Words, plant: str, action: str, do: str, rules: set[str]
) -> None:
    assert _refused(words, plant, action, do) == rules


def test_a_denial_behind_denies() -> None:
    left = "Soot, brown paint: corrected by nobody yet"
    assert not contradicts("What is the cause?", left, "cause-left", ENGLISH)
    assert contradicts(
        "What is the cause?", "Soot, brown paint: corrected by the owner", "cause-left", ENGLISH
    )


def _words_of(text: str) -> list[str]:
    return [token for clause in clauses(text, ENGLISH) for token in clause.tokens]


@pytest.mark.parametrize("said", sorted(ENGLISH.idioms))
def test_an_idiom_is_read_as_what_it_means_where_it_is_one(said: tuple[str, ...]) -> None:
    means = ENGLISH.idioms[said].split()
    words = [word for word in said if word != "."]
    assert _words_of(" ".join(words)) == means
    if said[0] == ".":
        assert _words_of(f"plate {' '.join(words)} tag") == ["plate", *words, "tag"]
    if said[-1] == ".":
        assert "plate" in _words_of(f"{' '.join(words)} plate")
        assert means != _words_of(f"{' '.join(words)} plate")[:-1]


@pytest.mark.parametrize("word", sorted(ENGLISH.untouched))
def test_what_stays_untouched_is_no_alteration(word: str) -> None:
    assert READER.told(f"Keep the plunger in {word}.") == ()
    assert [told.kind for told in READER.told("Keep the plunger in all day.")] == ["alter"]


@pytest.mark.parametrize("word", sorted(ENGLISH.listed))
def test_a_point_of_a_check_list_and_its_state_are_one(word: str) -> None:
    assert len([*clauses(f"Q1: {word}", ENGLISH)]) == 1
    assert len([*clauses(f"Above 0 psi: {word}", ENGLISH)]) == 2
    assert len([*clauses("Q1: look", ENGLISH)]) == 2


@pytest.mark.parametrize("number", sorted(ENGLISH.numbers))
def test_a_length_of_time_in_words_is_held_against_the_wait(words: Words, number: str) -> None:
    figure = ENGLISH.numbers[number]
    said = {"half": "half an hour", "quarter": "a quarter of an hour"}.get(number, f"{number} hours")
    action = f"wait: {figure} h, for: Pressure falls"
    assert _refused(words, BOILER, action, f"Wait {said}.") == set()
    assert _refused(words, BOILER, "wait: 7 min, for: Pressure falls", f"Wait {said}.") == {
        "words-against-action"
    }


@pytest.mark.parametrize("word", sorted(ENGLISH.stored))
def test_a_wedge_that_is_put_by_holds_nothing(words: Words, word: str) -> None:
    assert _refused(words, HEATER, "isolate: motion", f"Set the wedge into the {word}.") == {
        "words-against-action"
    }
    assert (
        _refused(words, HEATER, "isolate: motion", f"Set the wedge into the wheel. Key into your {word}.")
        == set()
    )


@pytest.mark.parametrize("thing", sorted(ENGLISH.hung))
@pytest.mark.parametrize("gone", sorted(ENGLISH.gone))
def test_a_padlock_off_is_no_order_to_lock(words: Words, thing: str, gone: str) -> None:
    assert _refused(words, BOILER, "lock: control", f"{thing.capitalize()} {gone} Q2.")
    assert _refused(words, BOILER, "lock: control", f"{thing.capitalize()} on Q2.") == set()
    assert _refused(words, BOILER, "unlock: control", f"{thing.capitalize()} {gone} Q2.") == set()


@pytest.mark.parametrize(
    ("plant", "action", "do", "rules"),
    [
        # Passive sentences are orders in an instruction, in both directions.
        (BOILER, "isolate: steam", "The main steam stop valve is shut.", set()),
        (
            BOILER,
            "shut_valve: burner-cock",
            "The firing valve is opened by the colleague.",
            {"words-against-action"},
        ),
        (
            BOILER,
            "close_cover: burner-cover",
            "The cover of the burner wiring box is unscrewed.",
            {"words-against-action"},
        ),
        (BOILER, "close_cover: burner-cover", "The cover of the burner wiring box is screwed on.", set()),
        (BOILER, "inform: Laundry shift lead", "The shift lead is told that steam goes off.", set()),
        # A cover that is only shown as off or on.
        (BOILER, "close_cover: float-cap", "Float cap off, both screws.", {"words-against-action"}),
        (BOILER, "close_cover: float-cap", "Float cap on, both screws.", set()),
        # Whatever its verb, a clause with the thing and how it ends tells the deed.
        (
            BOILER,
            "shut_valve: plant-cock",
            "Whack the main shutoff round till it sits square to the pipe.",
            set(),
        ),
        (
            BOILER,
            "shut_valve: plant-cock",
            "Whack the main shutoff round till it sits along the pipe.",
            {"words-against-action"},
        ),
        # A padlock named in the sentence before, and a check list.
        (DRYER, "unlock: gas", "That padlock on the lock cap is yours; take it with you.", set()),
        (
            DRYER,
            "unlock: gas",
            "That padlock on the lock cap is yours; leave it with him.",
            {"action-not-told"},
        ),
        (BOILER, "unlock: fan", "Lock and tag Q1: removed, own only.", set()),
        (BOILER, "lock: fan", "Do not forget padlock and tag on Q1.", set()),
        (BOILER, "lock: fan", "Do not put padlock and tag on Q1.", {"action-not-told"}),
        # Another switch by its mark or its word.
        (POOL, "stop_demand: Heat switch S1 to OFF", "S2: OFF.", {"action-not-told"}),
        (HEATER, "stop_demand: Fan switch to OFF", "Knock the heat switch to OFF.", {"words-against-action"}),
        (HEATER, "stop_demand: Fan switch to OFF", "Knock the fan switch to OFF.", set()),
        # A look is told by its question.
        (BOILER, "inspect: Gauge glass, ask: 'Is water in sight?'", "Go to the glass first.", set()),
        (BOILER, "inspect: Gauge glass", "Go to the stairs first.", {"action-not-told"}),
        (
            HEATER,
            "observe: full-cycle, seen: next, not-seen: next",
            "Ten minutes of S70, heat OFF, S30.",
            set(),
        ),
        (HEATER, "observe: full-cycle, seen: next, not-seen: next", "Fetch the ladder.", {"action-not-told"}),
    ],
)
def test_what_technicians_write_passes_and_its_neighbour_is_told(
    words: Words, plant: str, action: str, do: str, rules: set[str]
) -> None:
    assert _refused(words, plant, action, do) == rules


def test_behind_a_comma_no_denies_what_nobody_wants_and_not_what_is_right() -> None:
    asked = "No squeal, right way round, 150 Pa?"
    assert not contradicts(asked, "Yes", "seen", ENGLISH)
    assert contradicts(asked, "Yes", "not-seen", ENGLISH)
    assert contradicts("No bubbles, no foam?", "Yes", "leaks", ENGLISH)
    assert not contradicts("No bubbles, no foam?", "Yes", "tight", ENGLISH)


def test_nothing_denies_a_whole_list() -> None:
    assert READER.told("Nothing altered, opened, reset blind, owed or unwritten from before: so?") == ()
    assert [told.kind for told in READER.told("Note it. Reset it blind.")] == ["reset"]
