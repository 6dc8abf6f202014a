"""Reading: from the bytes of a folder to plain data with positions and problems.

``load`` is the only door. A fault of one file never hides another file, and several faults of one
file come out in one run.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from kbgen.load.decode import MOST_BYTES, decode
from kbgen.load.discover import UNREADABLE_FILE, File, discover
from kbgen.load.document import Document, KeptDocument, Loaded
from kbgen.load.fault import FILES, Fault
from kbgen.load.source import Source, Span
from kbgen.position import Exact
from kbgen.problems import Problem, Related, first_of

if TYPE_CHECKING:
    from kbgen.load.tree import Tree

__all__ = ["Document", "File", "KeptDocument", "Known", "Loaded", "Source", "Span", "load", "read"]


Known = Callable[[File, bytes, bool], Document | None]
"""Gives the document of a file that was read and checked before, by its bytes and whether its name is in order."""


def load(root: Path, known: Known = lambda _file, _data, _named: None) -> Loaded:
    """Read the knowledge base in the folder ``root``."""
    found = discover(root)
    problems = list(found.problems)
    misnamed = {problem.place.path for problem in problems}
    documents = []
    for file in found.files:
        document, faults = _read_file(root, file, known, named=file.path not in misnamed)
        documents.append(document)
        problems += faults
    return Loaded(root, tuple(documents), tuple(found.photos), tuple(problems))


NOT_UTF_8 = FILES.error(
    "not-utf-8",
    "Signs like ° and µ turn into others when the encoding is guessed.",
    "(saved as Windows-1252)",
    "(saved as UTF-8)",
)


def read(file: File, data: bytes, *, named: bool = True) -> tuple[Document, list[Problem]]:
    """Read the bytes of one file.

    Args:
        file: Its path, kind and id.
        data: The bytes as they lie on disk.
        named: Whether its name is in order.
    """
    # Imported late: a file that was read before is not taken apart again.
    from kbgen.load.scan import scan
    from kbgen.load.tree import Tree

    decoded = decode(data)
    source = Source(decoded.text)
    if decoded.fault:
        message, hint = decoded.fault
        wrong = NOT_UTF_8.at(Exact(file.path, source.position(decoded.offset)), message, hint)
        return Document(file.path, file.kind, file.id, {}, source, sound=False), [wrong]
    scanned = scan(decoded.text)
    tree = Tree(scanned.mended)
    source = Source(decoded.text, tree.spans)
    explained = {source.position(fault.offset).line for fault in scanned.faults}
    faults = scanned.faults + [
        fault for fault in tree.faults if source.position(fault.offset).line not in explained
    ]
    content = tree.data
    if not isinstance(content, dict) or not content:
        content = {}
        if not faults:
            faults = [_no_fields(tree)]
    faults.sort(key=lambda fault: fault.offset)
    problems = first_of([_problem(file.path, fault, source) for fault in faults])
    return Document(file.path, file.kind, file.id, content, source, named and not problems), problems


FILE_TOO_LARGE = FILES.error(
    "file-too-large",
    "No entry is this long; it is most likely something pasted in by mistake.",
    "(one file with everything)",
    "(one file per entry)",
)
INTERNAL_ERROR = FILES.error(
    "internal-error",
    "A fault of the program must name the file and must not hide the other files.",
    "(any file)",
    "(report it)",
)


def _read_file(root: Path, file: File, known: Known, *, named: bool) -> tuple[Document, list[Problem]]:
    """Read one file; whatever happens becomes a problem that names it."""
    try:
        path = root / file.path
        size = path.stat().st_size
        if size > MOST_BYTES:
            message = f"the file is larger than {MOST_BYTES // 1024} KB"
            wrong = FILE_TOO_LARGE.at(Exact(file.path), message, "Split it into several entries.")
        else:
            data = path.read_bytes()
            before = known(file, data, named)
            return (before, []) if before is not None else read(file, data, named=named)
    except OSError as fault:
        message = f"the file cannot be read: {fault.strerror or 'the system refused'}"
        wrong = UNREADABLE_FILE.at(Exact(file.path), message, "Check its permissions.")
    except Exception as fault:
        # A fault of ours must not hide the other files; the sentence says whose fault it is.
        message = f"reading this file failed inside kbgen ({type(fault).__name__})"
        wrong = INTERNAL_ERROR.at(Exact(file.path), message, "Report it together with the file.")
    return Document(file.path, file.kind, file.id, {}, Source(""), sound=False), [wrong]


EMPTY_FILE = FILES.error(
    "empty-file", "An empty file makes an empty page.", "(nothing)", "title: First low-water cutoff"
)
NOT_FIELDS = FILES.error(
    "not-fields", "An entry is made of fields.", "- First low-water cutoff", "title: First low-water cutoff"
)


def _no_fields(tree: Tree) -> Fault:
    if tree.data is None or tree.data == {}:
        return Fault(EMPTY_FILE, 0, "the file has no fields", "Give at least its title, or delete the file.")
    return Fault(
        NOT_FIELDS,
        tree.spans[()].start,
        "an entry is made of fields, each a name, a colon and a value",
        "Start with `title:`.",
    )


def _problem(path: str, fault: Fault, source: Source) -> Problem:
    related: tuple[Related, ...] = ()
    message = fault.message
    if fault.earlier is not None:
        earlier = source.position(fault.earlier)
        message = message.format(line=earlier.line)
        related = (Related(Exact(path, earlier), fault.earlier_message),)
    return fault.rule.at(Exact(path, source.position(fault.offset)), message, fault.hint, *related)
