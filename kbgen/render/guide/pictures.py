"""Photos made ready for paper: upright, without metadata, on white, no finer than print can show."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from math import ceil

from PIL import Image, ImageOps, UnidentifiedImageError

TOO_FINE = 350
FINE = 300
COARSE = 150
MM_PER_INCH = 25.4
_OVERLAP = 70.0
"""What two parts of a cut drawing share, in its own units: more than a symbol with its label."""
_LENGTH = r"\s*([0-9.]+)\s*(?:px)?\s*"


@dataclass(frozen=True, slots=True)
class Print:
    """A picture ready to be placed.

    Attributes:
        content: The file's bytes.
        suffix: ``png``, ``jpg`` or ``svg``.
        width: Width on paper in millimetres.
        dpi: Dots per inch at that width; 0 for drawings made of lines.
    """

    content: bytes
    suffix: str
    width: float
    dpi: int


def prepare(content: bytes, room: tuple[float, float]) -> Print:
    """Fit a picture into ``room`` (width and height in millimetres).

    Raises:
        ValueError: The bytes are no picture that can be read; the message says why.
    """
    if b"<svg" in content[:4096]:
        return _drawing(content, room)
    try:
        with Image.open(io.BytesIO(content)) as opened:
            lossy = opened.format in {"JPEG", "WEBP"}
            picture = _on_white(ImageOps.exif_transpose(opened))
    except (UnidentifiedImageError, OSError, Image.DecompressionBombError) as fault:
        raise ValueError("it is not a picture that can be read; use JPEG, PNG, WebP or SVG") from fault
    wide, high = picture.size
    width = placed_width(wide / high, room)
    dpi = wide / (width / MM_PER_INCH)
    if dpi > TOO_FINE:
        scale = FINE / dpi
        picture = picture.resize(
            (max(1, round(wide * scale)), max(1, round(high * scale))), Image.Resampling.LANCZOS
        )
        dpi = FINE
    out = io.BytesIO()
    if lossy:
        picture.save(out, "JPEG", quality=85, optimize=True)
    else:
        picture.save(out, "PNG", optimize=True)
    return Print(out.getvalue(), "jpg" if lossy else "png", round(width, 2), round(dpi))


def placed_width(aspect: float, room: tuple[float, float]) -> float:
    """Width on paper in millimetres of something ``aspect`` times as wide as high."""
    width, height = room
    return min(width, height * aspect)


def svg_aspect(svg: str) -> float:
    """Width over height of an SVG, from its view box, else its lengths, else 1."""
    head = svg[svg.find("<svg") :].partition(">")[0]
    box = re.search(r"""viewBox\s*=\s*["']\s*[-0-9.]+[\s,]+[-0-9.]+[\s,]+([0-9.]+)[\s,]+([0-9.]+)""", head)
    wide = re.search(rf"""\bwidth\s*=\s*["']{_LENGTH}["']""", head)
    high = re.search(rf"""\bheight\s*=\s*["']{_LENGTH}["']""", head)
    sizes = box.groups() if box else (wide.group(1), high.group(1)) if wide and high else ("1", "1")
    across, down = (float(size) for size in sizes)
    return across / down if across and down else 1.0


def svg_parts(svg: str, room: tuple[float, float]) -> list[str]:
    """Cut a tall SVG into windows that fill the room's width.

    Neighbours overlap, so that whatever stands at a cut is whole in one of them.

    Args:
        svg: An SVG whose view box begins at ``0 0``, as our own drawings do.
        room: Width and height in millimetres.
    """
    box = re.search(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)" width="[0-9.]+" height="[0-9.]+"', svg)
    if box is None:
        return [svg]
    wide, high = float(box[1]), float(box[2])
    window = wide * room[1] / room[0]
    if high <= window:
        return [svg]
    count = 1 + ceil((high - window) / (window - _OVERLAP))
    step = (high - window) / (count - 1)
    return [
        svg.replace(
            box[0], f'viewBox="0 {k * step:g} {wide:g} {window:g}" width="{wide:g}" height="{window:g}"'
        )
        for k in range(count)
    ]


def _drawing(content: bytes, room: tuple[float, float]) -> Print:
    try:
        svg = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise ValueError("the SVG is not UTF-8") from fault
    return Print(svg.encode(), "svg", round(placed_width(svg_aspect(svg), room), 2), 0)


def _on_white(picture: Image.Image) -> Image.Image:
    """Flatten transparency and keep colour or grey only; what is not pixels is left behind."""
    if picture.has_transparency_data:
        picture = picture.convert("RGBA")
        sheet = Image.new("RGBA", picture.size, "white")
        sheet.alpha_composite(picture)
        picture = sheet
    flat = picture.convert("L" if picture.mode in {"1", "L"} else "RGB")
    flat.info.clear()
    return flat
