"""The line scanner: what a YAML parser swallows silently or trips over, all of it in one run.

The scanner walks the lines as an author sees them and knows just enough YAML to tell plain text,
quoted text, blocks of text and ``[lists]`` apart. For every fault it also mends the text, character
for character, so that the parser behind it reads on and finds the faults that are left.
"""

from __future__ import annotations

import re

from kbgen.load.characters import replace_forbidden, settle_conflicts
from kbgen.load.fault import DEEPEST, TOO_DEEP, Fault

_COLON = re.compile(r":(?=[ \t]|$)")
_HASH = re.compile(r"([ \t]+)#")
_QUOTED_KEY = re.compile(r"""(?:"(?:[^"\\]|\\.)*"|'(?:[^']|'')*')[ \t]*:(?=[ \t]|$)""")
_DOUBLE_END = re.compile(r'(?:[^"\\]|\\.|\\$)*"')
_SINGLE_END = re.compile(r"(?:[^']|'')*'(?!')")
_BLOCK_HEAD = re.compile(r"[|>][0-9+-]{0,2}(?:[ \t]+#.*)?$")
_NEW_FIELD = re.compile(r"""(?:- )?(?:[A-Za-z_][A-Za-z0-9_-]*|"[^"]*"|'[^']*'):(?=[ \t]|$)""")
_LIST_LIKE = re.compile(r"(?:[-*+•–][ \t]|\(?[0-9]{1,3}[.)][ \t]|[a-zA-Z][.)][ \t]|\|)")
_FLOW_PLAIN = re.compile(r"[^,\[\]{}#:]+")
# A key longer than this is a sentence; the parser's own limit is 1024.
_LONGEST_KEY = 200
_QUOTE_WHOLE = "quote the whole value"


