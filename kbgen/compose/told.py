"""What is wrong with a step is told at the line its author wrote, with the routine and the step in words."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from kbgen.compose import Source
from kbgen.position import Place, Spot
from kbgen.problems import Problem, shown

_WORDS = 70
_NONE: Mapping[str, str] = {}

# What somebody typed stands in backticks; "step 4 of" and "step 4 there" are steps of another page.
_NUMBERED = re.compile(r"`[^`]*`|\bstep (\d+)\b(?! (?:of|there)\b)")


def at_the_line(
    problem: Problem, origins: Mapping[str, tuple[Source, ...]], plants: Mapping[str, str] = _NONE
) -> Problem:
    """Return a problem as its author is told of it.

    Args:
        origins: Where the steps of each page that was written out come from, by its path.
        plants: For each page that follows from a plant's entry, by path, the path of that entry.
    """
    place, source = _line(problem.place, origins)
    related = tuple(replace(each, place=_line(each.place, origins)[0]) for each in problem.related)
    message = problem.message
    if isinstance(problem.place, Spot):
        message = _by_name(message, origins.get(problem.place.path, ()))
    if source is not None and source.routine:
        of_id = f" ({source.id})" if source.id else ""
        message = f"`{source.routine}` writes “{shown(source.words, _WORDS)}”{of_id}: {message}"
    if place.path in plants:
        page = place.path.rpartition("/")[2].removesuffix(".yaml")
        message = f"in the draft `{page}`, which follows from this entry: {message}"
        place = Spot(plants[place.path], ("title",))
    return replace(problem, place=place, related=related, message=message)


def _by_name(message: str, sources: Sequence[Source]) -> str:
    """Return a message with ids, or words, in the place of numbers that stand on no line of the author's."""

    def name(found: re.Match[str]) -> str:
        at = int(found[1] or 0) - 1
        if not 0 <= at < len(sources):
            return found[0]
        return sources[at].id or f"“{shown(sources[at].words, _WORDS)}”"

    return _NUMBERED.sub(name, message)


def _line(place: Place, origins: Mapping[str, tuple[Source, ...]]) -> tuple[Place, Source | None]:
    if isinstance(place, Spot) and place.route[:1] == ("written",):
        # It is told of a line itself, and not of what the line writes.
        return replace(place, route=("steps", *place.route[1:])), None
    if not isinstance(place, Spot) or place.path not in origins or place.route[:1] != ("steps",):
        return place, None
    sources = origins[place.path]
    if len(place.route) < 2 or not isinstance(index := place.route[1], int) or index >= len(sources):
        return place, None
    source = sources[index]
    if source.routine:
        return Spot(place.path, ("steps", source.line)), source
    return replace(place, route=("steps", source.line, *place.route[2:])), source
