"""What a step's words tell is held against its action: the demonstration, its changes, and who may accept."""

from __future__ import annotations

from itertools import islice
from random import Random
from typing import Any

import pytest

from kbgen.link.base import KnowledgeBase
from kbgen.model.shop import ShopSettings
from kbgen.problems import Severity
from kbgen.ref import Kind
from kbgen.rules.material import Material
from kbgen.rules.registry import accept
from kbgen.rules.words.check import CHECKS, not_compared, reader_of
from kbgen.rules.words.english import ENGLISH
from kbgen.rules.words.verdict import contradicts
from tests.mutants.words import RIGHT, WRONG, Case, Words, looks
from tests.unit.rules.cases import entries_of, linked, schemas


def test_the_demonstration_alarms_once_in_500_steps_at_most(words: Words) -> None:
    ground = words.ground
    alarms = [p for check in CHECKS for p in check(Material(ground.base, {}, ground.schemas))]
    assert len(alarms) <= len(words.cases) // 500


@pytest.mark.parametrize("kind", WRONG)
def test_contradictions_are_told(words: Words, kind: str) -> None:
    # All of them: every so-and-so-many of some thousand falls in step with the sources of a plant.
    cases = list(WRONG[kind](words))
    assert cases
    missed = [case for case in cases if not words.judge(case)]
    # Known misses: another device that a title only hints at, halves of sources with two parts, and an isolator
    # named by its place alone, as the board behind the dryer's socket.
    allowed = {
        "another device": 0.3,
        "opposite words": 0.15,
        "another second terminal": 0.15,
        "another source in the action": 0.12,
    }
    assert len(missed) <= allowed.get(kind, 0.1) * len(cases), [case.step["do"] for case in missed[:5]]


def test_alterations_are_told_in_looks_devices_cautions_and_close_ups(words: Words) -> None:
    missed = [(kind, data) for kind, data in looks(words) if not words.other(kind, data)]
    assert missed == []


@pytest.mark.parametrize("kind", RIGHT)
def test_harmless_words_are_quiet(words: Words, kind: str) -> None:
    cases = list(islice(RIGHT[kind](words), 0, None, 3))
    alarms = [case.step["do"] for case in cases if case.name not in words.told_already and words.judge(case)]
    # A third of all: which are drawn moves with every step put in, so one more may be among them.
    assert len(alarms) <= len(cases) // 500 + 1, alarms


@pytest.mark.parametrize(
    ("plant", "marks", "told"),
    [
        ("zellick-ph", "`J30`, `J39`, `J24` and `J0`, to each other and to earth", False),
        ("vashby-mah", "`X1`, `X2`, `M1` and `M0`, to each other and to earth", False),
        ("zellick-ph", "`J51` to `J52`, each to earth", True),
    ],
)
def test_a_proof_may_name_more_than_the_conductors_and_not_others_in_their_place(
    words: Words, plant: str, marks: str, told: bool
) -> None:
    step = {"do": f"Prove the control supply dead: {marks}.", "prove_dead": "control"}
    assert bool(words.judge(Case("proof", plant, step, []))) is told


@pytest.mark.parametrize(
    ("text", "told"), [("Put the new outlet limit in.", False), ("Put a jumper across it.", True)]
)
def test_a_new_part_goes_in_and_no_jumper_with_it(words: Words, text: str, told: bool) -> None:
    step = {"do": text, "replace": "ph-outlet-limit"}
    assert bool(words.judge(Case("new", "zellick-ph", step, []))) is told


ODD = (
    "hold open shut the valve `P2` J1 M0 1.2.3 3-4 12:30 ² ½ ① ٣ 1,2,3 - – , . ; : ? ! and or to if until not no never put "
    "jumper wire across button P1 plant cock reset take off on lock tag 2 10 psi ' \" ( ) is it as when after 5% Größe H₂O"
).split()


def test_no_text_is_too_odd_to_be_read(words: Words) -> None:
    draw = Random(7)

    def text() -> str:
        return " ".join(draw.choice(ODD) for _ in range(draw.randint(1, 14)))

    for case in draw.sample(words.cases, 1000):
        step = case.step | {"do": text(), "ask": text()}
        if "outcomes" in step:
            step["outcomes"] = [outcome | {"when": text()} for outcome in step["outcomes"]]
        words.judge(case._replace(step=step))


def _problems(
    action: dict[str, Any], by: str, review: str | None, rule: str = "words-tell-more"
) -> list[str]:
    page: dict[str, Any] = {
        "steps": [action, "safe"],
        "accept": [{"rule": rule, "reason": "It is so.", "by": by}],
    }
    if review:
        page["review"] = [{"by": review, "on": "2026-01-12"}]
    base, _ = linked(entries_of({"procedures/case": page}, {}))
    found = [p for check in CHECKS for p in check(Material(base, {}, schemas()))]
    assert found
    assert all(p.severity is Severity.ERROR for p in found)
    return sorted(p.rule for p in accept(base, found).problems)