class Scanned:
    """Faults of a text, and the text with every fault mended; both have the same length."""

    def __init__(self, text: str) -> None:
        text, self.faults = replace_forbidden(text)
        text, conflicts = settle_conflicts(text)
        self.faults += conflicts
        self._lines = text.split("\n")
        self._starts: list[int] = []
        offset = 0
        for line in self._lines:
            self._starts.append(offset)
            offset += len(line) + 1
        self._scan()
        self.faults.sort(key=lambda fault: fault.offset)
        self.mended = "\n".join(self._lines)

    # Lines ------------------------------------------------------------------------------------

    def _scan(self) -> None:
        number, parent, begun = 0, -1, False
        while number < len(self._lines):
            line = self._lines[number]
            if line.startswith(("---", "...")) and line[3:4] in ("", " ", "\t"):
                if self._marker(number, begun):
                    return
                begun = True
            elif line.startswith("%"):
                self._fault("yaml-directive", number, 0, "a line that starts with % is an order to the YAML reader; none is used here", "delete the line")
                self._blank(number, 0)
            elif (bare := line.lstrip(" \t")) and not bare.startswith("#"):
                begun = True
                number, parent = self._structure(number, parent)
                continue
            elif bare:
                self._indent(number)
            number += 1

    def _marker(self, number: int, begun: bool) -> bool:
        """Deal with ``---`` and ``...``; tell whether the entry ends here."""
        line = self._lines[number]
        rest = any(more.strip() and not more.lstrip().startswith("#") for more in self._lines[number + 1 :])
        if line[0] == ".":
            if not rest:
                return True
            message = "three dots end the entry, but more text follows"
        elif not begun:
            return False
        else:
            message = "three dashes start a second entry; one entry per file"
        self._fault("second-document", number, 0, message, "delete the line, or move what follows it into a file of its own")
        for later in range(number, len(self._lines)):
            self._blank(later, 0)
        return True

    def _structure(self, number: int, parent: int) -> tuple[int, int]:
        """Read one line of the entry's structure and the value that starts on it.

        Returns:
            The next line, and the column that later continuation lines must be right of.
        """
        column = self._indent(number)
        line = self._lines[number]
        while line[column : column + 1] in ("-", "?") and line[column + 1 : column + 2] in ("", " ", "\t"):
            parent = column
            column = self._skip(number, column + 1, "after the dash")
            line = self._lines[number]
        if column >= len(line):
            return number + 1, parent
        key = _QUOTED_KEY.match(line, column) if line[column] in "\"'" else self._plain_key(line, column)
        if key:
            parent = column
            end = key.end()
            column = end + len(line[end:]) - len(line[end:].lstrip(" \t"))
        elif column <= max(parent, 0) and line[column] not in "\"'[{|>&*!@`%" and not line[:column].strip():
            message = "this line has no field name with a colon and a blank behind it"
            self._fault("missing-colon", number, column, message, "type the colon and the blank, or indent the line if it is text")
            self._blank(number, column)
            return number + 1, parent
        return self._value(number, column, parent), parent

    @staticmethod
    def _plain_key(line: str, column: int) -> re.Match[str] | None:
        if line[column] in "[]{}#|>@`%,":
            return None
        colon = _COLON.search(line, column)
        if not colon or colon.start() - column > _LONGEST_KEY:
            return None
        hash_mark = _HASH.search(line, column, colon.start())
        return None if hash_mark else colon

    def _value(self, number: int, column: int, parent: int) -> int:
        """Read the value that starts at ``column``; return the line after it."""
        line = self._lines[number]
        first = line[column : column + 1]
        if first == "" or first == "#":
            return number + 1
        if first in "&!":
            return self._mark(number, column, parent)
        if first in "|>":
            if _BLOCK_HEAD.match(line, column):
                return self._block(number, column, parent)
            self._reserved(number, column)
        elif first in "\"'":
            return self._quoted(number, column, parent)
        elif first in "[{":
            return self._flow(number, column, parent)
        elif first in "@`%*":
            self._reserved(number, column)
        elif first == "-" and line[column + 1 : column + 2] in ("", " ") and line[:column].strip(" -"):
            self._fault("list-beside-field", number, column, "a list with dashes starts on the line below its field", "move the dash to a line of its own")
            self._put(number, column, "_")
        return self._plain(number, column, parent)

    # Values -----------------------------------------------------------------------------------

    def _plain(self, number: int, column: int, parent: int) -> int:
        self._plain_line(number, column, continues=False)
        listed: list[int] = []
        opening, number = number, number + 1
        while number < len(self._lines):
            line = self._lines[number]
            bare = line.lstrip(" \t")
            if bare and (len(line) - len(bare) <= parent or bare.startswith("#")):
                break
            if bare:
                known = len(self.faults)
                start = self._indent(number)
                if _LIST_LIKE.match(line, start):
                    listed.append(number)
                self._plain_line(number, start, continues=True)
                # A TAB that shifted the line explains it; that it looks misplaced is a consequence.
                del self.faults[known + 1 :]
            number += 1
        self._folded(opening, column, listed, "unquoted text joins its lines")
        return number

    def _plain_line(self, number: int, column: int, *, continues: bool) -> None:
        line = self._lines[number]
        hash_mark = _HASH.search(line, column)
        colon = _COLON.search(line, column)
        if colon and (not hash_mark or colon.start() < hash_mark.start()):
            if continues and _NEW_FIELD.match(line, column):
                message = "this line is indented as if it belonged to the text above it"
                self._fault("indentation", number, column, message, "line it up with the field it belongs beside")
            else:
                message = "a colon and a blank inside unquoted text would start a new field"
                self._fault("colon-in-text", number, colon.start(), message, _QUOTE_WHOLE)
        elif hash_mark and "\t" in hash_mark.group(1):
            at = hash_mark.start() + hash_mark.group(1).index("\t")
            self._fault("tab", number, at, "a TAB stands before the comment", "use a blank, or put the comment on a line of its own")
            self._lines[number] = line[: hash_mark.start()].ljust(len(line))
            return
        elif hash_mark:
            self._fault(
                "hash-in-text",
                number,
                hash_mark.end() - 1,
                "everything from ` #` on would be dropped from this value",
                f"{_QUOTE_WHOLE}, or put the comment on a line of its own",
            )
        if colon or hash_mark:
            mended = _COLON.sub("_", line[column:])
            self._lines[number] = line[:column] + _HASH.sub(lambda m: " " * len(m.group(1)) + "_", mended)

    def _block(self, number: int, column: int, parent: int) -> int:
        opening, folded = number, self._lines[number][column] == ">"
        indent: int | None = None
        listed: list[int] = []
        number += 1
        previous = False
        while number < len(self._lines):
            line = self._lines[number]
            bare = line.lstrip(" ")
            spaces = len(line) - len(bare)
            if bare and spaces <= parent and bare[0] != "\t":
                break
            if bare and (indent is None or spaces < indent) and bare[0] == "\t":
                self._indent(number)
                indent = indent or spaces + 1
            elif bare:
                indent = spaces if indent is None else indent
                # Only neighbours at the block's own indentation are joined.
                if spaces == indent and _LIST_LIKE.match(bare):
                    listed.append(number)
                    previous = previous or len(listed) > 1 and listed[-2] == number - 1
            number += 1
        if folded and previous:
            self._folded(opening, column, listed, "`>` joins lines")
        return number

    def _folded(self, opening: int, column: int, listed: list[int], why: str) -> None:
        if len(listed) < 2:
            return
        message = f"{why}, but lines {listed[0] + 1} to {listed[-1] + 1} look like a list or a table"
        self._fault("folded-list", opening, column, message, "put `|` there, and the lines below it, to keep the line ends")

    def _quoted(self, number: int, column: int, parent: int) -> int:
        closing = _DOUBLE_END if self._lines[number][column] == '"' else _SINGLE_END
        opening, start = number, column + 1
        while number < len(self._lines):
            line = self._lines[number]
            if number > opening:
                bare = line.lstrip(" \t")
                if bare and len(line) - len(bare) <= parent and _NEW_FIELD.match(bare):
                    break
            if end := closing.match(line, start):
                self._after(number, end.end(), "the closing quote", "put the whole value in quotes; double a quote of the same kind inside it")
                return number + 1
            number, start = number + 1, 0
        message = "the quote that opens here is never closed"
        self._fault("open-quote", opening, column, message, "close the quote at the end of the value")
        self._blank(opening, column)
        return opening + 1

    def _flow(self, number: int, column: int, parent: int) -> int:
        opening, at, depth, fresh = number, column, 0, True
        while number < len(self._lines):
            line = self._lines[number]
            if number > opening:
                bare = line.lstrip(" \t")
                if bare and len(line) - len(bare) <= parent and _NEW_FIELD.match(bare):
                    break
            while at < len(line):
                sign = line[at]
                if sign in "[{":
                    depth += 1
                    if depth > DEEPEST:
                        self._fault("nested-too-deeply", number, at, *TOO_DEEP)
                        self._blank(number, column if number == opening else 0)
                        return self._skip_right_of(number + 1, parent)
                elif sign in "]}":
                    depth -= 1
                    if depth == 0:
                        bracket = f"the bracket that closes the {'list' if sign == ']' else 'map'}"
                        self._after(number, at + 1, bracket, "quote the whole value if it is text")
                        return number + 1
                elif sign in "\"'" and fresh:
                    end = (_DOUBLE_END if sign == '"' else _SINGLE_END).match(line, at + 1)
                    if not end:
                        # Quoted text over several lines inside brackets: leave it to the parser.
                        return self._skip_right_of(number + 1, parent)
                    at = end.end()
                    fresh = False
                    continue
                elif sign == "#" and (at == 0 or line[at - 1] in " \t"):
                    if fresh or depth == 0:
                        break
                    self._fault("hash-in-text", number, at, "everything from ` #` on would be dropped from this value", "put the text in quotes")
                    self._put(number, at, "_")
                    line = self._lines[number]
                if sign in "[]{},":
                    fresh = sign not in "]}"
                elif sign == ":" and line[at + 1 : at + 2] in ("", " ", "\t"):
                    fresh = True
                elif sign not in " \t":
                    fresh = False
                    if plain := _FLOW_PLAIN.match(line, at):
                        at = plain.end()
                        continue
                at += 1
            number, at = number + 1, 0
        bracket = self._lines[opening][column]
        message = f"the bracket `{bracket}` that opens here is never closed"
        self._fault("open-bracket", opening, column, message, f"close it with `{']' if bracket == '[' else '}'}`; quote the value if it is text")
        self._blank(opening, column)
        for inside in range(opening + 1, number):
            self._blank(inside, 0)
        return number

    def _skip_right_of(self, number: int, parent: int) -> int:
        while number < len(self._lines):
            line = self._lines[number]
            bare = line.lstrip(" \t")
            if bare and len(line) - len(bare) <= parent:
                break
            number += 1
        return number

    def _mark(self, number: int, column: int, parent: int) -> int:
        """Refuse an anchor or a tag, blank it out and read what it stood before."""
        line = self._lines[number]
        end = next((at for at in range(column, len(line)) if line[at] in " \t"), len(line))
        self._reserved(number, column, mend=False)
        self._lines[number] = line[:column] + " " * (end - column) + line[end:]
        after = end + len(line[end:]) - len(line[end:].lstrip(" \t"))
        return self._value(number, after, parent)

    def _reserved(self, number: int, column: int, *, mend: bool = True) -> None:
        sign = self._lines[number][column]
        meaning = {
            "&": "names a piece of YAML for reuse (an anchor)",
            "*": "repeats a named piece of YAML (an alias)",
            "!": "gives a YAML type (a tag)",
        }.get(sign, "has a meaning of its own in YAML")
        rule = {"&": "yaml-anchor", "*": "yaml-alias", "!": "yaml-tag"}.get(sign, "reserved-sign")
        message = f"`{sign}` at the start of a value {meaning}" + ("; it is not used here" if sign in "&*!" else "")
        self._fault(rule, number, column, message, f"{_QUOTE_WHOLE} if it is text")
        if mend:
            self._put(number, column, "_")

    def _after(self, number: int, column: int, what: str, hint: str) -> None:
        """Report text after a quote or bracket that ends a value."""
        rest = self._lines[number][column:]
        bare = rest.lstrip(" \t")
        if not bare or bare[0] == "#" and len(bare) < len(rest) or bare[0] == ":":
            return
        at = column + len(rest) - len(bare)
        self._fault("text-after-value", number, at, f"text follows {what}", hint)
        self._blank(number, column)

    # Small change -----------------------------------------------------------------------------

    def _indent(self, number: int) -> int:
        line = self._lines[number]
        column = len(line) - len(line.lstrip(" \t"))
        if "\t" in line[:column]:
            at = line.index("\t")
            self._fault("tab", number, at, "the line starts with a TAB" if at == 0 else "a TAB stands in the indentation", "use two spaces")
            self._lines[number] = " " * column + line[column:]
        return column

    def _skip(self, number: int, column: int, where: str) -> int:
        """Skip blanks from ``column`` on; a TAB among them is a fault."""
        line = self._lines[number]
        end = column + len(line[column:]) - len(line[column:].lstrip(" \t"))
        if "\t" in line[column:end]:
            self._fault("tab", number, line.index("\t", column), f"a TAB stands {where}", "use a blank")
            self._lines[number] = line[:column] + " " * (end - column) + line[end:]
        return end

    def _fault(self, rule: str, number: int, column: int, message: str, hint: str) -> None:
        self.faults.append(Fault(rule, self._starts[number] + column, message, hint))

    def _put(self, number: int, column: int, sign: str) -> None:
        line = self._lines[number]
        self._lines[number] = line[:column] + sign + line[column + 1 :]

    def _blank(self, number: int, column: int) -> None:
        line = self._lines[number]
        self._lines[number] = line[:column] + " " * (len(line) - column)
