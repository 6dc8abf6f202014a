"""Problems as annotations on a pull request."""

from __future__ import annotations

from collections.abc import Sequence

from kbgen.report.locate import Located


def as_github(found: Sequence[Located], prefix: str = "") -> str:
    """Write one workflow command per problem.

    Args:
        found: Located problems.
        prefix: What leads from the current folder to the knowledge base, e.g. ``kb_source/``.
    """
    return "".join(
        f"::{problem.severity} file={_property(prefix + problem.path)},line={problem.line},col={problem.column},"
        f"title={_property(problem.rule)}::{_data(f'{problem.message}. {problem.hint}')}\n"
        for problem in found
    )


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")
