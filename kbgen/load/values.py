"""The values of YAML as far as a line scanner must know them: plain, block, quoted, bracketed.

Every function starts at a value's first sign, notes its faults, mends them and returns the number of
the line after the value. ``parent`` is the column of the field or dash the value belongs to: lines
right of it belong to the value.
"""

from __future__ import annotations

import re

from kbgen.load.fault import (
    COLON_IN_TEXT,
    DEEPEST,
    FILES,
    INDENTATION,
    NESTED_TOO_DEEPLY,
    OPEN_BRACKET,
    OPEN_QUOTE,
    TOO_DEEP,
)
from kbgen.load.sheet import TAB, Sheet

COLON = re.compile(r":(?=[ \t]|$)")
HASH = re.compile(r"([ \t]+)#")
QUOTE_WHOLE = "Quote the whole value."
# What a word processor makes of a quote; to YAML it is a sign like any other.
_CURLY = "“”„‟‘’‚‛«»"
_STRAIGHT = 'Curly quotes are part of the text; put straight ones (") around the whole value.'
_HASH_IN_TEXT = "everything from ` #` on would be dropped from this value"
_DOUBLE_END = re.compile(r'(?:[^"\\]|\\.|\\$)*"')
_SINGLE_END = re.compile(r"(?:[^']|'')*'(?!')")
_NEW_FIELD = re.compile(r"""(?:- )?(?:[A-Za-z_][A-Za-z0-9_-]*|"[^"]*"|'[^']*'):(?=[ \t]|$)""")
# The start of an item, or of a row of a table; also with the blank behind the dash forgotten.
LIST_LIKE = re.compile(
    r"(?:[-*+•·▪◦‣●○–—−][ \t]|[-•▪◦‣●○–—](?=[^\W\d_])|\(?[0-9]{1,3}[.)][ \t]|\(?[a-zA-Z][.)][ \t]|\|)"
)
_FLOW_PLAIN = re.compile(r"[^,\[\]{}#:]+")


def plain(sheet: Sheet, number: int, column: int, parent: int) -> int:
    """Unquoted text, which may go on over several lines."""
    _plain_line(sheet, number, column, continues=False)
    opening, number = number, number + 1
    told = False
    while number < len(sheet.lines) and not sheet.falls_out(number, parent):
        bare = sheet.lines[number].lstrip(" \t")
        if bare.startswith("#"):
            message = "this line is indented like the text above it and would be dropped as a comment"
            hint = "Line the comment up with its field; if it is text, put the whole in quotes."
            sheet.fault(HASH_IN_TEXT, number, sheet.skip(number, 0), message, hint)
            break
        if bare:
            known = len(sheet.faults)
            start = sheet.indent(number)
            # A TAB may have moved the first line; that the next ones then belong to it is a consequence.
            shifted = sheet.faulty(opening) and sheet.faults[-1].rule is TAB
            if LIST_LIKE.match(bare) and not (told or shifted):
                told = True
                _swallowed(sheet, number, start, item=sheet.lines[opening][max(parent, 0) :].startswith("- "))
            _plain_line(sheet, number, start, continues=True)
            # A TAB that shifted the line explains it; that it looks misplaced is a consequence.
            del sheet.faults[known + 1 :]
        number += 1
    return number


ITEM_IN_TEXT = FILES.error(
    "item-in-text",
    "A line that is indented too far is read as the end of the text above it: two items become one.",
    "between:\n  - L to earth\n    - N to earth",
    "between:\n  - L to earth\n  - N to earth",
)


def _swallowed(sheet: Sheet, number: int, column: int, *, item: bool) -> None:
    """Report a line that begins like an item and belongs to the text above it, an item itself or not."""
    message = "this line begins like an item of a list and would be joined to the text above it"
    hint = (
        "Line it up with the dash of the item above; if it is text, wrap the line elsewhere."
        if item
        else "Put each item on a line of its own below the field; if it is text, wrap the line elsewhere."
    )
    sheet.fault(ITEM_IN_TEXT, number, column, message, hint)


