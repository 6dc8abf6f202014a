"""The search index, put together from what each entry gives."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from kbgen.link.kept import kept_all
from kbgen.pipeline import Compiled
from kbgen.program import make_key
from kbgen.ref import Ref
from kbgen.store import Store

if TYPE_CHECKING:
    from kbgen.search import SearchDocument, SearchIndex
    from kbgen.search.build import Outline
    from kbgen.search.gather import Counts
    from kbgen.search.language import Language

# What makes an index is imported late: where no entry changed it is found as it was made.


def make_index(compiled: Compiled) -> SearchIndex:
    """Return the search index."""
    return compiled.store.value(make_key("index", compiled.mark), lambda: _index(compiled))


def _index(compiled: Compiled) -> SearchIndex:
    """Put the index together; each entry gives its terms, which hang on what others write as one word."""
    from kbgen.render.searchable import displays, emergency_words, plants, synonyms
    from kbgen.search.build import assemble, groups_of, known_joined

    base, store, language = compiled.base, compiled.store, compiled.base.shop.language
    groups = groups_of(synonyms(base), language)
    # Nobody is led by a search to what nobody has walked; the page of its plant names it.
    found = [ref for ref in base.entries if ref not in compiled.derived]
    outlines = [(("outline", str(ref)), partial(_outline, compiled, ref)) for ref in found]
    lines = dict(zip(found, kept_all(store, base, outlines), strict=True))
    known = known_joined(lines.values(), groups)
    counts = []
    for ref, line in lines.items():
        part = known.intersection(line.joins.split("\n"))
        name = ("terms", str(ref), language, *sorted(part))
        counts.append((name, partial(_terms, compiled, ref, part, language)))
    rows = zip(lines.values(), kept_all(store, base, counts), strict=True)
    return assemble(
        rows,
        groups,
        language,
        emergency_words(base),
        displays(base),
        plants(base),
        partial(_right, store, language),
    )


def _right(store: Store, tag: str, known: Sequence[str], language: Language) -> tuple[str, ...]:
    """Return `right_words`; most changes bring no new word."""
    from kbgen.search.everyday import right_words

    key = make_key("right words", tag, *known)
    return store.value(key, lambda: right_words(known, language))


def _terms(compiled: Compiled, ref: Ref, known: frozenset[str], language: str) -> Counts:
    from kbgen.search.build import count_terms

    return count_terms(_document(compiled, ref), known, language)


def _outline(compiled: Compiled, ref: Ref) -> Outline:
    from kbgen.search.build import outline

    return outline(_document(compiled, ref))


def _document(compiled: Compiled, ref: Ref) -> SearchDocument:
    from kbgen.render.searchable import search_document

    return search_document(compiled.base, ref, compiled.schemas)


def index_script(compiled: Compiled) -> bytes:
    """Return the script that the browser reads the index from."""
    key = make_key("exported index", compiled.mark)
    return compiled.store.value(key, lambda: _exported(compiled))


def _exported(compiled: Compiled) -> bytes:
    from kbgen.search import export

    return export(make_index(compiled)).encode()
