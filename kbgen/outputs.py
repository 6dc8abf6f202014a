"""From one compiled knowledge base to each of its outputs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from kbgen.drawing import redrawn
from kbgen.photo import cleaned
from kbgen.pipeline import Compiled, Progress
from kbgen.position import Spot
from kbgen.problems import Problem, Severity
from kbgen.ref import Ref
from kbgen.render.export import export_json
from kbgen.render.guide import CoarsePicture, GuideProblem, MissingSign, UnusablePicture, build_guide, printed
from kbgen.render.searchable import displays, emergency_words, plants, search_documents, synonyms
from kbgen.render.web import WebFiles, WebResult, build_web
from kbgen.replace import replace_file
from kbgen.search import SearchIndex, build_index, export

SETTINGS = "kb.yaml"


@dataclass(frozen=True, slots=True)
class MadeGuide:
    """What became of a pocket guide; it was written unless a problem is an error or it has no entry."""

    entries: int
    pages: int
    problems: tuple[Problem, ...]


def make_index(compiled: Compiled) -> SearchIndex:
    """Build the search index."""
    base = compiled.base
    return build_index(
        tuple(search_documents(base, compiled.schemas)),
        synonyms(base),
        base.shop.language,
        emergency_words(base),
        displays(base),
        plants(base),
    )


def build_edition(compiled: Compiled, out: Path, progress: Progress) -> WebResult:
    """Write the web edition with its search index and photos into ``out``.

    Raises:
        WebError: Nothing was replaced; the message says why.
    """
    progress("indexing for the search")
    files = {"assets/search-index.js": export(make_index(compiled)).encode()}
    files |= {f"photos/{name}": content for name, content in _photos(compiled).items()}
    return build_web(compiled.book(), WebFiles(files), out, progress)


def make_guide(
    compiled: Compiled, out: Path, paper: str | None = None, equipment: str | None = None
) -> MadeGuide:
    """Typeset the pocket guide into the file ``out``.

    Args:
        paper: A paper of the guide; the shop's own when ``None``.
        equipment: Id of a family of plant: only its entries, and those of no plant.
    """
    book = compiled.book()
    if equipment is not None:
        pages = tuple(page for page in book.pages if not page.equipment or equipment in page.equipment)
        book = replace(book, pages=pages)
    if not printed(book):
        return MadeGuide(0, 0, ())
    result = build_guide(book, out, paper, _photos(compiled))
    return MadeGuide(
        result.entries, result.pages, tuple(_problem(compiled, each) for each in result.problems)
    )


def _problem(compiled: Compiled, found: GuideProblem) -> Problem:
    match found:
        case MissingSign():
            return Problem(
                "sign-not-printable",
                Severity.ERROR,
                _spot(compiled, found.where, found.sign),
                f"no font of the guide has the sign `{found.sign}` ({found.code_point})",
                "Write it in words, or use a sign of the fonts.",
            )
        case CoarsePicture():
            return Problem(
                "picture-coarse",
                Severity.WARNING,
                _spot(compiled, found.where, found.file),
                f"`{found.file}` is printed with {found.dpi} dots per inch",
                "Take a larger picture; 150 dots per inch are the least for print.",
            )
        case UnusablePicture():
            return Problem(
                "picture-unusable",
                Severity.WARNING,
                _spot(compiled, found.where, found.file),
                f"`{found.file}` cannot be printed: {found.reason}",
                "Save it anew as PNG or JPEG; the guide shows its words instead.",
            )


def _spot(compiled: Compiled, where: Ref | str, text: str) -> Spot:
    """Find where an author typed a piece of text; the file's beginning when it is not theirs."""
    entry = compiled.base.entries.get(where) if isinstance(where, Ref) else None
    kind, path = (entry.ref.kind, entry.path) if entry else (None, SETTINGS)
    data = entry.data if entry else next((d.data for d in compiled.documents if d.path == SETTINGS), {})
    for route, _, written in compiled.schemas.texts(kind, data):
        if text in written:
            return Spot(path, route, find=text)
    return Spot(path)


def write_export(compiled: Compiled, out: Path) -> None:
    """Write the whole knowledge base as JSON."""
    replace_file(out, export_json(compiled.base, compiled.edition).encode())


def _photos(compiled: Compiled) -> dict[str, bytes]:
    """Return every picture as it may be published: written anew, without what nobody sees."""
    folder = compiled.root / "photos"
    contents = {name: (folder / name).read_bytes() for name in sorted(compiled.base.photos)}
    return {
        name: redrawn(content).content if name.endswith(".svg") else cleaned(content)
        for name, content in contents.items()
    }