MORE = {"do": "Look round. Press the reset button once."}


def test_a_second_person_may_accept_words() -> None:
    assert _problems(MORE, "MK", "JT") == []
    assert _problems(MORE, "MK", None) == []


@pytest.mark.parametrize("by", ["JT", "jt", "J.T.", "J T"])
def test_who_reviewed_the_entry_may_not(by: str) -> None:
    assert _problems(MORE, by, "JT") == ["accept-refused", "words-tell-more"]


def test_an_acceptance_of_one_rule_accepts_no_other() -> None:
    bridge = {"do": "Bridge X3 and X4 with a wire."}
    assert _problems(bridge, "MK", "JT") == ["accept-unused", "words-tell-alteration"]


def test_a_language_without_a_table_is_not_compared_and_says_so(words: Words) -> None:
    assert reader_of("en-GB") is reader_of("en") or reader_of("en-GB") is not None
    assert reader_of("de") is None
    base = KnowledgeBase(ShopSettings(shop="S", key="s", language="de"), {}, {})
    assert not_compared(base) == ("words against actions (there is no table of words for `de`)",)
    assert not_compared(words.ground.base) == ()


# Question, answer, verdict: each is right; the other verdict of the same answer is a contradiction.
NATURAL = (
    ("Do you see bubbles?", "No", "tight", "leaks"),
    ("Does foam grow at the joint?", "No", "tight", "leaks"),
    ("Is every joint tight?", "Yes", "tight", "leaks"),
    ("Does it hiss?", "Yes", "leaks", "tight"),
    ("Does the pressure fall?", "No", "tight", "leaks"),
    ("What do you see?", "Foam grows", "leaks", "tight"),
    ("What do you see?", "No bubbles", "tight", "leaks"),
    ("Is it dead?", "Yes", "dead", "live"),
    ("Is any pair still live?", "Yes", "live", "dead"),
    ("Is there any voltage left?", "No", "dead", "live"),
    ("What does the meter read?", "120 V on one pair", "live", "dead"),
    ("What does the meter read?", "0 V on every pair", "dead", "live"),
    ("Did the burner stop?", "Yes", "tripped", "not-tripped"),
    ("Did it trip?", "No", "not-tripped", "tripped"),
    ("Is the burner still running?", "Yes", "not-tripped", "tripped"),
    ("Did it go on firing?", "No", "tripped", "not-tripped"),
    ("Are the numbers the same?", "Yes", "same", "different"),
    ("Do the numbers differ?", "Yes", "different", "same"),
    ("Does any plate show another number?", "No", "same", "different"),
    ("Is it mended?", "Yes", "cause-mended", "not-found"),
    ("Is it still unexplained?", "Yes", "not-found", "cause-mended"),
    ("Was all of it normal?", "Yes", "seen", "not-seen"),
    ("Was anything missing?", "Yes", "not-seen", "seen"),
    ("Is any pressure left?", "Yes", "pressure-left", "no-pressure"),
    ("Is the gauge at 0?", "Yes", "no-pressure", "pressure-left"),
    ("Is it within the range?", "Yes", "within", "outside"),
    ("Does it lie outside the range?", "No", "within", "outside"),
    ("Is it really low?", "Yes", "real", "faulty"),
    ("Is the switch lying?", "Yes", "faulty", "real"),
    ("Is the wheel still turning?", "Yes", "still-there", "gone"),
)


@pytest.mark.parametrize(("asked", "answer", "right", "wrong"), NATURAL)
def test_an_answer_goes_with_its_verdict_and_not_with_the_other(
    asked: str, answer: str, right: str, wrong: str
) -> None:
    assert not contradicts(asked, answer, right, ENGLISH)
    assert contradicts(asked, answer, wrong, ENGLISH)


@pytest.mark.parametrize("asked", ["Is all well?", "Did F22 come?", "Does the glass keep its level?", ""])
def test_what_words_leave_open_is_no_contradiction(asked: str) -> None:
    for verdict in ("tight", "leaks", "tripped", "not-tripped", "full"):
        assert not contradicts(asked, "Yes", verdict, ENGLISH)


def test_notes_of_readings_tell_nothing(words: Words) -> None:
    head = {"title": "C", "equipment": ["ondrel-sb"]}
    step = {"do": "Look.", "note_down": "Wire T20 to T21 or T22"}
    assert words.other(Kind.PROCEDURE, {**head, "steps": [step]}) == []
