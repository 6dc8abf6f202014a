"""Characters that no entry may hold, and the marks of an unfinished merge."""

from __future__ import annotations

import re
import unicodedata

from kbgen.load.fault import FILES, Fault

# Control characters, line separators that YAML takes for line ends, a byte order mark in the middle,
# signs that are no characters or belong to somebody's own font, the marks that make text run backwards,
# and marks without width that come along from web pages and keep a word from being found. What chooses
# the look of a symbol, or joins symbols to one, may stand behind a symbol.
_SYMBOL = "\u00a9\u00ae\u203c\u2049\u2122\u2139\u2190-\u2bff\u3030\u303d\U0001f000-\U0001faff\ufe0f"
FORBIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u200c\u200e\u200f"
    "\u2028\u2029\u202a-\u202e\u2060-\u206f\u2800\u3164\ud800-\uf8ff\ufdd0-\ufdef\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff"
    "\U0001d173-\U0001d17a\U0001fffe\U0001ffff\U0002fffe\U0002ffff\U000e0000-\U0010ffff]"
    f"|(?<![{_SYMBOL}])\u200d|(?<![{_SYMBOL}#*0-9])[\ufe00-\ufe0f]"
)
_CONFLICT = re.compile(r"^[ \t]*(?:- )?(<{7}|\|{7}|={7}|>{7})(?: .*)?$", re.MULTILINE)
_NAMES = {
    "\0": "a NUL character",
    "\r": "a lone carriage return",
    "\x1b": "an escape character",
    "\x85": "a next-line character (NEL)",
    "\xad": "an invisible hyphen (U+00AD)",
    "\u200b": "an invisible blank (U+200B)",
    "\u2060": "an invisible mark that keeps words together (U+2060)",
    "\u2028": "a line separator (U+2028)",
    "\u2029": "a paragraph separator (U+2029)",
    "\ufeff": "a byte order mark in the middle of the text",
}
NO_BREAK = "\u00a0\u2007\u202f\u3000"
# What stands where YAML needs an ordinary blank, colon or dash, and looks like it.
_LOOK_ALIKE = re.compile(f"^ *(?:- )*([{NO_BREAK}•–—\u2011−])|[:-]([{NO_BREAK}])|(\uff1a)")
# A file of nothing but control characters needs no thousand reports.
_MOST = 20


def name_of(sign: str) -> str:
    """Name a character that cannot be shown."""
    if sign in _NAMES:
        return _NAMES[sign]
    if "\u202a" <= sign <= "\u202e" or "\u2066" <= sign <= "\u2069":
        return f"an invisible mark that turns the direction of text (U+{ord(sign):04X})"
    if unicodedata.category(sign) == "Co":
        kind = "a sign of somebody's own font"
    elif unicodedata.category(sign) in ("Cc", "Cn", "Cs"):
        kind = "a control character" if unicodedata.category(sign) == "Cc" else "a code that is no character"
    else:
        kind = f"an invisible sign, {unicodedata.name(sign, 'without a name').lower()}"
    return f"{kind} (U+{ord(sign):04X})"


def look_alike_in(line: str) -> tuple[int, str, str] | None:
    """Find a sign that looks like one of YAML's and is none: its column from 0, what is wrong, what to type."""
    found = _LOOK_ALIKE.search(line)
    if not found:
        return None
    at, sign = found.start(found.lastindex or 0), found[found.lastindex or 0]
    if sign in NO_BREAK:
        return (
            at,
            f"a no-break space (U+{ord(sign):04X}) stands where a blank is needed",
            "Type an ordinary blank.",
        )
    if sign == "\uff1a":
        return at, "a full-width colon stands where a colon is needed", "Type an ordinary colon and a blank."
    return at, f"`{sign}` begins no item of a list", "Type an ordinary hyphen and a blank."


FORBIDDEN_CHARACTER = FILES.error(
    "forbidden-character",
    "Signs that nobody sees break the search and the print.",
    "title: First low\\u0007water",
    "title: First low water",
)


def replace_forbidden(text: str) -> tuple[str, list[Fault]]:
    """Report forbidden characters, one per line, and return the text with blanks in their place.

    A lone carriage return becomes a line end, as its author saw it. The length stays the same.
    """
    faults: list[Fault] = []
    line_end = -1
    for match in FORBIDDEN.finditer(text):
        if match.start() > line_end and len(faults) < _MOST:
            line_end = text.find("\n", match.start())
            faults.append(
                Fault(
                    FORBIDDEN_CHARACTER,
                    match.start(),
                    f"{name_of(match.group())} stands in the text",
                    "Save the file with LF or CRLF line ends." if match.group() == "\r" else "Delete it.",
                )
            )
    if faults:
        text = FORBIDDEN.sub(lambda match: "\n" if match.group() == "\r" else " ", text)
    return text, faults


MERGE_CONFLICT = FILES.error(
    "merge-conflict", "Both versions of a merge would be read as text.", "<<<<<<< ours\ntitle: A", "title: A"
)


def settle_conflicts(text: str) -> tuple[str, list[Fault]]:
    """Report marks of an unfinished merge and return the text with the first version only.

    Marks and the other versions are blanked out, so that the rest of the file can still be read.
    """
    faults: list[Fault] = []
    blank: list[tuple[int, int]] = []
    opened = False
    hidden_from: int | None = None
    for match in _CONFLICT.finditer(text):
        mark = match.group(1)[0]
        if mark == "<" or not opened:
            message = "marks of an unfinished merge stand in the file"
            faults.append(
                Fault(
                    MERGE_CONFLICT,
                    match.start(1),
                    message,
                    "Keep one of the versions and delete the lines with the marks.",
                )
            )
        if mark == "<":
            opened = True
        elif mark in "|=" and opened and hidden_from is None:
            hidden_from = match.start()
        elif mark == ">" and opened:
            if hidden_from is not None:
                blank.append((hidden_from, match.end()))
            opened, hidden_from = False, None
        blank.append(match.span())
    for start, end in blank:
        text = text[:start] + re.sub(r"[^\n]", " ", text[start:end]) + text[end:]
    return text, faults
