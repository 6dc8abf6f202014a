"""The line scanner: what a YAML parser swallows silently or trips over, all of it in one run.

The scanner walks the lines as an author sees them and knows just enough YAML to tell plain text,
quoted text, blocks of text and ``[lists]`` apart. For every fault it also mends the text, character
for character, so that the parser behind it reads on and finds the faults that are left.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from kbgen.load import values
from kbgen.load.characters import look_alike_in, replace_forbidden, settle_conflicts
from kbgen.load.damaged import damaged_signs
from kbgen.load.fault import (
    DEEPEST,
    FILES,
    LIST_BESIDE_FIELD,
    MISSING_COLON,
    NESTED_TOO_DEEPLY,
    RESERVED_SIGN,
    TOO_DEEP,
    YAML_ALIAS,
    YAML_ANCHOR,
    YAML_TAG,
    Fault,
)
from kbgen.load.letters import odd_letters
from kbgen.load.sheet import Sheet

_QUOTED_KEY = re.compile(r"""(?:"(?:[^"\\]|\\.)*"|'(?:[^']|'')*')[ \t]*:(?=[ \t]|$)""")
_BLOCK_HEAD = re.compile(r"[|>][0-9+-]{0,2}(?:[ \t]+#.*)?$")
# A key longer than this is a sentence; the parser's own limit is 1024.
_LONGEST_KEY = 200
_QUOTE_IF_TEXT = "Quote the whole value if it is text."
# Rule and meaning of the signs that cannot start unquoted text.
_RESERVED = {
    "&": (YAML_ANCHOR, "names a piece of YAML for reuse (an anchor); it is not used here"),
    "*": (YAML_ALIAS, "repeats a named piece of YAML (an alias); it is not used here"),
    "!": (YAML_TAG, "gives a YAML type (a tag); it is not used here"),
}


class Scanned(NamedTuple):
    """What the scanner made of a text.

    Attributes:
        faults: Everything found, by place.
        mended: The text with every fault mended; as long as the text itself.
    """

    faults: list[Fault]
    mended: str


def scan(text: str) -> Scanned:
    """Scan a text that ``decode`` has tidied."""
    readable, characters = replace_forbidden(text)
    readable, conflicts = settle_conflicts(readable)
    sheet = Sheet(readable)
    _entry(sheet)
    # A lone carriage return was taken for a line end; what that makes of its line is a consequence.
    torn = {text.rfind("\n", 0, fault.offset) for fault in characters if text[fault.offset] == "\r"}
    own = [fault for fault in sheet.faults if not torn or text.rfind("\n", 0, fault.offset) not in torn]
    faults = [*characters, *conflicts, *odd_letters(text), *damaged_signs(text), *own]
    return Scanned(sorted(faults, key=lambda fault: fault.offset), sheet.text)


YAML_DIRECTIVE = FILES.error("yaml-directive", "Directives are for programs.", "%YAML 1.1", "title: A")


def _entry(sheet: Sheet) -> None:
    number, parent, begun = 0, -1, False
    while number < len(sheet.lines):
        line = sheet.lines[number]
        if line.startswith(("---", "...")) and line[3:4] in ("", " ", "\t"):
            if _marker(sheet, number, begun=begun):
                return
            begun = True
        elif line.startswith("%"):
            message = "a line that starts with % is an order to the YAML reader; none is used here"
            sheet.fault(YAML_DIRECTIVE, number, 0, message, "Delete the line.")
            sheet.blank(number)
        elif bare := line.lstrip(" \t"):
            if not bare.startswith("#"):
                begun = True
                number, parent = _structure(sheet, number, parent)
                continue
            sheet.indent(number)
        number += 1


SECOND_DOCUMENT = FILES.error(
    "second-document",
    "Three dashes start a second entry, and the file name can be the id of one only.",
    "title: A\n---\ntitle: B",
    "title: A",
)


def _marker(sheet: Sheet, number: int, *, begun: bool) -> bool:
    """Deal with ``---`` and ``...``; tell whether the entry ends here."""
    if sheet.lines[number][0] == ".":
        after = (line.lstrip() for line in sheet.lines[number + 1 :])
        if all(not line or line.startswith("#") for line in after):
            return True
        message = "three dots end the entry, but more text follows"
    elif begun:
        message = "three dashes start a second entry; one entry per file"
    else:
        return False
    hint = "Delete the line, or move what follows it into a file of its own."
    sheet.fault(SECOND_DOCUMENT, number, 0, message, hint)
    for later in range(number, len(sheet.lines)):
        sheet.blank(later)
    return True


