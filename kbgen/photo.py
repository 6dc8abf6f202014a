"""Pictures as bytes: what they give away about a customer, and how they are cleaned.

A phone writes position, serial number and time into a photo. None of that may be published; the
check names what it found without repeating it, and whatever is published is written anew.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass

from PIL import ExifTags, Image, ImageOps

_WIDEST = 1600
_QUALITY = 82
_MOST_PIXELS = 60_000_000
_PHONE = re.compile(rb"ftyp(?:hei[cxms]|hev[cxms]|mif1|msf1|avi[fs])")
_SERIALS = (ExifTags.Base.BodySerialNumber, ExifTags.Base.LensSerialNumber, ExifTags.Base.CameraOwnerName)
_TIMES = (ExifTags.Base.DateTimeOriginal, ExifTags.Base.DateTimeDigitized, ExifTags.Base.DateTime)


class PhotoError(ValueError):
    """The bytes are no picture that can be shown; the message says why.

    Attributes:
        of_phone: Whether they are a picture in the format that phones save, which few browsers show.
    """

    def __init__(self, message: str, *, of_phone: bool = False) -> None:
        super().__init__(message)
        self.of_phone = of_phone


@dataclass(frozen=True, slots=True)
class Photo:
    """What is known of a picture.

    Attributes:
        width: In pixels, as shown upright.
        height: In pixels, as shown upright.
        gives_away: Kinds of private data in it: ``position``, ``serial number``, ``time``.
    """

    width: int
    height: int
    gives_away: tuple[str, ...]


def look(content: bytes) -> Photo:
    """Look at a raster picture.

    Raises:
        PhotoError: It cannot be read.
    """
    image = _open(content)
    exif = image.getexif()
    inner = exif.get_ifd(ExifTags.IFD.Exif)
    found = []
    if exif.get_ifd(ExifTags.IFD.GPSInfo):
        found.append("position")
    if any(tag in exif or tag in inner for tag in _SERIALS):
        found.append("serial number")
    if any(tag in exif or tag in inner for tag in _TIMES):
        found.append("time")
    upright = ImageOps.exif_transpose(image) or image
    return Photo(upright.width, upright.height, tuple(found))


def cleaned(content: bytes) -> bytes:
    """Write a raster picture anew: upright, no wider or higher than 1600 pixels, no metadata.

    The same bytes for the same picture. PNG stays PNG, JPEG stays JPEG, WebP stays WebP.

    Raises:
        PhotoError: It cannot be read.
    """
    image = _open(content)
    form = image.format or "PNG"
    upright = ImageOps.exif_transpose(image) or image
    if upright.mode == "P":
        upright = upright.convert("RGBA" if "transparency" in upright.info else "RGB")
    if form == "JPEG" and upright.mode not in ("RGB", "L"):
        upright = upright.convert("RGB")
    upright.thumbnail((_WIDEST, _WIDEST), Image.Resampling.LANCZOS)
    # A fresh picture of the same pixels carries nothing over: no profile, no thumbnail, no comment.
    bare = Image.new(upright.mode, upright.size)
    bare.paste(upright)
    out = io.BytesIO()
    if form == "PNG":
        bare.save(out, "PNG", optimize=True)
    else:
        bare.save(out, form, quality=_QUALITY)
    return out.getvalue()


def _open(content: bytes) -> Image.Image:
    try:
        image = Image.open(io.BytesIO(content), formats=("PNG", "JPEG", "WEBP"))
        small_enough = image.width * image.height <= _MOST_PIXELS
        if small_enough:
            image.load()
    except Exception as fault:
        # A picture library meets broken bytes in many ways; each is the same news to the author.
        if _PHONE.match(content[4:12]):
            raise PhotoError("it is a HEIC or AVIF picture, whatever its name says", of_phone=True) from fault
        raise PhotoError("it is no PNG, JPEG or WebP picture, or it is damaged") from fault
    if not small_enough:
        raise PhotoError(f"it has {image.width} × {image.height} pixels, more than can be shown")
    return image
