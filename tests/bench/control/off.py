"""Unsafe control of energies: off, locked, proved, tried, and back on."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import ADDED, EARLY, LATE, NOT_DONE, WRONG, Made, danger
from tests.bench.control.plant import Page
from tests.bench.control.tools import (
    acts,
    ahead,
    any_of,
    behind,
    changed,
    does,
    earlier,
    follows,
    hands,
    is_,
    like_sources,
    open_to,
    other,
    out,
    wrong_way,
)


def _matters(page: Page, act: str) -> Iterator[Step]:
    """Return the steps whose source is on until then and hurts somebody later."""
    for step in acts(page, act):
        source = str(step.value)
        again = any_of(is_(act, source), is_("restore", source))
        if page.plant.kind(source) == "heat":
            # Nothing switches heat off: the thermometer says whether it is gone.
            again = any_of(again, is_("prove_gone", source))
        first = page.draft.could_be(
            step.key,
            is_("unlock" if act == "lock" else "restore", source),
            is_(act, source),
            at_first=not page.begins_safe,
        )
        if first and not _shut(page, step) and follows(page, step, open_to(page, source), again):
            yield step


def _shut(page: Page, step: Step) -> bool:
    """Whether the cock that stops all of this fuel is shut in a step of its own before it."""
    shut = does("shut_valve")
    fuel = step.act == "isolate" and step.value in page.plant.fuel
    return (
        fuel
        and earlier(page, step, lambda s: shut(s) and page.plant.stops(str(s.value)) == "all-fuel")
        is not None
    )


@danger("isolate", NOT_DONE, "It stays on under the padlock; hands go to live, hot or burning parts")
def isolate_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _matters(page, "isolate"))


@danger("isolate", WRONG, "The wrong source is switched off; the one that reaches the hands stays on")
def isolate_another_source(page: Page) -> Iterator[Made]:
    yield from other(page, _matters(page, "isolate"), lambda step: like_sources(page, step))


@danger(
    "isolate", LATE, "Locked, proved or touched before it is off: whoever is at it gets the shock or the burn"
)
def isolate_behind_what_needs_it(page: Page) -> Iterator[Made]:
    for step in _matters(page, "isolate"):
        yield from behind(page, [step], any_of(hands(page, str(step.value)), is_("prove_dead", step.value)))
        yield from behind(page, [step], is_("lock", step.value))


@danger(
    "lock",
    NOT_DONE,
    "Somebody who knows of nothing switches it on while hands are in, or on plant left as unsafe",
)
def lock_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _matters(page, "lock"))


@danger(
    "lock", WRONG, "The padlock hangs on another handle; the one that counts can be switched on by anybody"
)
def lock_another_source(page: Page) -> Iterator[Made]:
    yield from other(page, _matters(page, "lock"), lambda step: like_sources(page, step))


@danger("lock", LATE, "Between proof and padlock anybody can switch it on; the hands are already in")
def lock_behind_what_needs_it(page: Page) -> Iterator[Made]:
    for step in _matters(page, "lock"):
        source = str(step.value)
        yield from behind(
            page, [step], any_of(hands(page, source), does("clip", "work_in", "replace", "fit"))
        )
        yield from behind(page, [step], any_of(is_("prove_dead", source), is_("prove_gone", source)))


def _proofs(page: Page, *which: str) -> Iterator[Step]:
    """Return the proofs that hands, or the next page, rely on."""
    for step in acts(page, *(which or ("prove_dead", "prove_gone"))):
        source = str(step.value)
        if step.act == "prove_dead" and "proved-dead" in page.starts:
            continue  # proved on the page before, and locked since
        again = any_of(is_(step.act, source), is_("restore", source))
        need = any_of(
            lambda each, s=source: each.act != "unclip" and page.touches(each, s),
            lambda each, s=source: page.next_needs_proof(each, s),
        )
        first = page.draft.could_be(step.key, is_("restore", source), is_(step.act, source), at_first=True)
        if first and follows(page, step, need, again):
            yield step


@danger("prove_dead", NOT_DONE, "A wrong or welded isolator left it live; the first touch is the shock")
def prove_dead_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _proofs(page, "prove_dead"))


@danger("prove_dead", WRONG, "The meter said live, or did not read, and the hands go in all the same")
def prove_dead_live_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, _proofs(page, "prove_dead"))


@danger("prove_dead", WRONG, "Another source is proved; the one under the hands was never measured")
def prove_dead_another_source(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        for source in (each for each in page.plant.electric if each != step.value):
            for donor in acts(page, "prove_dead"):
                if donor.value == source:
                    fields = {
                        "prove_dead": source,
                        "do": donor.data["do"],
                        "between": donor.data.get("between"),
                    }
                    yield changed(page, step, f"prove_dead {source} instead", **fields)
                    break


@danger(
    "prove_dead", WRONG, "A meter with a flat battery reads nothing on live conductors, and nobody notices"
)
def prove_dead_without_a_known_source(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        if "known_source" in step.data:
            yield changed(page, step, "meter not checked on a known source", known_source=None)


@danger(
    "prove_dead", WRONG, "A terminal fed from behind was not among the pairs measured; the hands are on it"
)
def prove_dead_half_of_the_pairs(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        pairs = step.data.get("between", [])
        named = page.plant.circuits.values()
        weak = {point for circuit in named if not circuit.shocks for point in circuit.points}
        known = weak | set(page.plant.sources.get(str(step.value), {}).get("conductors", ()))
        half = pairs[: len(pairs) // 2]
        lost = {point for pair in pairs for point in pair.split(" to ")} - {
            p for pair in half for p in pair.split(" to ")
        }
        if half and lost - known - {"earth", "PE"}:
            yield changed(page, step, f"only {', '.join(half)}", between=half)


@danger("prove_dead", LATE, "Hands are at the terminals before anybody knows that they are dead")
def prove_dead_behind_hands(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        yield from behind(page, [step], hands(page, str(step.value)))


@danger("prove_dead", EARLY, "Proved before the padlock is on: it is live again by the time the hands go in")
def prove_dead_before_the_lock(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_dead"):
        yield from ahead(page, [step], is_("lock", step.value))


@danger(
    "wait", ADDED, "Time proves nothing: what did not bleed, cool or die away is still there under the hands"
)
def wait_in_place_of_the_proof(page: Page) -> Iterator[Made]:
    for step in _proofs(page):
        new = page.draft.copy()
        made = new.new(
            do="Wait a while until nothing is left.", wait="10 min", for_="Whatever is stored goes away"
        )
        new.put_before(step.key, made)
        new.take_out(step.key)
        yield new, step, f"a wait of 10 min in place of {step.act} {step.value}"


@danger("prove_gone", NOT_DONE, "Steam, heat, a turning wheel or gas is still there when the hands go in")
def prove_gone_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _proofs(page, "prove_gone"))


@danger(
    "prove_gone", WRONG, "It is still there and the hands go in all the same: scald, burn, caught fingers"
)
def prove_gone_still_there_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, _proofs(page, "prove_gone"))


@danger("prove_gone", WRONG, "Time alone is called a proof; a leaking valve or a stuck gauge holds it")
def prove_gone_by_time(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_gone"):
        for said in ("20 minutes have passed", "It was switched off an hour ago"):
            yield changed(page, step, f"by: {said}", by=said)


@danger("prove_gone", WRONG, "Another energy is proved gone; the one that reaches the hands is not")
def prove_gone_another_source(page: Page) -> Iterator[Made]:
    yield from other(page, _proofs(page, "prove_gone"), lambda step: page.plant.sources)


@danger("prove_gone", LATE, "The hands are in before anybody looked whether it is gone")
def prove_gone_behind_hands(page: Page) -> Iterator[Made]:
    for step in _proofs(page, "prove_gone"):
        yield from behind(page, [step], hands(page, str(step.value)))
