"""Whether a verdict word goes with what its question and its outcome say."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from kbgen.rules.words.clauses import is_mark, plain
from kbgen.rules.words.table import Table

_WORDS = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*|\d+(?:[.,]\d+)?|,")
_ANSWER = re.compile(r"\s*(\w+)\s*(?:[,.:;–—!]|\Z)")
_PARTS = re.compile(r"[,.;:]|\band\b")
_MARKED = re.compile(r"[A-Z]+\d+")
_NEAR = 3
_COMMA = ","
_ABOVE_ZERO = frozenset("123456789")
# A figure other than 0 says one of these, where its verdict is asked for.
_FIGURES = ("live", "pressure-left")


def contradicts(question: str, outcome: str, verdict: str, table: Table) -> bool:
    """Return whether words plainly say another verdict than the one an outcome carries.

    What the words leave open is no contradiction: "Is all well? Yes" goes with any verdict. Doubt is judged elsewhere.

    Args:
        question: What the page asks; empty where the action asks by itself.
        outcome: What the person answers, as it stands under ``when``.
        verdict: The verdict word of that outcome, such as ``tight``.
        table: The words of the language.

    >>> from kbgen.rules.words.english import ENGLISH
    >>> contradicts("Do you see bubbles?", "Yes", "tight", ENGLISH)
    True
    >>> contradicts("Do you see bubbles?", "No", "tight", ENGLISH)
    False
    """
    row = next((each for each in table.verdicts if verdict in each), None)
    # Where terminals are named one by one, no word says what all of them mean.
    if row is None or any(is_mark(word) for word in _MARKED.findall(outcome)):
        return False
    words = _words(outcome)
    if verdict == "dead" and _meter_not_proved(outcome, table):
        return True
    if verdict == "tight" and _let_through(_words(question), words, row, table):
        return True
    said = _said(words, row, table)
    answer = _answer(outcome)
    if answer in table.yes or answer in table.denies:
        said = _said(_words(question), row, table)
        if said and answer in table.denies:
            said = frozenset(row) - said
        # "No, it holds": what follows the answer speaks where the question leaves it open.
        said = said or _said(words[1:], row, table)
    return bool(said) and verdict not in said


def _meter_not_proved(outcome: str, table: Table) -> bool:
    """Return whether an answer says that the meter read nothing on what it is proved on, or was not put to it again."""
    denying = table.negators | table.no
    for part in _PARTS.split(plain(outcome).lower()):
        for prover in table.provers:
            before, found, behind = part.partition(prover)
            if found and denying & {*_words(before)[-_NEAR - 1 :], *_words(behind)[:_NEAR]}:
                return True
    return False


def _let_through(
    asked: tuple[str, ...], words: tuple[str, ...], row: Mapping[str, frozenset[str]], table: Table
) -> bool:
    """Return whether an answer lets a small leak through: "no, or only small ones", or no to "do they blow up fast?"."""
    at = next((at for at, word in enumerate(words) if at and word in table.admits), len(words))
    of_leaks = _said(asked, row, table) == {"leaks"}
    some = of_leaks and bool(table.some & set(words[at:]))
    if words[at:] and (some or _said(words[at + 1 :], row, table) == {"leaks"}):
        return True
    worst = of_leaks and bool(table.degrees & set(asked))
    return worst and bool(words) and words[0] in table.denies | table.no


def _answer(outcome: str) -> str:
    """Return the word that answers, where it stands alone or before a stop: no answer in "No bubbles"."""
    match = _ANSWER.match(plain(outcome).lower())
    return match.group(1) if match else ""


def _words(text: str) -> tuple[str, ...]:
    return tuple(_WORDS.findall(plain(text).lower().replace("’", "'")))


def _said(words: tuple[str, ...], row: Mapping[str, frozenset[str]], table: Table) -> frozenset[str]:
    """Return the verdicts that words leave possible; none where they say nothing or several things."""
    # "Is H2 dead while H1 is full?" asks for the first.
    cut = next((at for at, word in enumerate(words) if at > 1 and word in table.mates), None)
    claims = list(_claims(words[:cut], row, table)) or list(_claims(words, row, table))
    # "Is the flame gone?" says of it what it does; "Flame" alone says that it is there.
    found = [each for each, named in claims if not named] or [each for each, _ in claims]
    if not found:
        return frozenset()
    return frozenset(row).intersection(*found)


def _claims(
    words: tuple[str, ...], row: Mapping[str, frozenset[str]], table: Table
) -> Iterator[tuple[frozenset[str], bool]]:
    """Yield what each word leaves possible, and whether it only names a thing."""
    cut = 0
    for at, word in enumerate(words):
        if word == _COMMA:
            cut = at
            continue
        before = tuple(each for each in words[:at] if each != _COMMA)[-_NEAR:]
        figure = word[0].isdecimal() and not _ABOVE_ZERO.isdisjoint(word)
        if figure and not set(before) & table.less:
            hits = frozenset(verdict for verdict in row if verdict in _FIGURES)
        else:
            pair = f"{word}-{words[at + 1]}" if at + 1 < len(words) else word
            hits = frozenset(verdict for verdict, says in row.items() if word in says or pair in says)
        if not hits:
            continue
        # "No squeal, right way round": behind a comma a "no" still denies what nobody wants, and not what is right.
        if next(iter(row)) in hits:
            before = words[cut:at][-_NEAR:]
        # "Corrected by nobody yet" denies behind.
        behind = words[at + 1 : at + 3]
        denied = any(each in table.negators or each in table.no for each in before) or (
            behind[:1] == ("by",) and not table.negators.isdisjoint(behind[1:])
        )
        yield frozenset(row) - hits if denied else hits, word in table.only_named
