"""From documents to the index: terms per field, counts through Whoosh, one impact per term and entry."""

from __future__ import annotations

import gc
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from contextlib import contextmanager
from dataclasses import dataclass

from .compounds import CODE, compounds, without_o
from .document import SearchDocument
from .everyday import known_words, right_words
from .gather import Counts, count
from .index import KINDS, LEVELS, Display, EmergencyWords, Entry, order_key
from .language import Language
from .languages import language_of
from .normalise import Atom, atoms, key
from .query import SearchIndex

# BM25F (Robertson, Zaragoza, Taylor 2004): counts are weighted per field and added before they saturate.
WEIGHTS = {"title": 4.0, "codes": 6.0, "names": 4.0, "asked": 2.0, "figures": 2.0, "body": 1.0}
_SATURATION = 2.4
_LENGTH_SHARE = 0.5
_LONGEST_JOIN = 4
_SHORTEST_JOINED = 4

Text = list[Atom]


def build_index(
    documents: Iterable[SearchDocument],
    synonyms: Sequence[Sequence[str]] = (),
    language: str = "en",
    emergency: EmergencyWords | None = None,
    displays: Iterable[Display] = (),
    plants: Iterable[tuple[str, tuple[str, ...]]] = (),
) -> SearchIndex:
    """Build the index of a knowledge base.

    Args:
        documents: One per entry, in any order.
        synonyms: Groups of names for the same thing, e.g. ``("low-water cutoff", "LWCO")``.
        language: Chooses stemmer, number words and emergency words; ``en`` or ``es``.
        emergency: The emergency page and phrases beside the language's own.
        displays: What every panel can show, in the order in which equals are offered.
        plants: Id of each plant and the names that choose it.
    """
    with _no_collector():
        groups = groups_of(synonyms, language)
        pairs = [(document, outline(document)) for document in documents]
        known = known_joined((each for _, each in pairs), groups)
        rows = [(each, count_terms(document, known, language)) for document, each in pairs]
        return assemble(rows, groups, language, emergency or EmergencyWords(), displays, plants)


@contextmanager
def _no_collector() -> Iterator[None]:
    """Keep the cycle collector from walking millions of postings again and again; they have no cycles.

    With it, 5,000 entries cost 7 times 1,000; without, 5 times.
    """
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


@dataclass(frozen=True, slots=True)
class Outline:
    """What the other entries must know of an entry before its terms are counted.

    Attributes:
        entry: What is shown of it.
        joined: What somebody wrote as one word in it.
        joins: Every run of up to four words that another may have written as one, a line each.
        length: Number of words in its body.
    """

    entry: Entry
    joined: tuple[str, ...]
    joins: str
    length: int


def outline(document: SearchDocument) -> Outline:
    """Return the outline of a document; it hangs on that alone."""
    texts = _texts(document)
    joins = {joined for parts in texts.values() for text in parts for joined in _joins(text)}
    return Outline(
        entry=Entry(
            document.kind,
            document.id,
            _line(document.title),
            document.address,
            document.equipment,
            _line(document.summary),
            _line(document.note),
            document.draft,
        ),
        joined=tuple(sorted(_written_joined([texts]))),
        joins="\n".join(sorted(joins)),
        length=sum(map(len, texts["body"])),
    )


def groups_of(synonyms: Iterable[Sequence[str]], language: str) -> tuple[tuple[str, ...], ...]:
    """Return the groups of names for the same thing: the language's own, then a shop's."""
    spoken = language_of(language)
    return tuple(
        tuple(dict.fromkeys(name for name in group if key(name))) for group in (*spoken.alike, *synonyms)
    )


def known_joined(outlines: Iterable[Outline], groups: Iterable[Sequence[str]]) -> frozenset[str]:
    """Return what is one word: what somebody wrote as one, and every name of a thing."""
    named = {key(name) for group in groups for name in group}
    return frozenset(named.union(*(each.joined for each in outlines)))


def count_terms(document: SearchDocument, known: AbstractSet[str], language: str) -> Counts:
    """Count the terms of a document per field.

    Args:
        known: Of what is one word, at least what is among the document's joins.
    """
    spoken = language_of(language)
    row = _row(_texts(document), known, spoken)
    row["codes"] += _exact(document.normal, spoken)
    return count(row)


def assemble(
    rows: Iterable[tuple[Outline, Counts]],
    groups: Iterable[tuple[str, ...]],
    language: str,
    emergency: EmergencyWords,
    displays: Iterable[Display],
    plants: Iterable[tuple[str, tuple[str, ...]]] = (),
    right: Callable[[Sequence[str], Language], tuple[str, ...]] = right_words,
) -> SearchIndex:
    """Put the index of a knowledge base together from what each entry gives.

    Args:
        right: `right_words`, or what gives the same.
    """
    spoken = language_of(language)
    with _no_collector():
        ordered = sorted(rows, key=lambda row: (KINDS.index(row[0].entry.kind), row[0].entry.id))
        impacts = _impacts([counts for _, counts in ordered], [each.length for each, _ in ordered])
        terms = sorted(impacts, key=order_key)
        return SearchIndex(
            entries=tuple(each.entry for each, _ in ordered),
            terms=tuple(terms),
            postings=tuple(tuple(sorted(impacts[term].items())) for term in terms),
            displays=tuple(displays),
            synonyms=tuple(group for group in groups if len(group) > 1),
            emergency=emergency,
            language=spoken,
            plants=tuple(plants),
            right=right(known_words(terms), spoken),
        )


