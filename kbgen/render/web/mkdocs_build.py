"""The one place that knows MkDocs: from a page tree to HTML files."""

from __future__ import annotations

import json
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from kbgen.render.web.error import WebError

_NOTICE_SWITCH = "NO_MKDOCS_2_WARNING"


def mkdocs_build(base: Path, pages: Path, site: Path, name: str, extra: dict[str, Any]) -> None:
    """Build a tree of Markdown pages with MkDocs and its Material theme.

    Args:
        base: Folder with the base configuration ``mkdocs.yml`` and the theme's overrides.
        pages: The page tree; the configuration is written beside it.
        site: Where the HTML files go.
        name: The site's name, escaped for HTML.
        extra: Values for the overrides' templates.

    Raises:
        WebError: MkDocs stopped or complained; a page tree of ours gives it nothing to complain about.
    """
    configuration = {
        "INHERIT": str(base / "mkdocs.yml"),
        "site_name": name,
        "docs_dir": str(pages),
        "site_dir": str(site),
        "theme": {"custom_dir": str(base)},
        "extra": extra,
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
