"""The lines of a page: those its author wrote, and those of every ending that is named, each once."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from kbgen.model.equipment import Equipment
from kbgen.model.routine import AnyRoutine, DoRoutine, routine_of, row_of
from kbgen.model.verdicts import WORDS

Data = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Line:
    """One line.

    Attributes:
        data: As written.
        routine: What it stands for; ``None`` for an own step.
        line: Index of the author's line that wrote it, or that first named its ending.
        ending: The ending it belongs to.
        at: Index in the page or the ending.
        call: What the ids of a page, or a routine of the plant's own, that is done here begin with; empty for the
            page's own lines.
        page: That page.
        own: The plant's own routine that is done here.
        tag: By what alone others lead to it; empty where its id does.
        behind: The line above with an id, where the same routine writes steps of the same names elsewhere on the page.
    """

    data: Data
    routine: AnyRoutine | None
    line: int
    ending: str = ""
    at: int = 0
    call: str = ""
    page: str = ""
    own: str = ""
    tag: str = ""
    behind: str = ""

    @property
    def scope(self) -> str:
        """What its names stand in: the ending, the page that is done here, or nothing."""
        return self.ending or self.call

    @property
    def name(self) -> str:
        """What the ids of its steps begin with."""
        own = self.data.get("id") or (_called(self.routine) if self.routine else "")
        own = f"{self.behind}.{own}" if self.behind else own
        return f"{self.scope}.{own}" if self.scope else own

    @property
    def label(self) -> str:
        """By what others lead to it; empty where nobody can. The first line of an ending goes by its name."""
        if self.tag or (self.ending and self.at == 0):
            return self.tag or self.ending
        own = self.data.get("id", "")
        return f"{self.scope}.{own}" if self.scope and own else own

    @property
    def block(self) -> str:
        """The page itself, or the ending: a line leads on to the line below in its own block only."""
        return self.ending


def _called(made: AnyRoutine) -> str:
    """Return what a line without an id goes by: its routine, or that of the plant's own."""
    return made.do_routine if isinstance(made, DoRoutine) else row_of(made).name.replace("_", "-")


def told_apart(lines: list[Line], twice: Collection[int]) -> list[Line]:
    """Return lines that write the same names with each called behind the line above it that has an id.

    Args:
        twice: Their indices; those that have an id, or none above them, stay as they are.
    """
    found: list[Line] = []
    above: dict[str, str] = {}
    for index, line in enumerate(lines):
        own = line.data.get("id", "")
        if index in twice and line.routine and not own:
            found.append(replace(line, behind=above.get(line.scope, "")))
            continue
        above[line.scope] = own or above.get(line.scope, "")
        found.append(line)
    return found


RECORD, MAKE_SAFE, FIND_DEAD, FIND_LIVE = "record", "make-safe", "find-dead", "find-live"
"""How the ids of pages end that follow from a plant's entry; before it stands the id of the plant or the circuit."""


def has_routines(data: Data, endings: frozenset[str] = frozenset()) -> bool:
    """Say whether a page has a line that its author did not write as a whole step: a routine, no words, `next`, or `say`.

    Args:
        endings: The endings of its plant; none where they are not known yet.
    """
    return any(
        "do" not in line or any(go == "next" or go in endings or "say" in way for way, _, go in ways_of(line))
        for line in data.get("steps", ())
    )


def lines_of(steps: list[Data]) -> list[Line]:
    """Return the lines that an author wrote."""
    return [Line(data, routine_of(data), index, "", index) for index, data in enumerate(steps)]


def ending_lines(plant: Equipment, name: str, line: int) -> list[Line]:
    """Return the lines of an ending, named first by a line of the page; none where there is no such ending."""
    found = next((each.steps for each in plant.endings if each.id == name), ())
    return [Line(data, routine_of(data), line, name, index) for index, data in enumerate(found)]


def ways_of(step: Data) -> Iterator[tuple[Data, str, str]]:
    """Yield every way out of a step that names where it leads: the map it stands in, its key, the name."""
    for way in (*step.get("outcomes", ()), step):
        for key in ("go", *WORDS):
            if isinstance(value := way.get(key), str):
                yield way, key, value
