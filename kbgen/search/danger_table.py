"""The table of danger words as it stands in a file one can read; `danger` asks it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path

from .weights import Weights

ANY, ALONE = "any", "alone"
HARMLESS = "harmless"
SHOP = "shop"
"""The kind of what only a shop's own words call danger."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table.

    Attributes:
        kind: ``harmless``, or the kind of danger: the anchor of its part of the leave-now page.
        elements: Each a name, a word or several of them with ``/`` between; ``?`` behind one that may be missing.
        either: Whether they may stand in either order.
        within: How many other words may stand between two: a number, ``any`` or ``alone``.
        unless: What must stand nowhere.
        example: A sentence that this line is needed for.
        rule: Of a harmless line, why that is no danger: the name of its rule.
    """

    kind: str
    elements: tuple[str, ...]
    either: bool
    within: str
    unless: tuple[str, ...]
    example: str
    rule: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Danger in one language.

    Attributes:
        small: Words that are passed over.
        names: Words under the name that stands for them; ``_`` joins those of a phrase.
        rows: Lines in their order.
        weights: What each word says beside the lines; without any the lines alone decide.
    """

    small: frozenset[str]
    names: dict[str, tuple[str, ...]]
    rows: tuple[Row, ...]
    weights: Weights = field(default_factory=Weights)


def read_table(path: Path) -> Table:
    """Read a table; its own first lines say how it is written.

    Raises:
        ValueError: A line is not understood; the message names file and line.
    """
    small: frozenset[str] = frozenset()
    names: dict[str, tuple[str, ...]] = {}
    rows = []
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        head, *cells = (part.strip() for part in line.split(" | "))
        if head == "small" and len(cells) == 1:
            small = frozenset(cells[0].split())
        elif head.isupper() and len(cells) == 1:
            names[head] = tuple(cells[0].split())
        elif 3 <= len(cells) <= 4 and (cells[1] in (ANY, ALONE) or cells[1].isdigit()):
            rows.append(_row(head, *cells))
        else:
            raise ValueError(f"{path.name}:{number}: this line is not understood: {line}")
    return Table(small, names, tuple(rows))


def _row(kind: str, pattern: str, within: str, example: str, unless: str = "") -> Row:
    kind, _, rule = kind.partition(": ")
    elements = tuple(each for each in pattern.split() if each != "&")
    return Row(kind, elements, "&" in pattern, within, tuple(unless.split()[1:]), example, rule)


def phrase_row(words: Iterable[str]) -> Row:
    """Return the line of a shop's own phrase: all of its words, anywhere."""
    return Row(SHOP, tuple(words), either=True, within=ANY, unless=(), example="")


def reduced(table: Table, stem: Callable[[str], str]) -> Table:
    """Leave out what is another form of a word that stands there already: the file is for people to read."""

    def unlike(words: Iterable[str]) -> tuple[str, ...]:
        first: dict[object, str] = {}
        for word in words:
            exact = word.startswith("=") or word in table.names
            first.setdefault(word if exact else tuple(map(stem, word.split("_"))), word)
        return tuple(first.values())

    def element(text: str) -> str:
        words = text.rstrip("?")
        return "/".join(unlike(words.split("/"))) + text[len(words) :]

    return replace(
        table,
        names={name: unlike(words) for name, words in table.names.items()},
        rows=tuple(replace(row, elements=tuple(map(element, row.elements))) for row in table.rows),
    )
