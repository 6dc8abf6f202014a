"""Rules about how an instruction is said: short, and in the words of the house."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial
from types import MappingProxyType

from kbgen.model.entry import Entry
from kbgen.model.term import Term
from kbgen.position import Route, Spot
from kbgen.problems import Problem
from kbgen.rules.language import LANGUAGE
from kbgen.rules.material import Check, EntryCheck, Material
from kbgen.rules.regions import AS_TYPED, is_said
from kbgen.rules.sample import spot_of

MOST_WORDS = 20
INSTRUCTIONS = frozenset({"do", "say", "avoid", "remedy", "immediate"})
"""Fields in which somebody is told what to do."""

SENTENCE_TOO_LONG = LANGUAGE.warning(
    "sentence-too-long",
    "In gloves and noise a long sentence is read to its middle.",
    "do: Take the cover off, and while you hold it with one hand look with the other at the float behind it and at the wires.",
    "do: Take the cover off. Look at the float and at the wires.",
    rests_on="Words between full stops in `do`, `say`, `avoid`, `remedy` and `immediate`. What a sentence means is not judged.",
)
WORD_NOT_OF_THE_HOUSE = LANGUAGE.warning(
    "word-not-of-the-house",
    "Two words for one thing, and somebody looks for the other thing.",
    "do: Renew the fuse.  # kb.yaml: house_words: [{not: renew, but: replace}]",
    "do: Replace the fuse.",
    rests_on="`house_words` of kb.yaml. What people type and panels show is left alone.",
)
CONDITION_LAST = LANGUAGE.warning(
    "condition-last",
    "Somebody who acts as he reads has acted before he comes to the condition.",
    "do: Take the sheet cover of the burner door off if the door is cold.",
    "do: If the burner door is cold, take its sheet cover off.",
    rests_on="“if” and “unless” in `do`, `say`, `avoid`, `remedy` and `immediate`, in English. Other words for a condition go unread.",
)
WORD_OF_PROGRAMS = LANGUAGE.warning(
    "word-of-programs",
    "Somebody at the plant does not know it, and reads over it.",
    "do: Enter the verdict of the last reading.",
    "do: Write down what the last reading told.",
    rests_on="A short list of words of programmers. A word that the shop has as a term is left alone.",
)
PROGRAMS = MappingProxyType(
    {
        "verdict": "what was judged",
        "claim": "statement",
        "ledger": "list of alterations",
        "node": "step",
        "boolean": "yes or no",
        "parameter": "setting",
        "parse": "read",
        "schema": "form",
        "json": "file",
        "yaml": "file",
        "enum": "list of words",
        "null": "nothing",
        "backlink": "named on",
    }
)
"""What programmers say, and what is said at a plant."""
_PROGRAMS = re.compile(rf"\b({'|'.join(PROGRAMS)})s?\b", re.IGNORECASE)
SHORT = 5
"""A sentence of so few words is read at one glance: Stop if it hammers."""
_IF = re.compile(r"\b(?:if|unless)\b", re.IGNORECASE)
_WHETHER = frozenset(
    {"only", "even", "as", "what", "ask", "see", "check", "look", "know", "tell", "say", "note", "doubt"}
)
"""Before `if` these make it no condition of the instruction, or one that stands with its verb."""
_CONDITION = frozenset({"if", "unless", "when", "where", "once", "only", "until", "while"})
_ENDS = re.compile(r"(?<=[.!?:;])\s+|\n\s*(?:[-*]|[0-9]+\.)\s+|\n\s*\n")
_LINK = re.compile(r"\]\([a-z-]+:[a-z0-9-]+\)")
_WORD = re.compile(r"[^\W_][\w'’°%/.-]*")


def _sentences(material: Material, entry: Entry) -> Iterator[Problem]:
    """Yield what is wrong with the sentences of instructions, the first of each text by each rule."""
    rules = (_too_long, _stands_last) if _in_english(material) else (_too_long,)
    for route, leaf, text in material.leaves(entry):
        field = next((step for step in reversed(route) if isinstance(step, str)), "")
        if field not in INSTRUCTIONS or not isinstance(text, str) or not is_said(leaf):
            continue
        spot = spot_of(entry, route)
        sentences = _ENDS.split(_LINK.sub("]", text))
        for rule in rules:
            yield from list(filter(None, (rule(spot, sentence) for sentence in sentences)))[:1]


def _too_long(spot: Spot, sentence: str) -> Problem | None:
    count = len(_WORD.findall(sentence))
    if count <= MOST_WORDS:
        return None
    return SENTENCE_TOO_LONG.at(
        spot,
        f"a sentence has {count} words: `{' '.join(sentence.split()[:6])} …`",
        f"Say it in two; {MOST_WORDS} words are the most, one instruction each, the condition first.",
    )


def _in_english(material: Material) -> bool:
    return material.base.shop.language.partition("-")[0] == "en"


def _stands_last(spot: Spot, sentence: str) -> Problem | None:
    if not _condition_last(sentence):
        return None
    return CONDITION_LAST.at(
        spot, f"the condition stands last: `{' '.join(sentence.split())}`", "Begin with it: `If …, …`."
    )


def _condition_last(sentence: str) -> bool:
    words = _WORD.findall(sentence)
    if len(words) <= SHORT or words[0].lower() in _CONDITION:
        return False
    before = [_WORD.findall(sentence[: hit.start()]) for hit in _IF.finditer(sentence)]
    return any(said and said[-1].lower() not in _WHETHER for said in before)


def _programs(material: Material) -> Iterator[Problem]:
    """Yield words of programmers, but those that the shop explains as terms of its own."""
    if not _in_english(material):
        return
    terms = frozenset(entry.title.lower() for entry, _ in material.base.of(Term))
    explained = sorted(terms & set(PROGRAMS))
    yield from material.of_each(f"words of programs, {explained!r}", (partial(_programmed, terms),))


def _programmed(terms: frozenset[str], material: Material, entry: Entry) -> Iterator[Problem]:
    for route, text in _said_texts(material, entry):
        hit = next((hit for hit in _PROGRAMS.finditer(text) if hit[1].lower() not in terms), None)
        if hit is not None:
            spot = spot_of(entry, route, find=hit[0])
            hint = f"Write `{PROGRAMS[hit[1].lower()]}`, or explain the word as a term of the shop."
            yield WORD_OF_PROGRAMS.at(spot, f"`{hit[0]}` is a word of programmers", hint)


def _said_texts(material: Material, entry: Entry) -> Iterator[tuple[Route, str]]:
    """Yield what an author says in own words, and not what people type or a panel shows."""
    for route, leaf, text in material.leaves(entry):
        if isinstance(text, str) and is_said(leaf) and not AS_TYPED.intersection(map(str, route)):
            yield route, text


def _house(material: Material, entry: Entry) -> Iterator[Problem]:
    words = material.base.shop.house_words
    for route, text in _said_texts(material, entry) if words else ():
        for word in words:
            for hit in re.finditer(rf"\b{re.escape(word.not_)}\b", text, re.IGNORECASE):
                if not any(text.lower().startswith(each.lower(), hit.start()) for each in word.except_):
                    yield WORD_NOT_OF_THE_HOUSE.at(
                        spot_of(entry, route, find=hit[0]),
                        f"`{hit[0]}` is no word of this shop",
                        f"Write `{word.but}`, as `house_words` of kb.yaml says.",
                    )
                    break


CHECKS: tuple[Check, ...] = (_programs,)
ENTRY_CHECKS: tuple[EntryCheck, ...] = (_sentences, _house)