def _structure(sheet: Sheet, number: int, parent: int) -> tuple[int, int]:
    """Read a line that starts a field or an item, and its value.

    Returns:
        The line after the value, and the column that lines of a later value must be right of.
    """
    column = start = sheet.indent(number)
    line = sheet.lines[number]
    depth = 0
    while line[column : column + 1] in ("-", "?") and line[column + 1 : column + 2] in ("", " ", "\t"):
        parent = column
        depth += 1
        if depth > DEEPEST:
            sheet.fault(NESTED_TOO_DEEPLY, number, column, *TOO_DEEP)
            sheet.blank(number, column)
            return number + 1, parent
        column = sheet.space(number, column + 1, "after the dash", "Use a blank.")
    line = sheet.lines[number]
    if column >= len(line):
        return number + 1, parent
    if end := _key_end(line, column):
        parent = column
        column = sheet.skip(number, end)
    elif column == start and column <= max(parent, 0) and line[column] not in "\"'[{|>&*!@`%":
        if look_alike := look_alike_in(line):
            at, message, hint = look_alike
        else:
            at, message = column, "this line has no field name with a colon and a blank behind it"
            hint = "Type the colon and the blank, or indent the line if it is text."
        sheet.fault(MISSING_COLON, number, at, message, hint)
        sheet.blank(number, column)
        return number + 1, parent
    return _value(sheet, number, column, parent), parent


def _key_end(line: str, column: int) -> int | None:
    """Return where the key that starts at ``column`` and its colon end; ``None`` if there is no key."""
    if line[column] in "\"'":
        quoted = _QUOTED_KEY.match(line, column)
        return quoted.end() if quoted else None
    colon = values.COLON.search(line, column)
    if not colon or colon.start() - column > _LONGEST_KEY or line[column] in "[]{}#|>@`%,":
        return None
    return None if values.HASH.search(line, column, colon.start()) else colon.end()


def _value(sheet: Sheet, number: int, column: int, parent: int) -> int:
    """Read the value that starts at ``column``; return the line after it."""
    line = sheet.lines[number]
    first = line[column : column + 1]
    if first == "#" and _text_below(sheet, number, parent):
        hint = "Put the text on one line in quotes, or the comment on a line of its own."
        sheet.fault(
            values.HASH_IN_TEXT, number, column, "this line would be dropped from the text below it", hint
        )
    if first in ("", "#"):
        return number + 1
    if first in "\"'":
        return values.quoted(sheet, number, column, parent)
    if first in "[{":
        return values.flow(sheet, number, column, parent)
    if first in "|>" and _BLOCK_HEAD.match(line, column):
        return values.block(sheet, number, column, parent)
    if first in "&!":
        _reserved(sheet, number, column)
        word = line[column:].split(maxsplit=1)[0]
        sheet.put(number, column, " " * len(word))
        return _value(sheet, number, sheet.skip(number, column), parent)
    if first in "|>@`%*":
        _reserved(sheet, number, column)
        sheet.put(number, column, "_")
    elif first == "-" and line[column + 1 : column + 2] in ("", " "):
        message = "a list with dashes starts on the line below its field"
        sheet.fault(LIST_BESIDE_FIELD, number, column, message, "Move the dash to a line of its own.")
        sheet.put(number, column, "_")
    return values.plain(sheet, number, column, parent)


def _text_below(sheet: Sheet, number: int, parent: int) -> bool:
    """Whether unquoted text of the same value stands in the next line."""
    if number + 1 >= len(sheet.lines) or sheet.falls_out(number + 1, parent):
        return False
    bare = sheet.lines[number + 1].lstrip(" \t")
    return bare[:1] not in ("", "#", "[", "{", "|", ">", "'", '"') and not (
        bare.startswith(("- ", "-\t", "? ")) or bare == "-" or _key_end(bare, 0)
    )


def _reserved(sheet: Sheet, number: int, column: int) -> None:
    sign = sheet.lines[number][column]
    rule, meaning = _RESERVED.get(sign, (RESERVED_SIGN, "has a meaning of its own in YAML"))
    message = f"`{sign}` at the start of a value {meaning}"
    sheet.fault(rule, number, column, message, _QUOTE_IF_TEXT)
