"""Unsafe control of energies that come back: guards, locks off, power on."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import ADDED, BORDER, EARLY, LATE, NOT_DONE, WRONG, Made, danger
from tests.bench.control.plant import Page
from tests.bench.control.tools import (
    acts,
    ahead,
    any_of,
    behind,
    changed,
    does,
    does_something,
    earlier,
    ends,
    follows,
    insert,
    is_,
    like_sources,
    on_way_in,
    other,
    out,
    told,
    wrong_way,
)

MOVES = ("motion", "spring", "load", "air")


def _tried(page: Page) -> Iterator[Step]:
    """Return the tries before hands go where something moves."""
    plant = page.plant
    moving = [s for s, about in plant.sources.items() if about.get("phases") or plant.kind(s) in MOVES]
    for step in acts(page, "try_start"):
        if follows(page, step, lambda each: any(page.touches(each, source) for source in moving)):
            yield step


@danger("try_start", NOT_DONE, "The wrong isolator is locked; the fan starts on the hands at the next call")
def try_start_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _tried(page))


@danger("try_start", WRONG, "It started, and the hands go in all the same")
def try_start_live_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, _tried(page))


@danger(
    "try_start", LATE, "The hands are at the wheel before the start was tried, or in it while it is tried"
)
def try_start_behind_hands(page: Page) -> Iterator[Made]:
    yield from behind(page, _tried(page), does("work_in", "replace"))


@danger("try_start", EARLY, "Tried before the locks are on, it really starts; or people stand at it untold")
def try_start_too_early(page: Page) -> Iterator[Made]:
    for test in (does("lock"), does("inform")):
        yield from ahead(page, _tried(page), test)


def _guarded(page: Page) -> Iterator[Step]:
    """Return the guards over what was not proved dead before."""
    return (
        step for step in acts(page, "guard") if earlier(page, step, is_("prove_dead", step.value)) is None
    )


@danger("guard", NOT_DONE, "What stays live beside the work is bare; a slipping spanner or sleeve touches it")
def guard_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _guarded(page))


@danger("guard", WRONG, "Another part is shrouded; the live one beside the work is bare")
def guard_another_source(page: Page) -> Iterator[Made]:
    for step in _guarded(page):
        for source in page.plant.electric:
            if source != step.value:
                yield changed(
                    page, step, f"guard {source} instead", guard=source, do="Put the clear shroud over it."
                )


@danger("guard", LATE, "The hands are beside live metal before the shroud is on")
def guard_behind_the_work(page: Page) -> Iterator[Made]:
    yield from behind(page, _guarded(page), does("work_in", "replace"))


@danger("unlock", NOT_DONE, "Power comes back over a padlock: it is cut off, or somebody's life hangs on it")
def unlock_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "unlock"):
        # What this page never locked is on, or the line is for whoever finds his own lock there.
        mine = page.draft.could_be(
            step.key, is_("lock", step.value), is_("unlock", step.value), at_first=page.begins_safe
        )
        if mine and follows(page, step, is_("restore", step.value), is_("unlock", step.value)):
            yield from out(page, [step])


@danger("unlock", WRONG, "The lock of another source comes off, on which somebody still works")
def unlock_another_source(page: Page) -> Iterator[Made]:
    for step in acts(page, "unlock"):
        if follows(page, step, is_("restore", step.value), is_("unlock", step.value)):
            yield from other(page, [step], lambda each: like_sources(page, each))


@danger("unlock", EARLY, "The lock comes off while hands, leads or an alteration are still in")
def unlock_before_hands_are_out(page: Page) -> Iterator[Made]:
    inside = does("undo", "unclip", "work_in", "replace", "cap")
    for step in acts(page, "unlock"):
        yield from ahead(page, [step], lambda each, s=str(step.value): inside(each) or page.touches(each, s))  # type: ignore[misc]


@danger("unlock", EARLY, "People at the plant are not told before the lock comes off; it starts beside them")
def unlock_before_the_people_are_told(page: Page) -> Iterator[Made]:
    for step in acts(page, "unlock"):
        yield from ahead(page, [step], is_("inform"))


INSIDE = any_of(
    does("cap", "unclip", "work_in", "replace"), lambda s: s.act == "undo" and not s.value.startswith("pump-")
)


def _hurts_inside(page: Page, step: Step, source: str) -> bool:
    """Whether a source that comes on hurts hands of a step; air pumped in at a test point minds gas and valves only."""
    plant = page.plant
    points = {each.data.get("name") for each in acts(page, "fit") if each.value == "open-test-point"}
    if step.act == "undo" and step.value in points:
        return source in plant.fuel or any(each.source == source for each in plant.circuits.values())
    return source in (*plant.electric, *plant.fuel) or page.touches(step, source)


def _back_on(page: Page, step: Step, source: str, *, on: bool) -> Iterator[Made]:
    lock, power = told(page, "unlock", source), told(page, "restore", source)
    if lock and (power or not on):
        both = [lock, power] if on and power else [lock]
        yield insert(page, step, f"{'unlock and restore' if on else 'unlock'} {source} before it", *both)


@danger("unlock", ADDED, "The padlock is off while hands are in; the next passer-by switches on")
def unlock_before_hands_go_in(page: Page) -> Iterator[Made]:
    for step in page.draft:
        for source in page.plant.electric:
            if page.touches(step, source):
                yield from _back_on(page, step, source, on=False)


@danger("restore", ADDED, "It is switched on again right before the hands go in")
def restore_before_hands_go_in(page: Page) -> Iterator[Made]:
    for step in page.draft:
        for source in page.plant.sources:
            if page.touches(step, source):
                yield from _back_on(page, step, source, on=True)


@danger("restore", BORDER, "It is left on; the next page takes it for off and locked and puts hands there")
def restore_before_a_page_that_needs_it_off(page: Page) -> Iterator[Made]:
    for step in acts(page, "end", "hand_over"):
        for source in page.plant.sources:
            if page.next_needs(step, source) and not on_way_in(page, step, source):
                yield from _back_on(page, step, source, on=True)


@danger("restore", EARLY, "It comes on while a cover is off, an alteration in, or hands inside")
def restore_before_it_is_closed(page: Page) -> Iterator[Made]:
    for step in acts(page, "restore"):
        source = str(step.value)
        tests = [lambda s, x=source: INSIDE(s) and _hurts_inside(page, s, x)]
        if step.value in page.plant.electric:
            covers = {each.value for each in page.draft if each.act == "close_cover"}
            tests += [is_("close_cover", c) for c in covers if step.value in page.plant.behind(str(c))]
        for test in tests:
            yield from ahead(page, [step], test)


@danger("restore", EARLY, "It comes on before the lock is off or the people are told")
def restore_before_lock_or_people(page: Page) -> Iterator[Made]:
    for step in acts(page, "restore"):
        # A lock of one's own that hangs there comes off before anybody can switch it on.
        yield from ahead(page, [step], lambda s, x=step.value: s.is_("unlock", x) and does_something(page, s))
        if step.value in (*page.plant.electric, *page.plant.fuel):
            yield from ahead(page, [step], is_("inform"))


@danger("restore", WRONG, "Another source comes on, under its lock, while somebody works on it")
def restore_another_source(page: Page) -> Iterator[Made]:
    for step in acts(page, "restore"):
        locked = [
            source
            for source in like_sources(page, step)
            # A line for whoever finds his own lock there is no sign that hands are in behind it.
            if page.draft.could_be(
                step.key, is_("lock", source), is_("unlock", source), at_first=page.begins_safe
            )
        ]
        yield from other(page, [step], lambda _, found=locked: found)  # type: ignore[misc]


@danger(
    "restore", NOT_DONE, "The boiler goes to service without feed water, or the building without its alarm"
)
def restore_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "restore"):
        kind = page.plant.kind(str(step.value))
        if kind in ("water", "foreign-fed"):
            served = any_of(
                ends("returned-to-service"),
                does("start_demand") if kind == "water" else ends("returned-to-service"),
            )
            off = page.draft.could_be(
                step.key, is_("isolate", step.value), is_("restore", step.value), at_first=page.begins_safe
            )
            if off and follows(page, step, served, is_("restore", step.value)):
                yield from out(page, [step])
