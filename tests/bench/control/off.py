"""Unsafe control of energies: off, locked, proved, tried, and back on."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import ADDED, BORDER, EARLY, LATE, NOT_DONE, SHORT, WRONG, Made, danger
from tests.bench.control.plant import Page
from tests.bench.control.tools import (
    acts,
    ahead,
    any_of,
    behind,
    changed,
    does,
    earlier,
    ends,
    follows,
    hands,
    insert,
    is_,
    later,
    on_way_in,
    open_to,
    other,
    out,
    told,
    wrong_way,
)


def _matters(page: Page, act: str) -> Iterator[Step]:
    """Return the steps whose source is on until then and hurts somebody later."""
    for step in acts(page, act):
        source = str(step.value)
        again = any_of(is_(act, source), is_("restore", source))
        first = page.draft.could_be(
            step.key, is_("unlock" if act == "lock" else "restore", source), is_(act, source), at_first=not page.begins_safe
        )
        if first and not _shut(page, step) and follows(page, step, open_to(page, source), again):
            yield step


def _shut(page: Page, step: Step) -> bool:
    """Whether the cock that stops all of this fuel is shut in a step of its own before it."""
    shut = does("shut_valve")
    fuel = step.act == "isolate" and step.value in page.plant.fuel
    return fuel and earlier(page, step, lambda s: shut(s) and page.plant.stops(str(s.value)) == "all-fuel") is not None


def _others(page: Page, step: Step) -> list[str]:
    same = page.plant.electric if step.value in page.plant.electric else list(page.plant.sources)
    return [source for source in same if source != step.value]


@danger("isolate", NOT_DONE, "It stays on under the padlock; hands go to live, hot or burning parts")
def isolate_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _matters(page, "isolate"))


@danger("isolate", WRONG, "The wrong source is switched off; the one that reaches the hands stays on")
def isolate_another_source(page: Page) -> Iterator[Made]:
    yield from other(page, _matters(page, "isolate"), lambda step: _others(page, step))


@danger("isolate", LATE, "Locked, proved or touched before it is off: whoever is at it gets the shock or the burn")
def isolate_behind_what_needs_it(page: Page) -> Iterator[Made]:
    for step in _matters(page, "isolate"):
        yield from behind(page, [step], any_of(hands(page, str(step.value)), is_("prove_dead", step.value)))
        yield from behind(page, [step], is_("lock", step.value))


@danger("lock", NOT_DONE, "Somebody who knows of nothing switches it on while hands are in, or on plant left as unsafe")
def lock_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _matters(page, "lock"))


@danger("lock", WRONG, "The padlock hangs on another handle; the one that counts can be switched on by anybody")
def lock_another_source(page: Page) -> Iterator[Made]:
    yield from other(page, _matters(page, "lock"), lambda step: _others(page, step))


@danger("lock", LATE, "Between proof and padlock anybody can switch it on; the hands are already in")
def lock_behind_what_needs_it(page: Page) -> Iterator[Made]:
    for step in _matters(page, "lock"):
        source = str(step.value)
        yield from behind(page, [step], any_of(hands(page, source), does("clip", "work_in", "replace", "fit")))
        yield from behind(page, [step], any_of(is_("prove_dead", source), is_("prove_gone", source)))


def _proofs(page: Page, *which: str) -> Iterator[Step]:
    """Return the proofs that hands, or the next page, rely on."""
    for step in acts(page, *(which or ("prove_dead", "prove_gone"))):
        source = str(step.value)
        moving = page.plant.kind(source) == "foreign-fed"
        again = any_of(is_(step.act, source), is_("restore", source))
        near = does("unclip", "replace", "work_in", "clip") if moving else hands(page, source)
        need = any_of(near, lambda each, s=source: page.next_needs(each, s))  # type: ignore[misc]
        if follows(page, step, need, again):
            yield step


@danger("prove_dead", NOT_DONE, "A wrong or welded isolator left it live; the first touch is the shock")
def prove_dead_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _proofs(page, "prove_dead"))


@danger("prove_dead", WRONG, "The meter said live, or did not read, and the hands go in all the same")
def prove_dead_live_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, acts(page, "prove_dead"))


@danger("prove_dead", WRONG, "Another source is proved; the one under the hands was never measured")
def prove_dead_another_source(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        for source in (each for each in page.plant.electric if each != step.value):
            for donor in acts(page, "prove_dead"):
                if donor.value == source:
                    fields = {"prove_dead": source, "do": donor.data["do"], "between": donor.data.get("between")}
                    yield changed(page, step, f"prove_dead {source} instead", **fields)
                    break


@danger("prove_dead", WRONG, "A meter with a flat battery reads nothing on live conductors, and nobody notices")
def prove_dead_without_a_known_source(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        if "known_source" in step.data:
            yield changed(page, step, "meter not checked on a known source", known_source=None)


@danger("prove_dead", WRONG, "A terminal fed from behind was not among the pairs measured; the hands are on it")
def prove_dead_half_of_the_pairs(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        pairs = step.data.get("between", [])
        known = set(page.plant.sources.get(str(step.value), {}).get("conductors", ()))
        half = pairs[: len(pairs) // 2]
        lost = {point for pair in pairs for point in pair.split(" to ")} - {p for pair in half for p in pair.split(" to ")}
        if half and lost - known - {"earth", "PE"}:
            yield changed(page, step, f"only {', '.join(half)}", between=half)


@danger("prove_dead", LATE, "Hands are at the terminals before anybody knows that they are dead")
def prove_dead_behind_hands(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        near = any_of(hands(page, str(step.value)), does("clip", "unclip", "replace", "work_in"))
        yield from behind(page, [step], near)


@danger("prove_dead", EARLY, "Proved before the padlock is on: it is live again by the time the hands go in")
def prove_dead_before_the_lock(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        yield from ahead(page, [step], is_("lock", step.value))


@danger("wait", ADDED, "Time proves nothing: what did not bleed, cool or die away is still there under the hands")
def wait_in_place_of_the_proof(page: Page) -> Iterator[Made]:
    for step in _proofs(page):
        new = page.draft.copy()
        made = new.new(do="Wait a while until nothing is left.", wait="10 min", for_="Whatever is stored goes away")
        new.put_before(step.key, made)
        new.take_out(step.key)
        yield new, step, f"a wait of 10 min in place of {step.act} {step.value}"


@danger("prove_gone", NOT_DONE, "Steam, heat, a turning wheel or gas is still there when the hands go in")
def prove_gone_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _proofs(page, "prove_gone"))


@danger("prove_gone", WRONG, "It is still there and the hands go in all the same: scald, burn, caught fingers")
def prove_gone_still_there_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, acts(page, "prove_gone"))


@danger("prove_gone", WRONG, "Time alone is called a proof; a leaking valve or a stuck gauge holds it")
def prove_gone_by_time(page: Page) -> Iterator[Made]:
    for step in acts(page, "prove_gone"):
        for said in ("20 minutes have passed", "It was switched off an hour ago"):
            yield changed(page, step, f"by: {said}", by=said)


@danger("prove_gone", WRONG, "Another energy is proved gone; the one that reaches the hands is not")
def prove_gone_another_source(page: Page) -> Iterator[Made]:
    yield from other(page, _proofs(page, "prove_gone"), lambda step: page.plant.sources)


@danger("prove_gone", LATE, "The hands are in before anybody looked whether it is gone")
def prove_gone_behind_hands(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_gone"):
        yield from behind(page, [step], hands(page, str(step.value)))


@danger("try_start", NOT_DONE, "The wrong isolator is locked; the fan starts on the hands at the next call")
def try_start_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, acts(page, "try_start"))


@danger("try_start", WRONG, "It started, and the hands go in all the same")
def try_start_live_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, acts(page, "try_start"))


@danger("try_start", LATE, "The hands are at the wheel before the start was tried, or in it while it is tried")
def try_start_behind_hands(page: Page) -> Iterator[Made]:
    yield from behind(page, acts(page, "try_start"), does("work_in", "replace"))


@danger("try_start", EARLY, "Tried before the locks are on, it really starts; or people stand at it untold")
def try_start_too_early(page: Page) -> Iterator[Made]:
    for test in (does("lock"), does("inform")):
        yield from ahead(page, acts(page, "try_start"), test)


@danger("guard", NOT_DONE, "What stays live beside the work is bare; a slipping spanner or sleeve touches it")
def guard_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, acts(page, "guard"))


@danger("guard", WRONG, "Another part is shrouded; the live one beside the work is bare")
def guard_another_source(page: Page) -> Iterator[Made]:
    for step in acts(page, "guard"):
        for source in page.plant.electric:
            if source != step.value:
                yield changed(page, step, f"guard {source} instead", guard=source, do="Put the clear shroud over it.")


@danger("guard", LATE, "The hands are beside live metal before the shroud is on")
def guard_behind_the_work(page: Page) -> Iterator[Made]:
    yield from behind(page, acts(page, "guard"), does("work_in", "replace"))


@danger("unlock", NOT_DONE, "Power comes back over a padlock: it is cut off, or somebody's life hangs on it")
def unlock_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "unlock"):
        if follows(page, step, is_("restore", step.value), is_("unlock", step.value)):
            yield from out(page, [step])


@danger("unlock", WRONG, "The lock of another source comes off, on which somebody still works")
def unlock_another_source(page: Page) -> Iterator[Made]:
    for step in acts(page, "unlock"):
        if follows(page, step, is_("restore", step.value), is_("unlock", step.value)):
            yield from other(page, [step], lambda each: _others(page, each))


@danger("unlock", EARLY, "The lock comes off while hands, leads or an alteration are still in")
def unlock_before_hands_are_out(page: Page) -> Iterator[Made]:
    inside = does("undo", "unclip", "work_in", "replace", "cap")
    for step in acts(page, "unlock"):
        yield from ahead(page, [step], lambda each, s=str(step.value): inside(each) or page.touches(each, s))  # type: ignore[misc]


@danger("unlock", EARLY, "People at the plant are not told before the lock comes off; it starts beside them")
def unlock_before_the_people_are_told(page: Page) -> Iterator[Made]:
    for step in acts(page, "unlock"):
        yield from ahead(page, [step], is_("inform"))


INSIDE = any_of(does("cap", "unclip", "work_in", "replace"), lambda s: s.act == "undo" and not s.value.startswith("pump-"))


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
        harms = source in (*page.plant.electric, *page.plant.fuel)
        tests = [lambda s, x=source, h=harms: INSIDE(s) and (h or page.touches(s, x))]
        if step.value in page.plant.electric:
            covers = {each.value for each in page.draft if each.act == "close_cover"}
            tests += [is_("close_cover", c) for c in covers if step.value in page.plant.behind(str(c))]
        for test in tests:
            yield from ahead(page, [step], test)


@danger("restore", EARLY, "It comes on before the lock is off or the people are told")
def restore_before_lock_or_people(page: Page) -> Iterator[Made]:
    for step in acts(page, "restore"):
        yield from ahead(page, [step], is_("unlock", step.value))
        if step.value in (*page.plant.electric, *page.plant.fuel):
            yield from ahead(page, [step], is_("inform"))


@danger("restore", WRONG, "Another source comes on, under its lock, while somebody works on it")
def restore_another_source(page: Page) -> Iterator[Made]:
    for step in acts(page, "restore"):
        locked = [
            source
            for source in _others(page, step)
            if page.draft.could_be(step.key, is_("lock", source), is_("unlock", source), at_first=False)
            or follows(page, step, is_("unlock", source))
        ]
        yield from other(page, [step], lambda _, found=locked: found)  # type: ignore[misc]


@danger("restore", NOT_DONE, "The boiler goes to service without feed water, or the building without its alarm")
def restore_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "restore"):
        if page.plant.kind(str(step.value)) in ("water", "foreign-fed"):
            served = any_of(ends("returned-to-service"), does("start_demand"))
            if follows(page, step, served, is_("restore", step.value)):
                yield from out(page, [step])
