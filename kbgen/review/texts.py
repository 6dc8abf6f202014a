"""How two texts differ: in words only, in a figure, or in a way that nobody but a person can weigh."""

from __future__ import annotations

import re
from collections import Counter
from difflib import SequenceMatcher

from kbgen.problems import shown
from kbgen.review.change import Weight

_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")
_FIGURE = re.compile(
    r"(?<![\w.])[-+−]?\d+(?:[.,/]\d+)*(?:\s?(?:%|°\s?[CF]|[kmµM]?(?:V|A|W|Ω|Hz|Pa|bar)|mbar|psi|in\.?(?:\s?wc)?|"
    r"min|minutes?|s|seconds?|h|hours?|°|mm|cm|m|ft|kohm|ohms?)\b)?"
)
_REFUSES = frozenset(
    "not never no none nobody nothing without only unless until till except don't doesn't mustn't cannot can't isn't nor must "
    "forbidden avoid stop".split()
)
"""Words that turn a sentence around, or bind it."""
_PROTECTS = frozenset(
    "glove gloves goggles glasses shield visor insulated lock locked locks padlock tag tagged tags licensed licence qualified "
    "second alone ventilate ventilated proved proving earth grounded analyser leak seal sealed cat iii iv rated evacuate "
    "call fire gas dead live cool cooled cold wait waits".split()
)
"""Words that something to be worn, done or kept to is said with; one that goes is looked at."""
_CONDITIONS = tuple(
    frozenset(each.split())
    for each in ("if when whenever where provided", "while", "before", "after once soon", "first")
)
"""Words that say when something holds; those of a row say the same."""
_ASKS = frozenset(
    "ask asks check checks confirm confirms verify verifies sure test tests see look looks watch watches tell tells".split()
)
"""Words that have somebody ask or look before they go on."""
_OPPOSITES = tuple(
    (frozenset(one.split()), frozenset(other.split()))
    for one, other in (
        ("on", "off"),
        ("open opens opened", "shut shuts close closes closed"),
        ("in inside", "out outside"),
        ("up raise rises higher above over high", "down lower falls below under low"),
        ("more", "less fewer"),
        ("before", "after"),
        ("first", "last"),
        ("dead", "live"),
        ("locked lock", "unlocked unlock"),
        ("start starts", "stop stops"),
        ("fit connect attach", "remove disconnect detach"),
        ("longer", "shorter"),
        ("least minimum", "most maximum"),
        ("left", "right"),
        ("wet", "dry"),
        ("hot", "cold"),
        ("full", "empty none"),
        ("clockwise", "anticlockwise counterclockwise"),
        ("yes", "no"),
        ("upstream", "downstream"),
        ("real", "false faulty"),
    )
)
_QUOTE = 90
_ALIKE = 0.55


def same_words(one: str, other: str) -> bool:
    """Return whether two texts say the same but for blanks, signs and capitals."""
    return _plain(one) == _plain(other)


def _plain(text: str) -> list[str]:
    return re.findall(r"\w+(?:[.,]\d+)?", text.casefold())


def alike(one: str, other: str) -> float:
    """Return how alike two texts are, from 0 to 1."""
    words, others = _plain(one), _plain(other)
    bag = sum((Counter(words) & Counter(others)).values()) * 2 / max(1, len(words) + len(others))
    # Words in another order are as like as words in the same.
    return max(bag * 0.95, SequenceMatcher(None, words, others, autojunk=False).ratio())


def figures(text: str) -> list[str]:
    """Return the figures of a text with their units.

    >>> figures("reads 108 V to 132 V after 10 min")
    ['108 V', '132 V', '10 min']
    """
    return [" ".join(found[0].split()) for found in _FIGURE.finditer(text)]


def compared(before: str, after: str) -> Weight:
    """Weigh the difference of two texts.

    >>> compared("Shut the cock.", "Shut the gas cock.")
    <Weight.WORDS: 'words'>
    >>> compared("Never open the door.", "Open the door.")
    <Weight.UNDECIDED: 'cannot be decided'>
    >>> compared("Reads 24 V", "Reads 240 V")
    <Weight.FIGURE: 'figure'>
    """
    if turned(before, after):
        return Weight.UNDECIDED
    if Counter(map(_figure, figures(before))) != Counter(map(_figure, figures(after))):
        return Weight.FIGURE
    return Weight.WORDS


def _figure(text: str) -> str:
    return re.sub(r"\s", "", text).casefold()


_SHORT = (
    ("can't", "cannot"),
    ("don't", "do not"),
    ("doesn't", "does not"),
    ("isn't", "is not"),
    ("mustn't", "must not"),
)
_FORBIDS = re.compile(r"^do not ([a-z]+) any(?:(thing|body)|one)?\b")
_JOINS = re.compile(r"[,;:–—()]|\b(?:and|or|but|then|nor|unless|until|except|if|when|while|that|who|which)\b")


