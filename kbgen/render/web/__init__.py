"""The web edition."""

from __future__ import annotations

from kbgen.render.web.build import Cover, Progress, WebFiles, WebResult, build_web, write_web
from kbgen.render.web.error import WebError

__all__ = ["Cover", "Progress", "WebError", "WebFiles", "WebResult", "build_web", "write_web"]
