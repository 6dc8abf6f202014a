"""From bytes to text: UTF-8 and nothing else, whatever the operating system prefers."""

from __future__ import annotations

import codecs
import re
from typing import NamedTuple

MOST_BYTES = 256 * 1024
_BLANKS_AT_LINE_END = re.compile(r"[ \t]+$", re.MULTILINE)


class Decoded(NamedTuple):
    """Text of a file; a fault where the bytes were not UTF-8 (the text is then only an excerpt).

    Attributes:
        text: Text without byte order mark, with LF line ends, without blanks at line ends, ending in
            a line end. Lines and columns are those of the file.
        fault: What is wrong, what to do; ``None`` when all is well.
        offset: Where the fault stands, in code points.
    """

    text: str
    fault: tuple[str, str] | None = None
    offset: int = 0


def decode(data: bytes) -> Decoded:
    """Decode the bytes of a file."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)) or b"\0\0" in (data[:4:2], data[1:4:2]):
        return Decoded("", ("the file is saved as UTF-16", "Save the file as UTF-8."))
    data = data.removeprefix(codecs.BOM_UTF8)
    try:
        return Decoded(_tidy(data.decode("utf-8")))
    except UnicodeDecodeError as stop:
        before = _tidy(data[: stop.start].decode("utf-8"), whole=False)
        byte = data[stop.start]
        sign = bytes([byte]).decode("cp1252", errors="replace")
        looks = f"; it looks like `{sign}` in Windows-1252" if sign.isprintable() and sign != "\ufffd" else ""
        text = _tidy(data.decode("utf-8", errors="replace"))
        return Decoded(
            text, (f"byte 0x{byte:02X} is not UTF-8{looks}", "Save the file as UTF-8."), len(before)
        )


def _tidy(text: str, *, whole: bool = True) -> str:
    if "\r\n" in text:
        text = text.replace("\r\n", "\n")
    # Blanks at line ends come and go with editors; they must not change a page.
    if " \n" in text or "\t\n" in text or (whole and text.endswith((" ", "\t"))):
        text = _BLANKS_AT_LINE_END.sub("", text) if whole else re.sub(r"[ \t]+\n", "\n", text)
    if whole and not text.endswith("\n"):
        text += "\n"
    return text