HASH_IN_TEXT = FILES.error(
    "hash-in-text",
    "Everything behind ` #` would be dropped.",
    "title: Burner #2 locks out",
    'title: "Burner #2 locks out"',
)


def _plain_line(sheet: Sheet, number: int, column: int, *, continues: bool) -> None:
    line = sheet.lines[number]
    mark = HASH.search(line, column)
    colon = COLON.search(line, column)
    curly = not continues and line[column] in _CURLY
    if colon and (not mark or colon.start() < mark.start()):
        if continues and _NEW_FIELD.match(line, column):
            message = "this line is indented as if it belonged to the text above it"
            sheet.fault(INDENTATION, number, column, message, "Line it up with the field it belongs beside.")
        else:
            message = "a colon and a blank inside unquoted text would start a new field"
            sheet.fault(COLON_IN_TEXT, number, colon.start(), message, _STRAIGHT if curly else QUOTE_WHOLE)
    elif mark and "\t" in mark.group(1):
        hint = "Use a blank, or put the comment on a line of its own."
        sheet.space(number, mark.start(), "before the comment", hint)
        sheet.blank(number, mark.start())
        return
    elif mark:
        hint = "Quote the whole value, or put the comment on a line of its own."
        sheet.fault(HASH_IN_TEXT, number, mark.end() - 1, _HASH_IN_TEXT, _STRAIGHT if curly else hint)
    if colon or mark:
        mended = COLON.sub("_", line[column:])
        sheet.put(number, column, HASH.sub(lambda found: " " * len(found.group(1)) + "_", mended))


def block(sheet: Sheet, number: int, column: int, parent: int) -> int:
    """A block of text under ``|`` or ``>``."""
    opening, folded = number, sheet.lines[number][column] == ">"
    indent: int | None = None
    listed: list[int] = []
    joined, at_edge = False, -1
    number += 1
    while number < len(sheet.lines):
        line = sheet.lines[number]
        bare = line.lstrip(" ")
        spaces = len(line) - len(bare)
        if bare and spaces <= parent and bare[0] != "\t":
            break
        if bare and bare[0] == "\t" and (indent is None or spaces < indent):
            # Left of the text's own edge a TAB is indentation; right of it, it is text.
            sheet.indent(number)
            indent = indent or spaces + 1
        elif bare:
            indent = spaces if indent is None else indent
            # Only neighbours at the block's own edge are joined.
            if spaces == indent and LIST_LIKE.match(bare):
                joined = joined or at_edge == number - 1
                listed.append(number)
            if spaces == indent:
                at_edge = number
        number += 1
    if folded and joined:
        several = f"lines {listed[0] + 1} to {listed[-1] + 1} look like a list or a table"
        one = f"line {listed[0] + 1} looks like an item of a list"
        message = f"`>` joins lines, but {several if len(listed) > 1 else one}"
        hint = "Put `|` there and the text on the lines below it, to keep the line ends."
        sheet.fault(FOLDED_LIST, opening, column, message, hint)
    return number


FOLDED_LIST = FILES.error(
    "folded-list",
    "The sign > joins lines: a list would become one long sentence.",
    "do: >\n  1. Shut the cock\n  2. Wait",
    "do: |\n  1. Shut the cock\n  2. Wait",
)


def quoted(sheet: Sheet, number: int, column: int, parent: int) -> int:
    """Text in quotes, which may go on over several lines."""
    closing = _DOUBLE_END if sheet.lines[number][column] == '"' else _SINGLE_END
    opening, start = number, column + 1
    item = sheet.lines[opening][max(parent, 0) :].startswith("- ")
    told = False
    while number < len(sheet.lines) and not (number > opening and _starts_field(sheet, number, parent)):
        if number > opening and not told and LIST_LIKE.match(sheet.lines[number].lstrip(" \t")):
            told = True
            _swallowed(sheet, number, sheet.skip(number, 0), item=item)
        if end := closing.match(sheet.lines[number], start):
            hint = (
                "Put the whole value in quotes; type a quote inside it twice, or use the other kind outside."
            )
            _nothing_after(sheet, number, end.end(), "the closing quote", hint)
            return number + 1
        number, start = number + 1, 0
    message = "the quote that opens here is never closed"
    sheet.fault(OPEN_QUOTE, opening, column, message, "Close the quote at the end of the value.")
    sheet.blank(opening, column)
    return opening + 1


