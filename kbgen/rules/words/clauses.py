"""Sentences and clauses of a text, in the words of a table; no grammar beyond what orders need."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

from kbgen.rules.words.table import Table

_LINK = re.compile(r"\[([^\]]*)\]\([a-z-]+:[a-z0-9-]+\)")
_MARKUP = re.compile(r"[*`]")
_SENTENCES = re.compile(r"(?<=[.!?])[\s\"'”’)]+|\n\s*(?:[-+*]|\d+[.)])\s+|\n\s*\n|;\s+|\s+[–—]\s+")
_BETWEEN_MARKS = re.compile(r"(?<=\d)\s*[-–/]\s*(?=[A-Z]{1,3}\d)")
_TOKENS = re.compile(r"[^\W_]+(?:[-'’:/.][^\W_]+)*|[,:()]")
_MARK = re.compile(r"(?:[A-Z]{1,3}\d{1,3}(?:[:.]\d+)?|PE)\Z")
_STOPS = frozenset(",:()")
_COMMA = ","
_STOP = "."


@dataclass(frozen=True, slots=True)
class Clause:
    """A run of words with one verb at most.

    Attributes:
        words: As typed.
        tokens: The same in lower case.
        marks: Indices of the words that are marks of the plant.
        condition: The word that makes it a condition or an explanation; empty for a main clause.
        behind: Whether a condition stands before it in its sentence.
        joined: The word or sign that joins it to the clause before.
        shares: Whether a "never" of the clause before forbids this one too.
    """

    words: tuple[str, ...]
    tokens: tuple[str, ...]
    marks: frozenset[int]
    condition: str = ""
    behind: bool = False
    joined: str = ""
    shares: bool = False


def is_mark(word: str) -> bool:
    """Return whether a word is a mark of the plant, such as ``C1`` or ``X3:5``.

    >>> is_mark("X3:5"), is_mark("OFF")
    (True, False)
    """
    return _MARK.match(word) is not None


def folded(tokens: Iterable[str], table: Table) -> tuple[str, ...]:
    """Return words without articles, each in the word for its kind of thing that others are compared by."""
    return tuple(table.same.get(token, token) for token in tokens if token not in table.articles)


def is_time(word: str, table: Table) -> bool:
    """Return whether a word is a length of time: a minute, 30 s."""
    return (word.rstrip("s") or word) in table.seconds


def only_time(table: Table, verb: str, rest: tuple[str, ...]) -> bool:
    """Return whether a verb gives something nothing but time: "give it 30 s", and no "give it power for 30 s"."""
    if verb not in table.gives:
        return False
    at = next((at for at, word in enumerate(rest) if is_time(word, table)), 0)
    length = table.numbers.keys() | table.articles | table.good
    while at and (rest[at - 1] in length or rest[at - 1][0].isdigit()):
        at -= 1
    return at > 0 and rest[at - 1] not in table.places | table.openers


def plain(text: str) -> str:
    """Return a text without the signs of its markup."""
    return _MARKUP.sub("", _LINK.sub(r"\1", text) if "](" in text else text)


# Every rule about words looks at the same texts.
@cache
def sentences(text: str) -> tuple[str, ...]:
    """Return the sentences and list items of a text; of a question only what stands before its colon."""
    parts = _SENTENCES.split(plain(text))
    told = (part.rpartition(":")[0] if part.rstrip().endswith("?") else part for part in parts)
    return tuple(each for each in told if each.strip())


@cache
def clauses(sentence: str, table: Table) -> tuple[Clause, ...]:
    """Return the clauses of a sentence."""
    return tuple(_clauses(sentence, table))


def _clauses(sentence: str, table: Table) -> Iterator[Clause]:
    words = _meant(_TOKENS.findall(_BETWEEN_MARKS.sub(" to ", sentence).replace("’", "'")), table)
    words = [word for at, word in enumerate(words) if word != ":" or not _listed(words, at, table)]
    tokens = [word.lower() for word in words]
    start, condition, behind, joined = 0, "", False, ""
    for at, token in enumerate(tokens):
        if at < start:
            continue
        joins = token in table.joins and _new(tokens, start, at + 1, table)
        if token in _STOPS or joins or (token in table.therefore and _ordered(words, at + 1, table)):
            cut, follows = at + 1, ""
        elif token in table.conditions and _conditional(tokens, at, table):
            cut, follows = at + 1, token
        else:
            continue
        if at > start:
            yield _clause(words, tokens, start, at, condition, behind, joined, table)
        behind = behind or bool(condition)
        # "If it is dark and the lamp is lit" is one condition as long as no order follows.
        condition = follows
        start, joined = cut, token
    if start < len(tokens):
        yield _clause(words, tokens, start, len(tokens), condition, behind, joined, table)


def telling(text: str, table: Table) -> Iterator[Clause]:
    """Yield the clauses of a text that say what is or shall be, and until when; no condition, and nothing denied."""
    denying = table.negators | table.no
    for sentence in sentences(text):
        for clause in clauses(sentence, table):
            if clause.condition in {"", *table.ends} and denying.isdisjoint(clause.tokens):
                yield clause


def _listed(words: list[str], colon: int, table: Table) -> bool:
    """Return whether a colon stands between the point of a check list and how it shall be: "Plug: out".

    "Above 0 psi: shut" is a condition.
    """
    behind = words[colon + 1 : colon + 2]
    if not behind or behind[0].lower() not in table.listed:
        return False
    start = next((at for at in range(colon - 1, -1, -1) if words[at] in _STOPS), -1)
    point = [word.lower() for word in words[start + 1 : colon]]
    return table.places.isdisjoint(point) and not any(word[0].isdigit() for word in point)


def _meant(words: list[str], table: Table) -> list[str]:
    """Return words with each idiom in the one word that it means."""
    found: list[str] = []
    at = 0
    while at < len(words):
        longest = table.longest_idioms.get(words[at].lower(), 0)
        if not longest:
            found.append(words[at])
            at += 1
            continue
        begins = at == 0 or words[at - 1] in _STOPS or words[at - 1].lower() in table.joins | table.leads
        said = tuple(word.lower() for word in words[at : at + longest])
        for length in range(len(said), 0, -1):
            behind = words[at + length : at + length + 1]
            ends = not behind or behind[0] in _STOPS or behind[0].lower() in table.joins
            whole = said[:length]
            means = table.idioms.get(whole) or (ends and table.idioms.get((*whole, _STOP)))
            means = means or (begins and table.idioms.get((_STOP, *whole)))
            if means:
                found += means.split()
                at += length
                break
        else:
            found.append(words[at])
            at += 1
    return found


def _clause(
    words: list[str],
    tokens: list[str],
    start: int,
    end: int,
    condition: str,
    behind: bool,
    joined: str,
    table: Table,
) -> Clause:
    shares = joined in table.alternatives
    if joined == _COMMA:
        later = next((token for token in tokens[end:] if token in table.joins), "")
        shares = later in table.alternatives
    return Clause(
        tuple(words[start:end]),
        tuple(tokens[start:end]),
        frozenset(at - start for at in range(start, end) if is_mark(words[at])),
        condition,
        behind,
        joined,
        shares,
    )


def _new(tokens: list[str], start: int, at: int, table: Table) -> bool:
    """Return whether an order, a person or a condition follows a joining word of a clause that starts at `start`."""
    while at < len(tokens) and tokens[at] in table.leads:
        at += 1
    if at >= len(tokens):
        return False
    token = tokens[at]
    hangs = table.beside_lock | table.locks
    if token in hangs and at > 1 and tokens[at - 2] in hangs and at - 2 > start:
        return False
    if any(form == "base" for _, form in table.forms.get(token, ())):
        return at + 1 >= len(tokens) or tokens[at + 1] not in table.nouns
    # "And rake the lint off": a word before an article that is nothing else is a verb, known or not.
    if (
        tokens[at + 1 : at + 2]
        and tokens[at + 1] in table.articles
        and token not in table.not_verbs
        and token.isalpha()
        and not token.endswith(table.no_order)
    ):
        return True
    return token in table.quiet or token in table.conditions | table.negators | table.people


def _ordered(words: list[str], at: int, table: Table) -> bool:
    """Return whether an order with its thing stands here: "so stick a coin behind it"."""
    tokens = [word.lower() for word in words[at : at + 2]]
    if len(tokens) < 2 or not any(form == "base" for _, form in table.forms.get(tokens[0], ())):
        return False
    return tokens[1] in table.articles | table.objects or is_mark(words[at + 1])


def _conditional(tokens: list[str], at: int, table: Table) -> bool:
    """Return whether a word of condition is one here: not "press it once", not "that switch"."""
    token = tokens[at]
    if at and token in table.of_place and table.same.get(tokens[at - 1], tokens[at - 1]) in table.fuel:
        # "The cock where the gas train begins", "the last cock before the burner": part of a name.
        return token in table.befores and not set(tokens[at + 1 : at + 2]) & table.articles
    ends = at + 1 >= len(tokens) or tokens[at + 1] in _STOPS or tokens[at + 1] in table.joins
    if ends:
        return False
    if token in table.articles:
        before = tokens[at - 1] if at else ""
        return before not in table.across and before not in table.forms
    return True
