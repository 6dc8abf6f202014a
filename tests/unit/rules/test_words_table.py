"""Every word of the table of English has a case in which it tells and one in which it is quiet.

Where a word only helps to read a sentence, its pair is a sentence with it and the same without it.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from kbgen.rules.words.english import ENGLISH
from kbgen.rules.words.told import ALTER, Reader
from kbgen.rules.words.verdict import contradicts
from tests.unit.rules.test_words_dimensions import DECIDES, EXCUSES

READER = Reader(ENGLISH)

# With each word of the set in the blank, the sentence tells an alteration, or tells none.
TELLS = {
    "joins": "Look round {} bridge C1 and C2.",
    "holding": "A strip of tape {}s the vane in.",
    "leads": "{} bridge C1 and C2.",
    "openers": "{} the test bridge C1 and C2.",
    "people": "Here {} bridge C1 and C2.",
    "modals": "You {} bridge C1 and C2.",
    "have": "{} somebody bridge C1 and C2.",
    "by": "{} bridging C1 and C2.",
    "purposes": "C1 and C2 are bridged {} the test.",
    "articles": "At noon bridge {} contacts.",
    "undone": "Do not {} to bridge C1 and C2.",
    "across": "A wire {} C1 and C2.",
    "things": "Put a {} across C1 and C2.",
    "fasteners": "Stick a {} under the shelf.",
    "sure": "{} it does not start bridge C1 and C2.",
    "tells": "They {} to bridge C1 and C2.",
    "be": "C1 and C2 must {} bridged.",
    "being": "C1 and C2 {} bridged for the test.",
    "along": "Try it {} C1 and C2 bridged.",
    "out": "Try it with the limit bridged {}.",
    "keep": "{} the lever taped.",
    "infinitive": "Ask the operator {} bridge C1 and C2.",
}
QUIET = {
    "negators": "{} bridge C1 and C2.",
    "no": "Put {} jumper across C1 and C2.",
    "conditions": "It stops {} somebody bridges C1 and C2.",
    "alternatives": "Never tape a lever {} bridge C1 and C2.",
    "not_things": "Clip the {} lead to C1.",
    "nouns": "Tape {} the frame.",
}
# The same sentences with a harmless word in the blank, or none: now it is the other way round.
OTHERWISE = {
    "joins": "Look round whether some bridge C1 and C2.",
    "holding": "A strip of tape shows the vane in.",
    "leads": "Drops bridge C1 and C2.",
    "openers": "Moss of the test bridge C1 and C2.",
    "people": "Here drops bridge C1 and C2.",
    "modals": "You do not bridge C1 and C2.",
    "have": "Seen somebody bridge C1 and C2.",
    "by": "Somebody was bridging C1 and C2.",
    "purposes": "C1 and C2 are bridged inside the box.",
    "articles": "At noon bridge contacts.",
    "undone": "Do not try to bridge C1 and C2.",
    "across": "A wire near C1 and C2.",
    "things": "Put a label across C1 and C2.",
    "fasteners": "Stick a finger under the shelf.",
    "sure": "Because it does not start bridge C1 and C2.",
    "tells": "They refuse to bridge C1 and C2.",
    "be": "C1 and C2 must look bridged.",
    "being": "C1 and C2 were bridged for the test.",
    "along": "Try it unless C1 and C2 bridged.",
    "out": "Try it with the sleeve bridged before.",
    "keep": "Find the lever taped.",
    "infinitive": "Ask the operator about bridge C1 and C2.",
    "negators": "Firmly bridge C1 and C2.",
    "no": "Put the jumper across C1 and C2.",
    "conditions": "It stops and the operator bridges C1 and C2.",
    "alternatives": "Never tape a lever and bridge C1 and C2.",
    "not_things": "Clip the spare lead to C1.",
    "nouns": "Tape the lever.",
}
# Words that `test_words_steps` holds in both directions, because they mean something beside an action only.
WITH_AN_ACTION = {"machines", "supply", "holds", "toward", "states", "fuel", "gas", "places", "kinds"}
# Words of a statement; a statement is quiet with or without an order in it.
WAIVED = {"said": "held by the harmless sentences of the bench"}
OTHER = {
    *(field for field, *_ in (*DECIDES, *EXCUSES)),
    *("more", "colours", "reaches", "signs", "fit_words"),
    "beside_lock",
    "behind",
    "dangers",
    "rid",
    "deeds",
    "forms",
    "passives",
    "permits",
    "yes",
    "denies",
    "admits",
    "some",
    "degrees",
    "less",
    "verdicts",
    "provers",
    # `test_words_clauses` holds these in both directions.
    "escorts",
    "renewed",
    "adverb",
    "ranges",
    "repeats",
    "seconds",
    # `test_words_right_and_wrong` holds these in both directions.
    "switches",
    "those_told",
    "given_back",
    "run_on",
    "books",
    # `test_words_dimensions` holds it.
    "common_labels",
    # `test_onward` and the natural questions of the walk hold these.
    "rules_out",
    "only_named",
    # `test_words_right_again` holds these in both directions.
    "aims",
    "aired",
    "buttons",
    "instead",
    "joined",
    "needs",
    "tests",
    # As above.
    "speaks",
    "driven",
    "units",
    "plugs",
    "flimsy",
    "bars",
    "quiet",
    "tags",
    "says",
    "own_wires",
    "rest",
    "takes",
    "loads",
    "scant",
    "selves",
    "owning",
    "keys_of_others",
    "teaches",
    "perfect",
    "of_place",
    "befores",
    "inside",
    "shrouds",
    "sides",
    "quantities",
    # `test_words_right_again` holds these in both directions.
    "cover_screws",
    "carried",
    "lands",
    "lets",
    "its",
    "good",
    "letters",
    "was",
    "raises",
    "lowers",
    "currents",
    "other_modes",
    "flames",
    "hanging",
    "ajar",
    "half_shut",
    "covering",
    "escapes",
    "therefore",
    # `test_words_kinds` holds these in both directions.
    "agents",
    "covers",
    "ends",
    "idle",
    "locks",
    "airs",
    "waters",
    # `test_onward` holds these in both directions.
    "goods",
    "burnt",
    "nosed",
    "wound",
    "in_air",
    "no_air",
    "little",
    "strong",
    "stays",
    "mates",
    "leads_of_meter",
    "no_terminals",
    # `test_words_told` holds these in both directions.
    "ways",
    "harmless",
    "in_hand",
    "hands",
    "objects",
    "adverbs_after",
    "turns",
    "stops",
    "gives",
    "with_oneself",
    "not_verbs",
    "nouns_first",
    "no_order",
    "order_after_all",
    "objects_named_before",
    "every",
    "unspecific",
    "pointing",
    "pointed_at",
    "lemmas",
    "idioms",
    "untouched",
    "listed",
    "numbers",
    "stored",
    "hung",
    "gone",
    "same",
    "theirs",
}


def _alters(sentence: str) -> bool:
    return any(told.kind == ALTER for told in READER.told(sentence))


def _capital(sentence: str) -> str:
    return sentence[0].upper() + sentence[1:]


@pytest.mark.parametrize("name", sorted(TELLS))
def test_with_each_of_these_words_an_alteration_is_told(name: str) -> None:
    words = getattr(ENGLISH, name) - ENGLISH.negators
    silent = [w for w in words if not _alters(_capital(TELLS[name].format(w)))]
    assert sorted(silent) == []
    assert not _alters(OTHERWISE[name])


@pytest.mark.parametrize("name", sorted(QUIET))
def test_with_each_of_these_words_none_is_told(name: str) -> None:
    template = {"nor": "It opens not, nor bridge C1 and C2."}
    loud = [w for w in getattr(ENGLISH, name) if _alters(_capital(template.get(w, QUIET[name]).format(w)))]
    assert sorted(loud) == []
    assert _alters(OTHERWISE[name])


def _sentences() -> Iterator[tuple[str, str, str]]:
    """Yield kind, order and its prohibition for every verb, particle and object of every row."""
    for row in ENGLISH.deeds:
        first, *_ = row.verbs
        particles = sorted(row.particles) or [""]
        objects = [sorted(group) for group in row.objects] or [["thing"]]
        shortest = [
            min(group, key=lambda word: (word in row.particles, len(word), word)) for group in objects
        ]
        words = [(verb, particles[0], shortest) for verb in row.verbs]
        words += [(first, particle, shortest) for particle in particles]
        for at, group in enumerate(objects):
            words += [(first, particles[0], [*shortest[:at], word, *shortest[at + 1 :]]) for word in group]
        for verb, particle, parts in words:
            said = " and the ".join("C9" if part in ("#", "@") else part.replace("-", " ") for part in parts)
            order = f"{verb} the {said} {particle} the place".replace("  ", " ")
            yield row.kind, f"{_capital(order)}.", f"Never {order}."


def test_every_verb_particle_and_object_tells_its_deed_and_can_be_forbidden() -> None:
    silent = {order for kind, order, _ in _sentences() if not READER.told(order)}
    assert silent == set()
    assert {never for _, _, never in _sentences() if READER.told(never)} == set()


def test_most_rows_tell_their_own_kind() -> None:
    """Rows further up take some verbs from those below; each row still tells its kind by most of its words."""
    for row in ENGLISH.deeds:
        own = [order for kind, order, _ in _sentences() if kind == row.kind]
        right = [order for order in own if row.kind in {told.kind for told in READER.told(order)}]
        assert len(right) > len(own) / 2, row.kind


def test_every_exception_of_a_row_is_one() -> None:
    tape = "Tape the lever down{}."
    assert _alters(tape.format(""))
    for row in ENGLISH.deeds:
        for word in row.not_with:
            particle, objects = min(row.particles or {""}), [min(group) for group in row.objects]
            said = (
                " ".join("C9" if part in ("#", "@") else part.replace("-", " ") for part in objects)
                or "thing"
            )
            order = f"{row.verbs[0]} the {said} {particle}".strip()
            plain, except_for = (
                READER.told(_capital(order)),
                READER.told(_capital(f"{order} {word.replace('-', ' ')}")),
            )
            assert (
                [t.kind for t in except_for] != [row.kind]
                or [t.kind for t in plain] != [row.kind]
                or _later(row.kind, row.verbs[0])
            ), (row, word)


def _later(kind: str, verb: str) -> bool:
    """Whether another row tells the same of this verb."""
    return sum(verb in row.verbs and row.kind == kind for row in ENGLISH.deeds) > 1


@pytest.mark.parametrize("word", sorted(ENGLISH.passives))
def test_passives(word: str) -> None:
    told = {"to": "C1 and C2 are to be bridged now.", "may": "C1 and C2 may be bridged for the test."}
    lead = {"needs": "C1 needs to be bridged.", "need": "C1 and C2 need to be bridged."}
    assert _alters(told.get(word) or lead.get(word) or f"C1 and C2 {word} be bridged.")
    assert not _alters("C1 and C2 have been bridged before.")


@pytest.mark.parametrize("answer", sorted(ENGLISH.yes | ENGLISH.denies))
def test_answers(answer: str) -> None:
    yes = answer in ENGLISH.yes
    assert contradicts("Do you see bubbles?", answer, "tight", ENGLISH) is yes
    assert contradicts("Do you see bubbles?", answer, "leaks", ENGLISH) is not yes


@pytest.mark.parametrize("word", sorted(ENGLISH.admits))
def test_what_is_let_through_behind_a_denial_is_no_denial(word: str) -> None:
    assert contradicts("Any bubbles?", f"No bubbles, or {word} small ones that grow slowly", "tight", ENGLISH)
    assert not contradicts("Any bubbles?", f"No bubbles, {word} dry fluid", "tight", ENGLISH)


@pytest.mark.parametrize("word", sorted(ENGLISH.some))
def test_some_of_what_was_asked_for_is_some_of_it(word: str) -> None:
    assert contradicts("Do you see bubbles?", f"No, only {word} at the nipple", "tight", ENGLISH)
    assert not contradicts("Do you see bubbles?", "No, only fluid at the nipple", "tight", ENGLISH)


@pytest.mark.parametrize("word", sorted(ENGLISH.degrees))
def test_no_to_the_worst_leak_is_not_tight(word: str) -> None:
    assert contradicts(f"Did {word} bubbles blow up?", "No", "tight", ENGLISH)
    assert not contradicts("Did bubbles blow up?", "No", "tight", ENGLISH)


@pytest.mark.parametrize("row", ENGLISH.verdicts, ids="-".join)
def test_every_word_of_a_verdict_goes_with_it_and_against_another(row: dict[str, frozenset[str]]) -> None:
    for verdict, says in row.items():
        for word in says:
            own = [each for each, words in row.items() if word in words]
            assert not contradicts("", f"It is {word}", verdict, ENGLISH), word
            for other in set(row) - set(own):
                assert contradicts("", f"It is {word}", other, ENGLISH), (word, other)


@pytest.mark.parametrize("prover", ENGLISH.provers)
def test_a_meter_that_read_nothing_on_its_own_proof_says_nothing(prover: str) -> None:
    asked = "What did the meter show?"
    assert contradicts(
        asked, f"Dead at every pair, and then it read nothing at the {prover}", "dead", ENGLISH
    )
    assert contradicts(asked, f"Dead at every pair, and the {prover} was not read again", "dead", ENGLISH)
    assert not contradicts(
        asked, f"Nothing at every pair, and it read the {prover} before and after", "dead", ENGLISH
    )


@pytest.mark.parametrize("word", sorted(ENGLISH.less))
def test_a_figure_that_is_not_reached_says_nothing(word: str) -> None:
    assert contradicts("", "5 V on one pair", "dead", ENGLISH)
    assert not contradicts("", f"{word} 5 V on one pair", "dead", ENGLISH)


def test_no_set_of_the_table_is_forgotten() -> None:
    held = {*TELLS, *QUIET, *WITH_AN_ACTION, *WAIVED, *OTHER}
    assert {field for field in ENGLISH.__dataclass_fields__ if field not in held} == set()
