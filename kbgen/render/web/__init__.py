"""The web edition."""

from __future__ import annotations

from kbgen.render.web.build import Progress, WebFiles, WebResult, build_web
from kbgen.render.web.error import WebError
from kbgen.render.web.filelist import FileList, grouped, hold, read_list

__all__ = [
    "FileList",
    "Progress",
    "WebError",
    "WebFiles",
    "WebResult",
    "build_web",
    "grouped",
    "hold",
    "read_list",
]
