"""The one place that knows rjsmin: scripts as they are shipped, without comments and indentation.

Nothing is renamed, so that an error on a tablet still names what stands in the source.
"""

from __future__ import annotations

from pathlib import Path

from rjsmin import jsmin


def shipped(script: str) -> str:
    r"""Return a script that does the same in fewer bytes.

    >>> shipped("// Twice.\nconst twice = (n) =>\n  2 * n;")
    'const twice=(n)=>2*n;'
    """
    return str(jsmin(script))


def ship(folder: Path) -> None:
    """Rewrite every script of a folder as it is shipped."""
    for file in sorted(folder.rglob("*.js")):
        file.write_text(shipped(file.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")
