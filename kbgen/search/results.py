"""What a query is answered with."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.ref import Kind

from .index import Display


@dataclass(frozen=True, slots=True)
class Hit:
    """One entry found.

    Attributes:
        why: How it was found; empty when the typed words themselves were.
        note: What must be known before anything is done with it; may be empty.
    """

    kind: Kind
    id: str
    title: str
    score: int
    why: str
    note: str


@dataclass(frozen=True, slots=True)
class Results:
    """The answer to a query.

    Attributes:
        results: Best first.
        answers: How many of all entries answer: with at least two fifths of the best one's score.
        plant: The plant the results are about: the one the query names, else the one that was given; or None.
        better: Number of entries of other plants that answer better than any of these, per plant: only where the
            plant was given and not named.
        did_you_mean: The query with misspelt words put right, or None.
        absent: Codes and flash counts that were typed and that this plant does not show, or no plant where none is
            known; the plant's own page then says what it shows and stands first.
        danger: What kind of danger it speaks of, so that the leave-now page belongs above everything; or None.
        not_understood: Stretches of the query nothing was found for.
        nearest: When nothing was found, or of a code only its number, what a panel shows that looks most
            alike.
        kinds: How many would answer per kind, if it were the kind asked for.
        equipment: How many would answer per plant, of those that have an entry of their own.
    """

    results: tuple[Hit, ...]
    answers: int
    plant: str | None
    better: dict[str, int]
    did_you_mean: str | None
    absent: tuple[str, ...]
    danger: str | None
    not_understood: tuple[str, ...]
    nearest: tuple[Display, ...]
    kinds: dict[Kind, int]
    equipment: dict[str, int]
