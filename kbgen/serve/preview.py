"""What the preview shows now: pages, and what is wrong with the file of each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from markupsafe import escape

from kbgen.outputs.index import index_script
from kbgen.outputs.web import cover_of, preview_site
from kbgen.pipeline import Compiled, Progress, compile_folder
from kbgen.ref import Ref
from kbgen.render.web import Cover, WebSite
from kbgen.render.web.leaf import Leaf
from kbgen.render.web.linkcheck import Found
from kbgen.report import Located, locate
from kbgen.rewrite.editor import renew
from kbgen.store import Store
from kbgen.views.address import address

SEARCH_INDEX = "assets/search-index.js"


@dataclass(frozen=True, slots=True)
class Shown:
    """One state of the preview.

    Attributes:
        problems: Everything that is wrong, as `check` sorts it.
        files: The file behind each page.
        stale: Pages that show an earlier state of their file.
    """

    compiled: Compiled
    site: WebSite
    problems: tuple[Located, ...]
    files: dict[str, str]
    stale: frozenset[str]

    def of(self, where: str) -> tuple[Located, ...]:
        """Return what is wrong with the file behind a page; behind a page of no entry stands ``kb.yaml``."""
        path = self.files.get(where, "kb.yaml")
        return tuple(problem for problem in self.problems if problem.path == path)

    def search_index(self) -> bytes:
        """Return the search index; made when somebody asks, since most changes need none."""
        try:
            return index_script(self.compiled)
        finally:
            self.compiled.store.close()


@dataclass
class Preview:
    """Makes each state from the last: what cannot be shown now is shown as it was.

    Args:
        root: The knowledge base; nothing is written there but what its author's editor is told.
        open_store: Opens the store, once for every state.
    """

    root: Path
    open_store: Callable[[], Store]
    _pages: dict[str, Leaf] = field(default_factory=dict)
    _cover: Cover | None = None

    def show(self, progress: Progress) -> Shown:
        """Compile the folder as it is now.

        Raises:
            OSError: It cannot be read.
            WebError: The pages cannot be put into their frames.
        """
        with self.open_store() as store:
            compiled = compile_folder(self.root, progress, store=store)
            renew(self.root, compiled.schemas, compiled.base.entries)
            progress("making pages")
            files = {address(Ref(each.kind, each.id)): each.path for each in compiled.documents if each.kind}
            stale: set[str] = set()

            def before(where: str, _: Exception) -> Leaf:
                stale.add(where)
                return self._pages.get(where) or _no_page(where)

            def broken() -> Iterator[Leaf]:
                for document in compiled.documents:
                    if document.kind and Ref(document.kind, document.id) not in compiled.base.entries:
                        yield before(address(Ref(document.kind, document.id)), ValueError(document.path))

            settled = any(each.kind is None and each.sound for each in compiled.documents)
            if settled or self._cover is None:
                self._cover = replace(cover_of(compiled), preview=True)
            site = preview_site(compiled, self._cover, broken, before)
            problems = tuple(locate(compiled.problems, compiled.documents))
        self._pages = {where: leaf for where, leaf in site.pages.items() if not leaf.target}
        return Shown(compiled, site, problems, files, frozenset(stale))


def _no_page(where: str) -> Leaf:
    name = escape(where.rpartition("/")[2].removesuffix(".html"))
    body = f'<article class="kb-page"><h1>{name}</h1><p>There is no page of this file yet.</p></article>'
    return Leaf(where, name, body, Found((), ()))
