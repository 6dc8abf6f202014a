"""The one place that knows the minifier: scripts and styles as they are shipped, with short names and no comments.

It exists for the usual machines only (`pyproject.toml` names them). On any other a script is shipped as it is
written: more bytes that do the same.
"""

from __future__ import annotations

try:
    import minify
except ImportError:
    minify = None


def shipped(script: str) -> str:
    r"""Return a script that does the same in fewer bytes.

    >>> shipped("// Twice.\nconst twice = (number) =>\n  2 * number;") if minify else "const twice=e=>2*e"
    'const twice=e=>2*e'
    """
    return str(minify.string("application/javascript", script)) if minify else script


def shipped_style(style: str) -> str:
    r"""Return a style that looks the same in fewer bytes.

    >>> shipped_style("/* Red. */\np { color: red; }") if minify else "p{color:red}"
    'p{color:red}'
    """
    return str(minify.string("text/css", style)) if minify else style
