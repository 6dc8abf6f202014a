"""What the answers of a page lead to, in two versions of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from kbgen.review import texts
from kbgen.review.about import About
from kbgen.review.change import Kind, Weight, listed
from kbgen.review.difference import Difference
from kbgen.review.naming import doing
from kbgen.review.said import PageSaid, Way, ahead_is_danger

LESS, SAFER, OPEN = Weight.LESS_SAFE, Weight.SAFER, Weight.UNDECIDED


def ways(before: PageSaid, after: PageSaid) -> Iterator[Difference]:
    """Yield the answers that are new, gone, or lead elsewhere now."""
    for each in _ways(before, after):
        about = About.WAYS if each.kind is Kind.CHANGED else About.ANSWERS
        yield replace(each, about=about)


def _ways(before: PageSaid, after: PageSaid) -> Iterator[Difference]:
    for where, way in before.ways.items():
        same = _alike(after, where)
        if not same and where[0] in after.asked:
            out = any(key[:2] == ("end", "evacuated") for key in way.ahead)
            onward = any(map(ahead_is_danger, way.ahead))
            weight = LESS if way.fails or way.danger or (out and not onward) else OPEN
            said = f"“{before.called(where[0])}” can no longer be answered by {texts.quoted(way.shown)}"
            yield Difference(weight, Kind.REMOVED, said, way.step, None)
        for now in same:
            yield from _way(before, after, where, way, now)
    for where, way in after.ways.items():
        if where[0] in before.asked and not _alike(before, where):
            said = f"“{after.called(where[0])}” can now be answered by {texts.quoted(way.shown)}"
            weight = SAFER if way.fails and not any(map(ahead_is_danger, way.ahead)) else OPEN
            yield Difference(weight, Kind.ADDED, said, None, way.step)


_OR = re.compile(r",? or |, ")


def _parts(answer: str) -> list[str]:
    """Return the answers that one answer stands for.

    >>> _parts("no, or not sure")
    ['no', 'not sure']
    """
    return _OR.split(answer)


def _alike(page: PageSaid, where: tuple[str, str]) -> list[Way]:
    """Return the answers that say the same, apart or several in one; none where a part of it is not said."""
    own = {where[1], *_parts(where[1])}
    found = {
        answer: way
        for (asked, answer), way in page.ways.items()
        if asked == where[0] and own & {answer, *_parts(answer)}
    }
    if where[1] in found:
        return [found[where[1]]]
    said = {part for answer in found for part in _parts(answer)}
    return list(found.values()) if said.issuperset(_parts(where[1])) else []


def _way(
    before: PageSaid, after: PageSaid, where: tuple[str, str], way: Way, now: Way
) -> Iterator[Difference]:
    at = f"After {texts.quoted(now.shown, 50)} to “{after.called(where[0])}”"
    if way.next != now.next:
        known = before.deeds.keys() & after.deeds.keys()
        more = sorted(key for key in (now.ahead - way.ahead) & known if ahead_is_danger(key))
        less = sorted(key for key in (way.ahead - now.ahead) & known if ahead_is_danger(key))
        passed = now.fails and not _as_passed(before, where[0], way) and _as_passed(after, where[0], now)
        leaves = [key for key in way.ahead - now.ahead if key[:2] == ("end", "evacuated")]
        stops = [key for key in now.ahead - way.ahead if key[:2] == ("end", "evacuated")]
        if passed and not more:
            said = f"{at} it now goes on as if it had passed, with “{after.called(now.next)}”"
            yield Difference(LESS, Kind.CHANGED, said, way.step, now.step)
        elif more:
            names = listed([doing(after.deeds[key].says) for key in more], 3)
            yield Difference(
                LESS if way.fails or now.fails or not way.passes else OPEN,
                Kind.CHANGED,
                f"{at} it now goes on with “{after.called(now.next)}”, and can lead to what it could not: it {names}",
                way.step,
                now.step,
            )
        elif less or stops:
            names = listed([before.deeds[key].says for key in less], 3) or "go on"
            yield Difference(
                OPEN if way.passes else SAFER,
                Kind.CHANGED,
                f"{at} it can no longer lead to what it could: it {names}",
                way.step,
                now.step,
            )
        elif leaves:
            yield Difference(
                LESS, Kind.CHANGED, f"{at} it no longer leads to leaving at once", way.step, now.step
            )
        elif way.next in after.lines and now.ahead != way.ahead:
            said = f"{at} it now goes on with “{after.called(now.next)}”, was “{before.called(way.next)}”"
            yield Difference(OPEN, Kind.CHANGED, said, way.step, now.step)
    if way.at_most != now.at_most:
        worse = not now.at_most or (way.at_most and now.at_most > way.at_most)
        was, is_ = (f"{each or 'any number of'} times" for each in (way.at_most, now.at_most))
        yield Difference(
            LESS if worse else SAFER,
            Kind.CHANGED,
            f"{at} it may go back {is_}, was {was}",
            way.step,
            now.step,
        )
    for claims, weight, how in (
        (set(now.claims) - set(way.claims), LESS, "now takes on the reader's word"),
        (set(way.claims) - set(now.claims), SAFER, "no longer takes on the reader's word"),
    ):
        if claims:
            said = listed([each.replace("-", " ") for each in sorted(claims)])
            yield Difference(weight, Kind.CHANGED, f"{at} it {how}: {said}", way.step, now.step)
    if way.danger != now.danger:
        weight, how = (SAFER, "now") if now.danger else (LESS, "no longer")
        yield Difference(weight, Kind.CHANGED, f"{at} it {how} means danger to somebody", way.step, now.step)


def _as_passed(page: PageSaid, asked: str, way: Way) -> bool:
    """Return whether another answer to the same question passes and leads on to the same step."""
    return any(
        where[0] == asked and other.passes and other.next == way.next for where, other in page.ways.items()
    )
