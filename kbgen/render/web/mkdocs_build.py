"""The one place that knows MkDocs and its theme: from a page tree to HTML files."""

from __future__ import annotations

import json
import logging
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from kbgen.render.web.error import WebError
from kbgen.resources import folder

_NOTICE_SWITCH = "NO_MKDOCS_2_WARNING"


def mkdocs_build(pages: Path, site: Path, configuration: Mapping[str, Any]) -> None:
    """Build a tree of Markdown pages with MkDocs and its Material theme.

    Args:
        pages: The page tree; the configuration is written beside it.
        site: Where the HTML files go.
        configuration: The site's name, escaped for HTML, and under ``extra`` the values of the templates.

    Raises:
        WebError: MkDocs stopped or complained; a page tree of ours gives it nothing to complain about.
    """
    base = folder("site_overrides")
    configuration = {
        "INHERIT": str(base / "mkdocs.yml"),
        "docs_dir": str(pages),
        "site_dir": str(site),
        "theme": {"custom_dir": str(base), "language": _language(configuration["extra"]["language"])},
        **configuration,
    }
    file = pages.with_name("mkdocs.yml")
    # JSON is YAML; astral characters must not become pairs of escapes, which YAML would not join.
    file.write_text(json.dumps(configuration, ensure_ascii=False, indent=1), encoding="utf-8")
    with _complaints() as complaints:
        try:
            _run(file)
        except Exception as fault:
            raise WebError(
                "\n".join(["MkDocs could not build the pages.", *complaints, str(fault)])
            ) from fault
    if complaints:
        raise WebError("\n".join(["MkDocs complained about the pages.", *complaints]))


def _language(tag: str) -> str:
    """Return the theme's words for a language tag; English where it has none."""
    theme = find_spec("material")
    places = theme.submodule_search_locations if theme is not None else None
    known = {
        file.stem
        for place in places or ()
        for file in Path(place).glob("templates/partials/languages/*.html")
    }
    return next((name for name in (tag, tag.partition("-")[0]) if name in known), "en")


def _run(file: Path) -> None:
    before = os.environ.get(_NOTICE_SWITCH)
    os.environ[_NOTICE_SWITCH] = "1"
    try:
        # Late: importing MkDocs takes longer than most commands, and they do not need it.
        from mkdocs.commands.build import build
        from mkdocs.config import load_config

        build(load_config(config_file=str(file)))
    finally:
        if before is None:
            del os.environ[_NOTICE_SWITCH]
        else:
            os.environ[_NOTICE_SWITCH] = before


class _Collector(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(record.getMessage())


@contextmanager
def _complaints() -> Iterator[list[str]]:
    """Collect what MkDocs would have printed as warnings and errors."""
    logger = logging.getLogger("mkdocs")
    collector, level, propagates = _Collector(), logger.level, logger.propagate
    logger.addHandler(collector)
    logger.setLevel(logging.WARNING)
    logger.propagate = False
    try:
        yield collector.lines
    finally:
        logger.removeHandler(collector)
        logger.setLevel(level)
        logger.propagate = propagates
