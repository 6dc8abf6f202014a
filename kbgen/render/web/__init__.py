"""The web edition."""

from __future__ import annotations

from kbgen.render.web.build import Progress, WebFiles, WebResult, build_web
from kbgen.render.web.error import WebError

__all__ = ["Progress", "WebError", "WebFiles", "WebResult", "build_web"]
