"""The whole way from a folder of YAML to one value that every output is made from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from kbgen.compute.edition import Edition, make_edition
from kbgen.compute.walk import Walk, walk_all
from kbgen.link.base import KnowledgeBase
from kbgen.link.link import link
from kbgen.load import Document, load
from kbgen.model.build import build
from kbgen.model.entry import Entry, make_entry
from kbgen.model.procedure import Procedure
from kbgen.model.shop import ShopSettings
from kbgen.problems import Problem, Severity
from kbgen.ref import Ref
from kbgen.rules.age import age
from kbgen.rules.consequences import without_consequences
from kbgen.rules.material import Material
from kbgen.rules.photos import photo_problems
from kbgen.rules.registry import accept, run
from kbgen.rules.words.check import not_compared
from kbgen.schemacheck import check
from kbgen.schemas import Schemas, load_schemas
from kbgen.views.book import make_book
from kbgen.views.page import Book

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Compiled:
    """What the stages made of a folder; the same value for every output and report.

    Attributes:
        documents: Every file, for looking positions up.
        problems: Everything found and not accepted, without consequences, in no particular order.
        walks: What the safety walk saw, by procedure.
        suppressed: Number of warnings that entries accept with a reason.
        not_run: What could not be checked, in the reader's words.
    """

    root: Path
    documents: tuple[Document, ...]
    problems: tuple[Problem, ...]
    base: KnowledgeBase
    edition: Edition
    walks: Mapping[Ref, Walk]
    schemas: Schemas
    suppressed: int = 0
    not_run: tuple[str, ...] = ()

    @property
    def sound(self) -> bool:
        """Whether outputs may be made."""
        return not any(problem.severity is Severity.ERROR for problem in self.problems)

    def book(self) -> Book:
        """Put the pages together."""
        return make_book(self.base, self.edition, self.walks)


def compile_folder(root: Path, progress: Progress = lambda _: None, today: date | None = None) -> Compiled:
    """Read, check and link a knowledge base.

    Args:
        root: Its folder.
        today: Warn about reviews that have run out by this day; ``None`` looks at no date, so that
            a result never depends on the day.
        progress: Is told, in a few words, what is being done.

    Raises:
        SchemaFaults: The program's own schema files are broken.
    """
    schemas = load_schemas()
    progress("reading")
    loaded = load(root)
    progress(f"checking {len(loaded.documents)} files")
    checked = check(loaded, schemas)
    shop, entries = _model(checked.sound)
    progress("linking")
    photos = frozenset(Path(photo).name for photo in loaded.photos)
    base, link_problems = link(shop, entries, loaded.known, photos, schemas)
    pictures = photo_problems(root, loaded.photos)
    aged = tuple(age(base, today)) if today else ()
    progress(f"walking {sum(1 for _ in base.of(Procedure))} procedures")
    walks = walk_all(base)
    settings = next((document.data for document in checked.sound if document.kind is None), {})
    judged = run(Material(base, walks, schemas, settings))
    found = (*loaded.problems, *checked.problems, *link_problems, *pictures, *judged, *aged)
    accepted = accept(base, found)
    told = without_consequences(accepted.problems, base, loaded.known - base.entries.keys())
    return Compiled(
        root=root,
        documents=checked.documents,
        problems=told.problems,
        base=base,
        edition=make_edition(base, checked.sound, [root / photo for photo in loaded.photos]),
        walks=walks,
        schemas=schemas,
        suppressed=accepted.suppressed,
        not_run=(
            *told.not_run,
            *not_compared(base),
            *(() if today else ("reviews that have run out (give --today)",)),
        ),
    )


def _model(documents: tuple[Document, ...]) -> tuple[ShopSettings, list[Entry]]:
    """Build the records; a shop whose settings are broken is checked all the same."""
    shop = ShopSettings(shop="", key="")
    entries = []
    for document in documents:
        if document.kind is None:
            shop = build(ShopSettings, document.data)
        else:
            entries.append(make_entry(document.kind, document.id, document.path, document.data))
    return shop, entries