def _texts(document: SearchDocument) -> dict[str, list[Text]]:
    return {
        "title": [atoms(document.title)],
        "codes": [atoms(code) for code in document.codes],
        "names": [atoms(name) for name in document.names],
        "asked": [atoms(typed) for typed in document.asked],
        "body": [atoms(document.body), atoms(document.summary)],
    }


def _written_joined(texts: Iterable[dict[str, list[Text]]]) -> set[str]:
    """Return what somebody wrote as one word: runs of touching atoms, longer single words, displays."""
    known = set()
    for row in texts:
        for code in row["codes"]:
            if len(code) > 1:
                known.add("".join(atom.text for atom in code))
        for parts in row.values():
            for text in parts:
                run = ""
                for atom in text:
                    if atom.touches:
                        run += atom.text
                        known.add(run)
                    else:
                        run = atom.text
                        if len(run) >= _SHORTEST_JOINED and run[0] > "9":
                            known.add(run)
    return known


def _row(texts: dict[str, list[Text]], known: AbstractSet[str], language: Language) -> dict[str, list[str]]:
    """Return an entry's terms per field; a figure in passing says nearly as much as a name."""
    row: dict[str, list[str]] = {field: [] for field in WEIGHTS}
    for field, parts in texts.items():
        for text in parts:
            made = [compound.term for compound in compounds(text, language)]
            row[field] += _terms(text, made, field, known, language)
            if field == "body":
                row["figures"] += [term for term in made if term[0] <= "9"]
    return row


def _terms(text: Text, made: list[str], field: str, known: AbstractSet[str], language: Language) -> list[str]:
    """Return every term of a text: its words, each join, and the compounds made of them."""
    found = [atom.text for at, atom in enumerate(text) if not _is_sign(text, at, language)]
    size = len(text)
    found += [joined for joined in _joins(text) if joined in known]
    extra = list(made)
    if field == "codes" and text:
        whole = "".join(atom.text for atom in text)
        plain = without_o(whole)
        extra += [plain, "=" + plain, "=" + whole, whole]
        extra += ["=" + term for term in made if "_" in term]
        if not CODE.fullmatch(plain) and size <= _LONGEST_JOIN:
            extra.append(whole)
    found += dict.fromkeys(term for term in extra if term not in found)
    return found


def _joins(text: Text) -> Iterator[str]:
    """Yield every run of up to four atoms as one word."""
    size = len(text)
    for start in range(size - 1):
        joined = text[start].text
        for end in range(start + 1, min(start + _LONGEST_JOIN, size)):
            joined += text[end].text
            yield joined


def _exact(shown: Iterable[str], language: Language) -> list[str]:
    """Return the terms under which displays are found only when typed whole."""
    found: dict[str, None] = {}
    for text in map(atoms, shown):
        whole = "".join(atom.text for atom in text)
        for term in (
            whole,
            without_o(whole),
            *(made.term for made in compounds(text, language) if "_" in made.term),
        ):
            found["=" + term] = None
    return list(found)


def _is_sign(text: Text, at: int, language: Language) -> bool:
    """Say whether an atom is the sign of a quantity's unit: the C of 70 °C is not the letter on a panel."""
    sign = text[at].text
    return at > 0 and len(sign) == 1 and sign in language.units and text[at - 1].text[0] <= "9"


def _impacts(rows: Sequence[Counts], lengths: Sequence[int]) -> dict[str, dict[int, int]]:
    mean = sum(lengths) / len(lengths) if sum(lengths) else 1.0
    shrink = [1 / (1 - _LENGTH_SHARE + _LENGTH_SHARE * length / mean) for length in lengths]
    weights: dict[str, dict[int, float]] = defaultdict(dict)
    # Field by field in one order, so that the same sums come out to the last bit.
    for field in sorted(WEIGHTS):
        for entry, counts in enumerate(rows):
            boost = shrink[entry] if field == "body" else WEIGHTS[field]
            for term, times in counts[field].items():
                row = weights[term]
                row[entry] = row.get(entry, 0.0) + times * boost
    return {term: {entry: _level(weight) for entry, weight in row.items()} for term, row in weights.items()}


def _level(weight: float) -> int:
    return max(1, min(LEVELS, round(LEVELS * weight / (_SATURATION + weight))))


def _line(text: str) -> str:
    return " ".join(text.split())
