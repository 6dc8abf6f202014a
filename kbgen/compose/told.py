"""What is wrong with a step is told at the line its author wrote, with the routine and the step in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kbgen.compose import Source
from kbgen.position import Place, Spot
from kbgen.problems import Problem, shown

_WORDS = 70


def at_the_line(problem: Problem, origins: Mapping[str, tuple[Source, ...]]) -> Problem:
    """Return a problem as its author is told of it."""
    place, source = _line(problem.place, origins)
    related = tuple(replace(each, place=_line(each.place, origins)[0]) for each in problem.related)
    if source is None or not source.routine:
        return replace(problem, place=place, related=related)
    message = f"`{source.routine}` writes “{shown(source.words, _WORDS)}” ({source.id}): {problem.message}"
    return replace(problem, place=place, related=related, message=message)


def _line(place: Place, origins: Mapping[str, tuple[Source, ...]]) -> tuple[Place, Source | None]:
    if not isinstance(place, Spot) or place.path not in origins or place.route[:1] != ("steps",):
        return place, None
    sources = origins[place.path]
    if len(place.route) < 2 or not isinstance(index := place.route[1], int) or index >= len(sources):
        return place, None
    source = sources[index]
    if source.routine:
        return Spot(place.path, ("steps", source.line)), source
    return replace(place, route=("steps", source.line, *place.route[2:])), source