def flow(sheet: Sheet, number: int, column: int, parent: int) -> int:
    """A list or map in brackets."""
    opening, at, depth = number, column, 0
    known = len(sheet.faults)
    # Whether the next sign starts a value: only there a quote is a quote.
    fresh = True
    while number < len(sheet.lines) and not (number > opening and _starts_field(sheet, number, parent)):
        line = sheet.lines[number]
        while at < len(line):
            sign = line[at]
            if sign in "[{":
                depth += 1
                if depth > DEEPEST:
                    sheet.fault(NESTED_TOO_DEEPLY, number, at, *TOO_DEEP)
                    sheet.blank(number, column if number == opening else 0)
                    return _rest_of(sheet, number + 1, parent)
            elif sign in "]}":
                depth -= 1
                if depth == 0:
                    what = f"the bracket that closes the {'list' if sign == ']' else 'map'}"
                    _nothing_after(sheet, number, at + 1, what, "Quote the whole value if it is text.")
                    return number + 1
            elif sign in "\"'" and fresh:
                end = (_DOUBLE_END if sign == '"' else _SINGLE_END).match(line, at + 1)
                if not end:
                    # Quoted text over several lines inside brackets: the parser's to judge.
                    return _rest_of(sheet, number + 1, parent)
                at, fresh = end.end(), False
                continue
            elif sign == "#" and (at == 0 or line[at - 1] in " \t"):
                if fresh:
                    break
                sheet.fault(HASH_IN_TEXT, number, at, _HASH_IN_TEXT, "Put the text in quotes.")
                sheet.put(number, at, "_")
                line = sheet.lines[number]
            if sign in "[]{},":
                fresh = sign in "[{,"
            elif sign == ":" and line[at + 1 : at + 2] in ("", " ", "\t"):
                fresh = True
            elif sign not in " \t":
                fresh = False
                if text := _FLOW_PLAIN.match(line, at):
                    at = text.end()
                    continue
            at += 1
        number, at = number + 1, 0
        if number < len(sheet.lines) and not fresh and LIST_LIKE.match(sheet.lines[number].lstrip(" \t")):
            _swallowed(sheet, number, sheet.skip(number, 0), item=False)
    # What was found between here and the end of the file was read as text of the list, and is none.
    del sheet.faults[known:]
    bracket = sheet.lines[opening][column]
    message = f"the bracket `{bracket}` that opens here is never closed"
    hint = f"Close it with `{']' if bracket == '[' else '}'}`, or quote the value if it is text."
    sheet.fault(OPEN_BRACKET, opening, column, message, hint)
    sheet.blank(opening, column)
    for inside in range(opening + 1, number):
        sheet.blank(inside)
    return number


def _starts_field(sheet: Sheet, number: int, parent: int) -> bool:
    """Whether a line looks like the next field, so that the value before it was never closed."""
    return sheet.falls_out(number, parent) and _NEW_FIELD.match(sheet.lines[number].lstrip(" \t")) is not None


def _rest_of(sheet: Sheet, number: int, parent: int) -> int:
    while number < len(sheet.lines) and not sheet.falls_out(number, parent):
        number += 1
    return number


TEXT_AFTER_VALUE = FILES.error(
    "text-after-value",
    "Text behind a closed value belongs to nothing.",
    'title: "First" low water',
    'title: "First low water"',
)


def _nothing_after(sheet: Sheet, number: int, column: int, what: str, hint: str) -> None:
    """Report text after a quote or bracket that ends a value."""
    at = sheet.skip(number, column)
    bare = sheet.lines[number][at:]
    is_comment = bare.startswith("#") and at > column
    if bare and not is_comment and not bare.startswith(":"):
        sheet.fault(TEXT_AFTER_VALUE, number, at, f"text follows {what}", hint)
        sheet.blank(number, column)
