"""The only door to what draws codes to scan."""

from __future__ import annotations

import io

import segno


def svg_code(text: str) -> str:
    """Return a text as a code to scan, black on white, as SVG; a quarter of it may be lost."""
    out = io.BytesIO()
    segno.make(text, error="q", micro=False).save(out, kind="svg", border=2, xmldecl=False, light="white")
    return out.getvalue().decode("utf-8")
