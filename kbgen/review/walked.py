"""What differs between two versions of a page, told from what it does on every way."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from kbgen.model import action as act
from kbgen.review import texts, wording
from kbgen.review.about import OF_DEED, OF_FACT, About
from kbgen.review.change import Kind, Weight, listed
from kbgen.review.deeds import DEEDS, Key, weigh_end
from kbgen.review.difference import Difference
from kbgen.review.facts import FACTS
from kbgen.review.inner import respelt
from kbgen.review.naming import doing
from kbgen.review.said import DeedSaid, PageSaid, ahead_is_danger
from kbgen.review.ways import ways

LESS, SAFER, OPEN, FIGURE, WORDS = (
    Weight.LESS_SAFE,
    Weight.SAFER,
    Weight.UNDECIDED,
    Weight.FIGURE,
    Weight.WORDS,
)
_BY_HEAD = {row.name: DEEDS[record] for record, row in act.TABLE.items()}


def differences(
    before: PageSaid, after: PageSaid, ignored: frozenset[str] = frozenset()
) -> Iterator[Difference]:
    """Yield everything that differs between two versions of a page.

    Args:
        ignored: Kinds of fact that are told elsewhere.
    """
    # A step that is worded otherwise is the same step: what its answers lead to is compared under its new words.
    before = respelt(before, wording.steps_in_words(before, after))
    yield from _deeds(before, after)
    yield from _facts(before, after, ignored)
    yield from _done(before, after)
    yield from _about(About.ENERGY, _pairs(before, after))
    yield from _about(About.ENERGY, _orders(before, after))
    yield from ways(before, after)
    yield from _about(About.CAUTIONS, wording.cautions(before, after))
    yield from _about(About.LEFT, _contract(before, after, ignored))
    yield from wording.words(before, after)
    yield from wording.order(before, after)
    if before.whole != after.whole:
        weight, now = (SAFER, "can now be") if after.whole else (LESS, "can no longer be")
        yield Difference(weight, Kind.CHANGED, f"The page {now} walked on every way: it has too many")


def _about(about: About, found: Iterator[Difference]) -> Iterator[Difference]:
    return (replace(each, about=about) for each in found)


def _first(deed: DeedSaid | None) -> int | None:
    return deed.steps[0] if deed else None


def _deeds(before: PageSaid, after: PageSaid) -> Iterator[Difference]:
    gone = [key for key in before.deeds if key not in after.deeds]
    new = [key for key in after.deeds if key not in before.deeds]
    same = [(key, key) for key in before.deeds if key in after.deeds]
    for key, other in _respelt(before, after, gone, new):
        gone.remove(key)
        new.remove(other)
        same.append((key, other))
        one, two = before.deeds[key], after.deeds[other]
        weight, said = texts.compared(one.says, two.says), f"{two.says}, was: {one.says}"
        yield Difference(weight, Kind.CHANGED, said, _first(one), _first(two), about=OF_DEED[key[0]])
    for key in gone:
        row, deed = _BY_HEAD[key[0]], before.deeds[key]
        weight = weigh_end(key, new=False) if key[0] == "end" else row.gone
        said = f"no longer {deed.says}"
        yield Difference(weight, Kind.REMOVED, said, _first(deed), None, about=OF_DEED[key[0]])
    for key in new:
        row, deed = _BY_HEAD[key[0]], after.deeds[key]
        weight = weigh_end(key, new=True) if key[0] == "end" else row.new
        yield Difference(weight, Kind.ADDED, f"now {deed.says}", None, _first(deed), about=OF_DEED[key[0]])
    # What goes for several deeds alike is one sentence.
    alike: dict[tuple[Weight, About, str], list[tuple[DeedSaid, DeedSaid]]] = defaultdict(list)
    for key, other in same:
        one, two = before.deeds[key], after.deeds[other]
        for weight, text in _beside(key, one, two):
            alike[weight, OF_DEED[key[0]], text].append((one, two))
    for (weight, about, text), deeds in alike.items():
        names = listed([f"“{two.says}”" for _, two in deeds], 4)
        one, two = deeds[0]
        yield Difference(weight, Kind.CHANGED, f"{names}: {text}", _first(one), _first(two), about=about)


_FREE = {"inspect", "wait", "measure", "watch", "end", "hand_over", "fit", "record"}


def _respelt(before: PageSaid, after: PageSaid, gone: list[Key], new: list[Key]) -> list[tuple[Key, Key]]:
    """Return deeds that are named in words and only read otherwise now."""
    found: list[tuple[Key, Key]] = []
    for key in gone:
        if key[0] not in ("inspect", "wait", "measure"):
            continue
        for other in new:
            taken = any(other == two for _, two in found)
            likes = texts.alike(before.deeds[key].says, after.deeds[other].says)
            free = key[0] != "measure" or (key[:-1] == other[:-1])
            if other[0] == key[0] and not taken and free and likes > 0.6:
                found.append((key, other))
                break
    return found


def _beside(key: Key, one: DeedSaid, two: DeedSaid) -> Iterator[tuple[Weight, str]]:
    for name, (label, weigh) in _BY_HEAD[key[0]].beside.items():
        old, now = one.beside.get(name, set()), two.beside.get(name, set())
        if old == now:
            continue
        gone, new = sorted(old - now), sorted(now - old)
        was, is_ = ("; ".join(filter(None, each)) for each in (gone or sorted(old), new or sorted(now)))
        if texts.same_words(was, is_):
            weight = WORDS
        elif len(gone) == 1 == len(new):
            weight = weigh(gone[0], new[0])
        elif not gone:
            weight = max((weigh(each, new[0]) for each in sorted(old)), key=_rank, default=OPEN)
        else:
            weight = max((weigh(gone[0], each) for each in sorted(now)), key=_rank, default=OPEN)
        said = f"{label} {is_ or 'nothing'}, was {was or 'nothing'}" if was or is_ else label
        if len(said) > 160:
            said = texts.told(label, was, is_)
        yield weight, said


def _rank(weight: Weight) -> int:
    return -list(Weight).index(weight)


def _facts(before: PageSaid, after: PageSaid, ignored: frozenset[str]) -> Iterator[Difference]:
    """Tell each fact that is so no longer, or may be so now, once for all that it is so before."""
    both = [key for key in before.targets if key in after.targets]
    # What earlier pages may leave is told once, where the page begins.
    arriving = frozenset(kind for kind, _ in before.finds.keys() ^ after.finds.keys())
    for of, left_out in (("sure", ignored), ("maybe", ignored | arriving)):
        lost: dict[tuple[str, str], list[Key]] = defaultdict(list)
        won: dict[tuple[str, str], list[Key]] = defaultdict(list)
        for key in both:
            old, now = (getattr(each.targets[key], of) for each in (before, after))
            for fact in sorted(old - now):
                lost[fact].append(key)
            for fact in sorted(now - old):
                won[fact].append(key)
        for found, is_lost in ((lost, True), (won, False)):
            # What goes for several things before the same deeds is one sentence.
            groups: dict[tuple[str, tuple[Key, ...]], list[str]] = defaultdict(list)
            for fact, where in found.items():
                if fact[0] not in left_out:
                    name = before.facts[fact] if is_lost else after.facts[fact]
                    groups[fact[0], tuple(where)].append(name)
            for (kind, keys), names in groups.items():
                deeds = listed([doing(after.deeds[key].says) for key in keys], 3)
                weight, text = fact_sentence(kind, names, deeds, lost=is_lost)
                how = Kind.REMOVED if is_lost else Kind.ADDED
                steps = _first(before.deeds[keys[0]]), _first(after.deeds[keys[0]])
                yield Difference(weight, how, text, *steps, of_ways=True, about=OF_FACT[kind])


def fact_sentence(kind: str, names: Sequence[str], where: str, *, lost: bool) -> tuple[Weight, str]:
    """Say that a fact is so no longer, or is so now, of some things before some deeds."""
    said = FACTS[kind].says.format(listed(names, 6))
    if FACTS[kind].keeps:
        return (
            (LESS, f"No longer sure on every way that {said}, before it {where}")
            if lost
            else (SAFER, f"Now sure on every way that {said}, before it {where}")
        )
    return (
        (SAFER, f"It can no longer be that {said}, when it {where}")
        if lost
        else (LESS, f"It may now be that {said}, when it {where}")
    )


def _done(before: PageSaid, after: PageSaid) -> Iterator[Difference]:
    kept = before.deeds.keys() & after.deeds.keys()
    skipped: dict[Key, list[Key]] = defaultdict(list)
    certain: dict[Key, list[Key]] = defaultdict(list)
    for key in (each for each in before.targets if each in after.targets and ahead_is_danger(each)):
        old, now = before.targets[key].done, after.targets[key].done
        for deed in sorted(old - now):
            if deed in kept:
                skipped[deed].append(key)
        for deed in sorted(now - old):
            if deed in kept:
                certain[deed].append(key)
    for found, weight, how in (
        (skipped, LESS, "no longer on every way"),
        (certain, SAFER, "now on every way"),
    ):
        # What goes for several deeds before the same ones is one sentence.
        groups: dict[tuple[About, tuple[Key, ...]], list[Key]] = defaultdict(list)
        for deed, where in found.items():
            groups[OF_DEED[deed[0]], tuple(where)].append(deed)
        for (about, targets), deeds in groups.items():
            names = listed([doing(after.deeds[key].says) for key in targets], 3)
            said = f"{listed([after.deeds[deed].says for deed in deeds])}, {how}, before it {names}"
            steps = _first(before.deeds[deeds[0]]), _first(after.deeds[deeds[0]])
            yield Difference(weight, Kind.CHANGED, said, *steps, about=about)


def _pairs(before: PageSaid, after: PageSaid) -> Iterator[Difference]:
    for name in before.pairs.keys() & after.pairs.keys():
        key = ("prove_dead", name)
        one, two = before.deeds.get(key), after.deeds.get(key)
        says = two.says if two else name
        for pairs, weight, kind, how in (
            (before.pairs[name] - after.pairs[name], LESS, Kind.REMOVED, "no longer measures"),
            (after.pairs[name] - before.pairs[name], SAFER, Kind.ADDED, "now measures"),
        ):
            if pairs:
                said = listed(sorted(pairs), 6)
                yield Difference(weight, kind, f"“{says}” {how} {said}", _first(one), _first(two))
        for named, how in (
            (before.named[name] - after.named[name], "no longer names"),
            (after.named[name] - before.named[name], "now names"),
        ):
            same = named & before.pairs[name] & after.pairs[name]
            if same:
                said = f"“{says}” {how} {listed(sorted(same), 6)}; the entry of the plant has it measured all the same"
                yield Difference(WORDS, Kind.CHANGED, said, _first(one), _first(two))


def _orders(before: PageSaid, after: PageSaid) -> Iterator[Difference]:
    for old, now, what, later in (
        (before.off, after.off, "takes energy away", LESS),
        (before.on, after.on, "brings energy back", SAFER),
    ):
        was, is_ = [key for key in old if key in now], [key for key in now if key in old]
        if was == is_:
            continue
        moved = [key for key in is_ if key in after.fuel and is_.index(key) != was.index(key)]
        way = sum(is_.index(key) - was.index(key) for key in moved)
        sooner = SAFER if later is LESS else LESS
        weight = OPEN if not way else later if way > 0 else sooner
        names = {key: after.deeds[key].says for key in is_}
        last = f"now {names[is_[-1]]} last; " if is_[-1] in moved else ""
        said = (
            f"{last}it {what} in another order: {'; '.join(names[key] for key in is_)}. It was: "
            + "; ".join(names[key] for key in was)
        )
        yield Difference(
            weight, Kind.CHANGED, said, _first(before.deeds[was[0]]), _first(after.deeds[is_[0]])
        )


def _contract(before: PageSaid, after: PageSaid, ignored: frozenset[str]) -> Iterator[Difference]:
    for old, now, new, gone in (
        (before.needs, after.needs, "It now takes for granted", "It no longer takes for granted"),
        (
            after.brought,
            before.brought,
            "Earlier pages no longer bring about",
            "Earlier pages now bring about",
        ),
        (
            before.finds,
            after.finds,
            "Earlier pages may now have left it",
            "Earlier pages can no longer have left it",
        ),
        (before.leaves, after.leaves, "It may now leave behind", "It can no longer leave behind"),
    ):
        for facts, other, weight, kind, how in (
            (now, old, LESS, Kind.ADDED, new),
            (old, now, SAFER, Kind.REMOVED, gone),
        ):
            said = [words for fact, words in facts.items() if fact not in other and fact[0] not in ignored]
            if said:
                yield Difference(weight, kind, f"{how}: {listed(said, 6)}", of_ways=True)
