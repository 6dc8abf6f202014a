"""Puts a finished folder in the place of the last one, so that nobody ever sees half of one.

Beside ``site`` there are, for moments only, ``.site.new`` (being built) and ``.site.old`` (about to go).
A build that fails or is killed leaves ``site`` as it was, or, between the two renames, ``.site.old``,
which the next build puts back first.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kbgen.render.web.error import WebError

MARKER = "kbgen-web-edition.txt"
_MARKER_TEXT = (
    "kbgen wrote this folder and replaces it whole with the next build. Keep nothing of yours in it.\n"
)


@contextmanager
def replacing(out: Path) -> Iterator[Path]:
    """Give an empty folder to fill; when the block ends well, it takes the place of ``out``.

    Raises:
        WebError: ``out`` is a file, or a folder with things in it that no build of ours put there.
    """
    out = out.absolute()
    new, old = out.with_name(f".{out.name}.new"), out.with_name(f".{out.name}.old")
    for place in (new, old, out):
        _refuse_foreign(place)
    _recover(out, old)
    shutil.rmtree(new, ignore_errors=True)
    new.mkdir(parents=True)
    try:
        # The mark comes first: what a killed build leaves is known as ours.
        (new / MARKER).write_text(_MARKER_TEXT, encoding="utf-8", newline="\n")
        yield new
        if out.exists():
            out.rename(old)
        new.rename(out)
    except BaseException:
        _recover(out, old)
        raise
    finally:
        shutil.rmtree(new, ignore_errors=True)
    shutil.rmtree(old, ignore_errors=True)


def _recover(out: Path, old: Path) -> None:
    if not old.exists():
        return
    if out.exists():
        shutil.rmtree(old)
    else:
        old.rename(out)


def _refuse_foreign(out: Path) -> None:
    if out.is_symlink() or (out.exists() and not out.is_dir()):
        raise WebError(f"{out.name} is not a folder. Name another place for the web edition.")
    if out.exists() and any(out.iterdir()) and not (out / MARKER).is_file():
        raise WebError(
            f"{out.name} holds files that no build put there, and a build replaces the whole folder. "
            "Name an empty or new folder, or empty this one yourself."
        )
