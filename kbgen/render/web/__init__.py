"""The web edition."""

from __future__ import annotations

from kbgen.render.web.build import (
    Cover,
    Progress,
    WebFiles,
    WebResult,
    WebSite,
    build_web,
    make_site,
    write_web,
)
from kbgen.render.web.error import WebError
from kbgen.render.web.filelist import FileList, grouped, hold, read_list

__all__ = [
    "Cover",
    "FileList",
    "Progress",
    "WebError",
    "WebFiles",
    "WebResult",
    "WebSite",
    "build_web",
    "grouped",
    "hold",
    "make_site",
    "read_list",
    "write_web",
]
