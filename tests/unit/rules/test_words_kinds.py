"""Words that stand for a kind: another name for a valve, who does it, how a handle lies; each in both directions."""

from __future__ import annotations

from functools import cache

import pytest

from kbgen.rules.words.english import ENGLISH
from kbgen.rules.words.told import ALTER, Reader
from tests.mutants.ground import demonstration
from tests.mutants.words import Case, Words

READER = Reader(ENGLISH)
BOILER = "ondrel-sb"


@cache
def _words() -> Words:
    return Words(demonstration())


def _told(do: str, **fields: str) -> bool:
    return bool(_words().judge(Case("case", BOILER, {"do": do, **fields}, [])))


def _kinds(text: str) -> list[str]:
    return [told.kind for told in READER.told(text)]


@pytest.mark.parametrize("word", sorted(ENGLISH.same))
def test_a_valve_by_any_name(word: str) -> None:
    assert _told(f"Open the burner {word}.", shut_valve="burner-cock")
    assert not _told(f"Shut the burner {word}.", shut_valve="burner-cock")


@pytest.mark.parametrize("word", sorted(ENGLISH.covers - {"panel"}))
def test_a_cover_by_any_name(word: str) -> None:
    assert _told(f"Take the {word} of the burner wiring box off.", close_cover="burner-cover")
    assert not _told(f"Put the {word} of the burner wiring box on.", close_cover="burner-cover")


@pytest.mark.parametrize("word", sorted(ENGLISH.ends))
def test_how_a_handle_lies_in_the_end(word: str) -> None:
    assert _told(
        f"Turn the main shutoff slowly {word} its handle lies along the pipe.", shut_valve="plant-cock"
    )
    assert not _told(
        f"Turn the main shutoff slowly {word} its handle lies across the pipe.", shut_valve="plant-cock"
    )


@pytest.mark.parametrize("word", sorted(ENGLISH.agents))
def test_who_does_it(word: str) -> None:
    assert _told(f"The burner cock is shut {word} the second person.")
    assert not _told("The burner cock is shut since the second person came.")


@pytest.mark.parametrize("word", sorted(ENGLISH.theirs))
def test_what_is_somebody_elses(word: str) -> None:
    assert not _told(f"The colleague hangs {word} own lock on.")
    assert _told("The colleague hangs your lock on.")


@pytest.mark.parametrize("word", sorted(ENGLISH.leads_of_meter))
def test_what_a_meter_is_clipped_on_with(word: str) -> None:
    clip = {"clip": "meter-1", "at": "T25", "to": "T90"}
    assert not _told(f"Clip the {word} across T25 and T90.", **clip)
    assert _told("Clip a wire across T25 and T90.", **clip)


@pytest.mark.parametrize("letter", sorted(ENGLISH.no_terminals))
def test_a_mark_that_is_no_terminal(letter: str) -> None:
    assert ALTER not in _kinds(f"Pull {letter.upper()}2 off.")
    assert ALTER in _kinds("Pull T25 off.")


@pytest.mark.parametrize("word", sorted(ENGLISH.idle))
def test_what_is_left_where_it_lies(word: str) -> None:
    assert _told(f"The lock plate stays {word}.", lock="gas")
    assert not _told("The lock plate stays over the cock.", lock="gas")


@pytest.mark.parametrize("word", sorted(ENGLISH.stays))
def test_what_stays(word: str) -> None:
    assert _told(f"You see the lock plate {word} on its hook.", lock="gas")
    assert not _told("You take the lock plate from its hook and put your padlock on it.", lock="gas")


@pytest.mark.parametrize("word", sorted(ENGLISH.mates))
def test_what_somebody_else_does_at_the_same_time(word: str) -> None:
    assert _told(f"Watch the fan {word} a colleague presses START.", inspect="Fan")
    assert not _told("Watch what happens when a colleague presses START.", inspect="Fan")


def test_a_lock_comes_off_a_gas_cock_and_no_gas_is_taken() -> None:
    assert _kinds("Take your padlock off the gas cock.") == ["unlock"]
    assert _kinds("Take the gas off at the cock.") == ["shut"]
