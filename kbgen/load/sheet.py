"""The lines of a file while they are scanned: faults are noted on it, and mended in place."""

from __future__ import annotations

from kbgen.load.characters import NO_BREAK
from kbgen.load.fault import FILES, INDENTATION, Fault
from kbgen.rule import Rule

TAB = FILES.error(
    "tab",
    "A tab looks like blanks and is not read as such.",
    "steps:\n	- do: Shut the cock.",
    "steps:\n  - do: Shut the cock.",
)


class Sheet:
    """Lines of one text; mending never changes the length of a line.

    Attributes:
        lines: The lines, without their line ends.
        faults: What was found so far.
    """

    def __init__(self, text: str) -> None:
        self.lines = text.split("\n")
        self.faults: list[Fault] = []
        self._starts: list[int] = []
        offset = 0
        for line in self.lines:
            self._starts.append(offset)
            offset += len(line) + 1

    @property
    def text(self) -> str:
        """The text as mended so far."""
        return "\n".join(self.lines)

    def fault(self, rule: Rule, number: int, column: int, message: str, hint: str) -> None:
        """Note a fault; lines and columns count from 0 here."""
        self.faults.append(Fault(rule, self._starts[number] + column, message, hint))

    def faulty(self, number: int) -> bool:
        """Whether a line, or one after it, has a fault already."""
        return bool(self.faults) and self.faults[-1].offset >= self._starts[number]

    def put(self, number: int, column: int, piece: str) -> None:
        """Overwrite a piece of a line."""
        line = self.lines[number]
        self.lines[number] = line[:column] + piece + line[column + len(piece) :]

    def blank(self, number: int, column: int = 0) -> None:
        """Blank out a line from a column on."""
        self.put(number, column, " " * (len(self.lines[number]) - column))

    def skip(self, number: int, column: int) -> int:
        """Return the column of the first sign that is no blank, from ``column`` on."""
        line = self.lines[number]
        return len(line) - len(line[column:].lstrip(" \t"))

    def indent(self, number: int) -> int:
        """Return a line's indentation; a TAB or a no-break space in it is a fault."""
        line = self.lines[number]
        lead = len(line) - len(line.lstrip(" \t" + NO_BREAK))
        at = next((at for at in range(lead) if line[at] in NO_BREAK), None)
        if at is not None:
            message = f"a no-break space (U+{ord(line[at]):04X}) stands in the indentation"
            self.fault(INDENTATION, number, at, message, "Type ordinary blanks.")
            self.put(number, at, " " * (lead - at))
        return self.space(number, 0, "in the indentation", "Use two spaces.")

    def space(self, number: int, column: int, where: str, hint: str) -> int:
        """Skip blanks from a column on; a TAB among them is a fault."""
        end = self.skip(number, column)
        at = self.lines[number].find("\t", column, end)
        if at >= 0:
            message = f"a TAB stands {where}" if at else "the line starts with a TAB"
            self.fault(TAB, number, at, message, hint)
            self.put(number, column, " " * (end - column))
        return end

    def falls_out(self, number: int, parent: int) -> bool:
        """Whether a line cannot belong to a value whose field stands in column ``parent``."""
        line = self.lines[number]
        bare = line.lstrip(" \t")
        return bool(bare) and len(line) - len(bare) <= parent
