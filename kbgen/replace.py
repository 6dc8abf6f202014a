"""Files are replaced in one step: a reader finds the old one or the new one, never half of it."""

from __future__ import annotations

import os
from pathlib import Path


def replace_file(out: Path, content: bytes) -> None:
    """Write a file beside its place and move it there; its folder is created."""
    out.parent.mkdir(parents=True, exist_ok=True)
    part = out.with_name(f".{out.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(out)
    finally:
        part.unlink(missing_ok=True)
