"""Checks every internal link and anchor of a finished folder; MkDocs does not see links in raw HTML.

The templates put every attribute in double quotes and escape ``"``, ``<`` and ``>`` in text, so that
an attribute can be told from an author's words without parsing the page.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache
from html import unescape
from posixpath import dirname, join, normpath
from urllib.parse import unquote

_ATTRIBUTE = re.compile(r'\s(id|href|src)="([^"]*)"')
_ANCHOR = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*\Z")
_ELSEWHERE = re.compile(r"[a-zA-Z][a-zA-Z0-9+.-]*:|//|/")


@dataclass(frozen=True, slots=True)
class BadLink:
    """A link or anchor that does not hold.

    Attributes:
        page: Address of the page it stands on.
        target: What the page says.
        why: What is wrong with it, in a few words.
    """

    page: str
    target: str
    why: str

    def __str__(self) -> str:
        return f"{self.page}: {self.target}: {self.why}"


@dataclass(frozen=True, slots=True)
class Found:
    """The anchors of a piece of a page, repeats included, and what it leads to, each once."""

    anchors: tuple[str, ...]
    targets: tuple[str, ...]

    def __add__(self, other: Found) -> Found:
        return Found(self.anchors + other.anchors, tuple(dict.fromkeys(self.targets + other.targets)))


def found_in(html: str) -> Found:
    """Return the anchors and links of a piece of HTML."""
    pairs = _ATTRIBUTE.findall(html)
    return Found(
        tuple(value for name, value in pairs if name == "id"),
        tuple(dict.fromkeys(value for name, value in pairs if name != "id")),
    )


def check_links(pages: Mapping[str, Found], files: AbstractSet[str]) -> list[BadLink]:
    """Return every link, picture, script and anchor that does not hold.

    Args:
        pages: What was found on each page, by address.
        files: Addresses of all files of the folder, pages included.
    """
    known = {page: frozenset(found.anchors) for page, found in pages.items()}
    bad: list[BadLink] = []
    for page, found in pages.items():
        bad += _bad_anchors(page, found.anchors)
        for target in found.targets:
            why = _fault(page, unescape(target), known, files)
            if why:
                bad.append(BadLink(page, target, why))
    return bad


def _bad_anchors(page: str, ids: Iterable[str]) -> Iterator[BadLink]:
    for anchor, times in Counter(ids).items():
        if times > 1:
            yield BadLink(page, f"#{anchor}", "this anchor stands on the page more than once")
        if not _ANCHOR.match(anchor):
            yield BadLink(page, f"#{anchor}", "an anchor is letters, digits, dots and hyphens")


def _fault(page: str, target: str, known: Mapping[str, frozenset[str]], files: AbstractSet[str]) -> str:
    if _ELSEWHERE.match(target):
        return "leads out of the site"
    path, _, anchor = target.partition("#")
    goal = _goal(dirname(page), path) if path else page
    if goal not in files:
        return "no such file"
    if anchor and anchor not in known.get(goal, frozenset()):
        return "no such anchor on that page"
    return ""


@cache
def _goal(folder: str, path: str) -> str:
    return normpath(join(folder, unquote(path)))