def _refusal(line: str) -> str:
    """Return a sentence that forbids in one form: `Do not touch anything` is `Touch nothing`.

    Only where one thing is forbidden and nothing else said: what a *not* binds is else not plain.
    """
    said = " ".join(line.casefold().replace("’", "'").split())
    for short, long in _SHORT:
        said = re.sub(rf"\b{short}\b", long, said)
    found = _FORBIDS.match(said)
    if found is None or _JOINS.search(said):
        return said
    one = {"thing": "nothing", "body": "nobody", None: "nobody" if found[0].endswith("one") else "no"}
    return f"{found[1]} {one[found[2]]}{said[found.end() :]}"


def _without_same(before: str, after: str) -> tuple[str, str]:
    """Return two texts without the sentences that forbid the same in two forms."""
    one, other = ([each for each in _SENTENCE.split(text) if each.strip()] for text in (before, after))
    for each in list(one):
        same = next((two for two in other if _plain(_refusal(two)) == _plain(_refusal(each))), None)
        if same is not None and set(_plain(_refusal(each))) & _REFUSES:
            one.remove(each)
            other.remove(same)
    return " ".join(one), " ".join(other)


def turned(before: str, after: str) -> bool:
    """Return whether a text lost or won a word that turns it around or a condition, or lost what protects or asks."""
    if len(_SENTENCE.split(before)) == len(_SENTENCE.split(after)):
        before, after = _without_same(before, after)
    one, other = (Counter(word.casefold() for word in _WORD.findall(text)) for text in (before, after))
    if any(one[word] != other[word] for word in _REFUSES):
        return True
    if any(_count(one, row) != _count(other, row) for row in _CONDITIONS):
        return True
    if before.count("?") > after.count("?") or _count(one, _ASKS) > _count(other, _ASKS):
        return True
    if any(one[word] and not other[word] and not _in_other_form(word, other) for word in _PROTECTS):
        return True
    gone, new = set(one - other), set(other - one)
    if any((gone & a and new & b) or (gone & b and new & a) for a, b in _OPPOSITES):
        return True
    return bool(_lost(before, after))


def _count(words: Counter[str], of: frozenset[str]) -> int:
    return sum(words[word] for word in of)


def binds(text: str) -> bool:
    """Return whether a text forbids, protects, asks, or holds a condition or a figure; who takes it out is asked why."""
    words = {word.casefold() for word in _WORD.findall(text)}
    return bool(words & _REFUSES.union(_PROTECTS, _ASKS, *_CONDITIONS) or "?" in text or figures(text))


def _in_other_form(word: str, words: Counter[str]) -> bool:
    stem = word.rstrip("s").removesuffix("ed").removesuffix("ing")
    return any(each.startswith(stem) for each in words if words[each]) if len(stem) > 2 else False


_CATEGORY = re.compile(r"\bCAT\.?\s*(IV|III|II|I)\b(?:\D{0,12}(\d{3,4})\s?V)?", re.IGNORECASE)
_CATEGORIES = ("", "I", "II", "III", "IV")


def category(text: str) -> tuple[int, int]:
    """Return the measuring category that a text asks of a meter, and its volts; the least where it names several.

    >>> category("Multimeter, CAT III 600 V"), category("any meter")
    ((3, 600), (0, 0))
    """
    found = [(_CATEGORIES.index(each[1].upper()), int(each[2] or 0)) for each in _CATEGORY.finditer(text)]
    return min(found, default=(0, 0))


_SENTENCE = re.compile(r"(?<=[.!?:])\s+|\n+")


def _lost(before: str, after: str) -> list[str]:
    """Return the sentences that have nothing like them in the other text."""
    there = [each for each in _SENTENCE.split(after) if each.strip()]
    whole = _plain(after)
    lost = []
    for each in _SENTENCE.split(before):
        words = _plain(each)
        if len(words) < 2 or any(alike(each, other) >= _ALIKE for other in there):
            continue
        kept = sum(word in whole for word in words) / len(words)
        if kept < _ALIKE:
            lost.append(each)
    # One sentence said anew is another wording; two into one are not.
    return lost if len(there) < len([each for each in _SENTENCE.split(before) if each.strip()]) else []


def quoted(text: str, most: int = _QUOTE) -> str:
    """Return a text in quotation marks, cut where it is long."""
    return f"“{shown(text, most)}”"


def told(what: str, before: str, after: str) -> str:
    """Say that a text is another: the figures where only they differ, else both texts around the difference.

    >>> told("reads", "24 V", "240 V")
    'reads 240 V, was 24 V'
    """
    if len(before) <= 40 and len(after) <= 40 and "\n" not in before + after:
        return f"{what} {after}, was {before}"
    old, new = _around(before, after)
    return f"{what} now {quoted(new)}, was {quoted(old)}"


def _around(before: str, after: str) -> tuple[str, str]:
    """Return the pieces of two texts in which they differ, with a few words around."""
    one, other = before.split(), after.split()
    head = 0
    while head < min(len(one), len(other)) and one[head] == other[head]:
        head += 1
    tail = 0
    while tail < min(len(one), len(other)) - head and one[-1 - tail] == other[-1 - tail]:
        tail += 1
    start = max(0, head - 4)

    def piece(words: list[str]) -> str:
        end = min(len(words), len(words) - tail + 4)
        lead = "…" if start else ""
        return lead + " ".join(words[start:end]) + ("…" if end < len(words) else "")

    return piece(one), piece(other)
