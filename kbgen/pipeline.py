"""The whole way from a folder of YAML to one value that every output is made from."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from kbgen.compose import Source, compose
from kbgen.compose.derived import Derived, with_derived
from kbgen.compose.told import at_the_line
from kbgen.compute.edition import Edition, make_edition
from kbgen.compute.signing import stand
from kbgen.compute.walk import Walk, Walks
from kbgen.link.base import KnowledgeBase
from kbgen.link.link import Linked, join, link_problems
from kbgen.link.public import without_places
from kbgen.load import Document
from kbgen.problems import Problem, Severity
from kbgen.program import make_key
from kbgen.read import ReadFolder, picture_digests, read_folder, signed_text
from kbgen.ref import Ref
from kbgen.schemas import Schemas, load_schemas
from kbgen.store import Store

if TYPE_CHECKING:
    from kbgen.views.page import Book

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the rules say of a knowledge base.

    Attributes:
        problems: Everything found and not accepted, without consequences, in no particular order.
        suppressed: Number of warnings that entries accept with a reason.
        not_run: What could not be checked, in the reader's words.
        notes: What plants' entries lack for pages that could follow from them.
    """

    problems: tuple[Problem, ...]
    suppressed: int
    not_run: tuple[str, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Compiled:
    """What the stages made of a folder; the same value for every output and report.

    Attributes:
        documents: Every file, for looking positions up.
        derived: The pages that nobody has written: they follow from a plant's entry.
        walks: What the safety walk saw, by procedure.
        origins: Of each page that was written out, by path: where each of its steps comes from.
        mark: A hash of everything that was read, of this program and no other.
        store: Where values are kept that outputs make.
    """

    root: Path
    documents: tuple[Document, ...]
    verdict: Verdict
    base: KnowledgeBase
    edition: Edition
    walks: Walks
    derived: frozenset[Ref]
    schemas: Schemas
    origins: Mapping[str, tuple[Source, ...]]
    mark: bytes
    store: Store

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything found and not accepted, without consequences, in no particular order."""
        return self.verdict.problems

    @property
    def suppressed(self) -> int:
        """Number of warnings that entries accept with a reason."""
        return self.verdict.suppressed

    @property
    def not_run(self) -> tuple[str, ...]:
        """What could not be checked, in the reader's words."""
        return self.verdict.not_run

    @property
    def sound(self) -> bool:
        """Whether outputs may be made."""
        return not any(problem.severity is Severity.ERROR for problem in self.problems)

    def book(self, plant: str | None = None) -> Book:
        """Put the pages together; of one family of plant only, where its id is given."""
        from kbgen.views.book import make_book

        return make_book(self.base, self.edition, self.walks, self.store, plant)


def compile_folder(
    root: Path,
    progress: Progress = lambda _: None,
    today: date | None = None,
    store: Store | None = None,
    *,
    sites: bool = True,
) -> Compiled:
    """Read, check and link a knowledge base.

    Args:
        root: Its folder.
        today: Warn about reviews that have run out by this day; ``None`` looks at no date, so that
            a result never depends on the day.
        progress: Is told, in a few words, what is being done.
        store: Where values are found that need not be made again; nowhere when ``None``.
        sites: Whether outputs name the places where the shop works and the machines it met; a public host must not
            tell them.
    """
    store = store or Store()
    schemas = load_schemas()
    progress("reading")
    sheets = read_folder(root, schemas, store)
    photos = frozenset(Path(photo).name for photo in sheets.loaded.photos)
    progress("writing routines out")
    written = compose(sheets.shop, sheets.entries, sheets.loaded.known, store)
    derived = with_derived(sheets.shop, sheets.entries, written, store)
    progress("linking")
    entries = stand(sheets.shop, derived.composed.entries, lambda ref: signed_text(root, ref), store)
    shop, private = sheets.shop, (sheets.shop, entries)
    if not sites:
        shop, entries = without_places(shop, entries)
    linked = join(shop, entries, photos, schemas, store, sheets.settings)
    pictures = picture_digests(root, sheets.loaded.photos)
    walks = Walks(linked.base, store)

    def judge() -> Verdict:
        progress(f"checking {len(sheets.documents)} files")
        from kbgen.rules.public import told_in_public

        told = () if sites else told_in_public(*private, schemas)
        return _judge(root, sheets, derived, linked, walks, schemas, today, store, told)

    standings = [repr(entry.head.standing) for entry in entries if entry.head.standing.last]
    said = make_key("", *map(repr, sheets.problems), "", *sheets.digests.values())
    mark = make_key(
        said, *pictures, "", *pictures.values(), "", *standings, *(() if sites else ("without sites",))
    )
    verdict = store.value(
        make_key("verdict", mark, str(today)),
        judge,
        sure=lambda: picture_digests(root, sheets.loaded.photos) == pictures,
    )
    return Compiled(
        root=root,
        documents=sheets.documents,
        verdict=verdict,
        base=linked.base,
        edition=make_edition(
            [*sheets.said, *(() if sites else (b"without sites",)), *(each.encode() for each in standings)],
            pictures,
            sheets.dates,
        ),
        walks=walks,
        derived=derived.refs,
        schemas=schemas,
        origins=derived.composed.origins,
        mark=mark,
        store=store,
    )


def _judge(
    root: Path,
    sheets: ReadFolder,
    derived: Derived,
    linked: Linked,
    walks: Mapping[Ref, Walk],
    schemas: Schemas,
    today: date | None,
    store: Store,
    told_in_public: Iterable[Problem],
) -> Verdict:
    """Let every rule judge, and leave out what entries accept and what follows from another error."""
    from kbgen.rules.age import age
    from kbgen.rules.consequences import without_consequences
    from kbgen.rules.material import Material
    from kbgen.rules.photos import photo_problems
    from kbgen.rules.registry import accept, run
    from kbgen.rules.words.check import not_compared

    base, known, composed = linked.base, sheets.loaded.known, derived.composed
    found = [
        *sheets.problems,
        *composed.problems,
        *link_problems(linked, known, schemas, store),
        *photo_problems(root, sheets.loaded.photos),
        *told_in_public,
        *run(Material(base, walks, schemas, store)),
        *(age(base, today) if today else ()),
    ]
    accepted = accept(base, found)
    told = without_consequences(
        accepted.problems, base, known - base.entries.keys(), composed.asked, composed.waiting
    )
    not_run = (
        *told.not_run,
        *not_compared(base),
        *(() if today else ("reviews that have run out (give --today)",)),
    )
    problems = tuple(
        at_the_line(problem, composed.origins, derived.plants)
        for problem in told.problems
        # What would be better is told to whoever writes a page, and nobody has written these.
        if problem.place.path not in derived.plants or problem.severity is Severity.ERROR
    )
    return Verdict(problems, accepted.suppressed, not_run, derived.notes)
