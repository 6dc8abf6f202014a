"""What the steps of a page say, and the cautions before them, in two versions of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kbgen.review import texts
from kbgen.review.change import Kind, Weight, listed, sentence
from kbgen.review.difference import Difference
from kbgen.review.said import Line, PageSaid

LESS, SAFER, OPEN, WORDS = Weight.LESS_SAFE, Weight.SAFER, Weight.UNDECIDED, Weight.WORDS


def cautions(before: PageSaid, after: PageSaid) -> Iterator[Difference]:
    """Yield the cautions that come before a step no longer, or now."""
    for one, two, weight, kind, how in (
        (before, after, LESS, Kind.REMOVED, "no longer comes"),
        (after, before, SAFER, Kind.ADDED, "now comes"),
    ):
        for name, places in one.cautions.items():
            there = two.cautions.get(name, {})
            lost = [place for place in places if place not in there and (not place or place in two.lines)]
            if not lost or ("" in there and there):
                continue
            first = places[lost[0]]
            other = two.lines[lost[0]][0].step if lost[0] else 0
            where = listed(
                [f"before it {one.called(place)}" if place else "at the head of the page" for place in lost],
                3,
            )
            steps = (first, other) if one is before else (other, first)
            yield Difference(weight, kind, f"The caution `{name}` {how} {where}", *steps)


_FIELDS = {
    "do": "it says",
    "expect": "what is seen:",
    "why": "why:",
    "note_down": "to note down:",
    "minutes": "takes",
    "photos": "pictures:",
}


def steps_in_words(before: PageSaid, after: PageSaid) -> dict[str, str]:
    """Return the steps that only say something and say it otherwise now, by their words before."""
    gone = {
        name: each[0] for name, each in before.lines.items() if name not in after.lines and not each[0].acts
    }
    new = {
        name: each[0] for name, each in after.lines.items() if name not in before.lines and not each[0].acts
    }
    found: dict[str, str] = {}
    for name, line in gone.items():
        other = next((each for each, two in new.items() if line.id and two.id == line.id), "") or max(
            (each for each in new if texts.alike(name, each) > _ALIKE),
            key=lambda each: texts.alike(name, each),
            default="",
        )
        if other:
            found[name] = other
            del new[other]
    return found


_ALIKE = 0.5


def words(before: PageSaid, after: PageSaid) -> Iterator[Difference]:
    """Tell the words of steps: of those that do the same in both versions, and of those that only say something."""
    for name in [*before.lines, *(each for each in after.lines if each not in before.lines)]:
        one, two = before.lines.get(name, []), after.lines.get(name, [])
        pairs = _pairs(one, two)
        for old, now in pairs:
            yield from _line((after if name in after.shown else before).called(name), old, now)
        if one and two and len(one) != len(two) and one[0].acts:
            how = "more often" if len(two) > len(one) else "less often"
            said = f"“{after.called(name)}” {how}: {len(two)} times, was {len(one)}"
            yield Difference(WORDS, Kind.CHANGED, said, one[-1].step, two[-1].step)
        if (one or two)[0].acts:
            continue
        for old in (each for each in one if all(each is not old for old, _ in pairs)):
            said = f"a step in words is gone: {texts.quoted(old.texts['do'])}"
            yield Difference(OPEN, Kind.REMOVED, said, old.step, None)
        for now in (each for each in two if all(each is not now for _, now in pairs)):
            said = f"a step in words is new: {texts.quoted(now.texts['do'])}"
            yield Difference(WORDS, Kind.ADDED, said, None, now.step)


def _pairs(one: Sequence[Line], two: Sequence[Line]) -> list[tuple[Line, Line]]:
    """Return which of the steps that do the same is which: of the same words, of the same id, of the same place."""
    found: list[tuple[Line, Line]] = []
    rest, others = list(one), list(two)
    for same in (
        lambda old, now: old.texts["do"] == now.texts["do"] and old.id == now.id,
        lambda old, now: old.texts["do"] == now.texts["do"],
        lambda old, now: bool(old.id) and old.id == now.id,
        lambda old, now: texts.alike(old.texts["do"], now.texts["do"]) > _ALIKE,
        lambda _old, _now: True,
    ):
        for old in list(rest):
            now = next((each for each in others if same(old, each)), None)
            if now is not None:
                found.append((old, now))
                rest.remove(old)
                others.remove(now)
    return found


def order(before: PageSaid, after: PageSaid) -> Iterator[Difference]:
    """Yield that steps stand in another order, where no fact and no energy tells it."""
    one, two = (
        [label for label in each.lines if label in other.lines]
        for each, other in ((before, after), (after, before))
    )
    if one == two:
        return
    first = next(index for index, pair in enumerate(zip(one, two, strict=True)) if pair[0] != pair[1])
    moved = two[first] if two.index(one[first]) - first <= one.index(two[first]) - first else one[first]
    at = two.index(moved)
    where = f"after “{after.called(two[at - 1])}”" if at else "first"
    said = f"the steps stand in another order: “{after.called(moved)}” comes {where} now"
    yield Difference(WORDS, Kind.CHANGED, said, before.lines[moved][0].step, after.lines[moved][0].step)


def _line(name: str, old: Line, now: Line) -> Iterator[Difference]:
    for part, label in _FIELDS.items():
        was, is_ = old.texts[part], now.texts[part]
        if was == is_:
            continue
        at = f"“{name}”"
        if part in ("minutes", "photos"):
            weight = WORDS
        elif not is_:
            weight = OPEN if part in ("expect", "note_down") else WORDS
        elif not was:
            weight = WORDS
        else:
            weight = texts.compared(was, is_)
        if part == "do" and not now.acts:
            at = "a step in words"
        said = f"{at}: {texts.told(label, was or 'nothing', is_ or 'nothing')}"
        yield Difference(weight, Kind.CHANGED, sentence(said), old.step, now.step)
