"""Pictures that cannot be shown, or that tell where a customer lives."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from kbgen.photo import PhotoError, look
from kbgen.position import Exact
from kbgen.problems import Problem, error

_ACTIVE = re.compile(
    rb"<script|\son\w+\s*=|javascript:|<foreignObject|<!ENTITY|href\s*=\s*[\"'](?!#|data:image/)",
    re.IGNORECASE,
)


def photo_problems(root: Path, photos: Sequence[str]) -> list[Problem]:
    """Report pictures that must not or cannot be published.

    Args:
        root: The knowledge base.
        photos: Paths of its pictures, relative to it.
    """
    problems = []
    for path in photos:
        try:
            content = (root / path).read_bytes()
        except OSError as fault:
            message = f"the picture cannot be read: {fault.strerror or 'the system refused'}"
            problems.append(error("photo-unreadable", Exact(path), message, "Check its permissions."))
            continue
        problems += _drawing(path, content) if path.endswith(".svg") else _photo(path, content)
    return problems


def _drawing(path: str, content: bytes) -> list[Problem]:
    if _ACTIVE.search(content) is None:
        return []
    message = "the drawing holds a script or leads to something outside it"
    return [error("photo-active", Exact(path), message, "Save it as a plain SVG without scripts and links.")]


def _photo(path: str, content: bytes) -> list[Problem]:
    try:
        found = look(content)
    except PhotoError as fault:
        return [error("photo-unreadable", Exact(path), str(fault), "Save it anew as PNG, JPEG or WebP.")]
    if not found.gives_away:
        return []
    # What was found is named and never repeated: the log is public.
    *most, last = found.gives_away
    message = f"the picture tells {', '.join(most)} and {last}" if most else f"the picture tells {last}"
    hint = f"Write it anew without them: kbgen new photo {path}"
    return [error("photo-private-data", Exact(path), message, hint)]
