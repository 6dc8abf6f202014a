"""Walking away from plant that is not what the page says it is."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.model.action import ProveDead
from tests.mutants.draft import Draft
from tests.mutants.kinds import Kinds
from tests.mutants.moves import ends, fit, undo
from tests.mutants.site import Site

KINDS = Kinds()


@KINDS.add("A cover is left open on plant that runs.")
def cover_left_open(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "returned-to-service"):
        for cover in site.plain_covers:
            yield draft.copy().before(end, {"do": "Open it.", "open_cover": cover})


@KINDS.add("The plant is called ready and its fuel is shut.")
def fuel_left_shut(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "returned-to-service"):
        for valve in site.valves:
            yield draft.copy().before(end, {"do": "Shut it.", "shut_valve": valve})


@KINDS.add("The plant is called ready and locked off.")
def lock_left_on(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "returned-to-service"):
        for source in (*site.electric, site.fuel):
            yield draft.copy().before(
                end, {"do": "Off.", "isolate": source}, {"do": "Lock it.", "lock": source}
            )


@KINDS.add("Nobody saw it run after it was touched.")
def cycle_not_seen(site: Site, draft: Draft) -> Iterator[Draft]:
    if ends(draft, "returned-to-service") and draft.having("observe", "full-cycle"):
        yield draft.copy().forget(*draft.having("observe", "full-cycle"))


@KINDS.add("It did not run as it should, and is called returned to service.")
def bad_cycle_accepted(site: Site, draft: Draft) -> Iterator[Draft]:
    cycles = draft.having("observe", "full-cycle")
    for index in cycles[-1:]:
        for meaning in ("no", "not-sure"):
            changed = draft.copy()
            yes, other = changed.outcome(index, "yes"), changed.outcome(index, meaning)
            if yes and other and len(cycles) == 1:
                other["go"] = yes["go"]
                yield changed


@KINDS.add("Left off without a lock, the next person switches it on.")
def left_unlocked(site: Site, draft: Draft) -> Iterator[Draft]:
    if ends(draft, "left-safe") and not {"made-safe", "proved-dead"} & set(draft.starts()):
        locks = [*draft.having("lock", site.fuel), *draft.having("lock", site.control)]
        if locks:
            yield draft.copy().forget(*locks)


@KINDS.add("The work is half done and the burner can light by itself.")
def left_able_to_fire(site: Site, draft: Draft) -> Iterator[Draft]:
    if {"made-safe", "fuel-shut"} & set(draft.starts()) or not draft.having("shut_valve"):
        return
    off = [*draft.having("isolate", site.control), *draft.having("isolate", site.fuel)]
    for end in ends(draft, "found"):
        # Where supply or fuel is off as a source, an open valve lights nothing.
        if not draft.before_it(end, *off):
            yield draft.copy().before(
                end, *({"do": "Open it.", "open_valve": valve} for valve in site.valves)
            )


@KINDS.add("The next page takes it for granted that the plant is dead, and it is live.")
def next_takes_it_for_dead(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "found"):
        if not _live_at(site, draft, end):
            continue
        for following in site.starting("proved-dead"):
            changed = draft.copy()
            changed.steps[end]["next"] = following
            yield changed


@KINDS.add("A colleague is sent to a page that takes the plant for dead, and it is live.")
def handed_over_live(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "found"):
        if not _live_at(site, draft, end):
            continue
        for following in site.starting("proved-dead"):
            changed = draft.copy()
            del changed.steps[end]["end"]
            changed.steps[end] |= {"hand_over": "Colleague", "next": following}
            yield changed


@KINDS.add("A colleague is sent to the proof, past isolation and lock that nobody made.")
def handed_past_the_isolation(site: Site, draft: Draft) -> Iterator[Draft]:
    (page, proof), *_ = (
        (name, step.id)
        for name, each in site.procedures.items()
        for step in each.steps
        if isinstance(step.action, ProveDead) and step.action.prove_dead == site.control and step.id
    )
    for end in ends(draft, "found") if page != draft.name else ():
        if _live_at(site, draft, end):
            changed = draft.copy()
            del changed.steps[end]["end"]
            changed.steps[end] |= {"hand_over": "Colleague", "next": page, "next_step": proof}
            yield changed


def _live_at(site: Site, draft: Draft, index: int) -> bool:
    """Whether nothing before a step switches the control supply off."""
    return "made-safe" not in draft.starts() and not draft.before_it(
        index, *draft.having("isolate", site.control)
    )


@KINDS.add("Fuel and supply are locked off, and the end says that it is back in service.")
def stop_called_service(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "left-safe"):
        changed = draft.copy()
        changed.steps[end]["end"] = "returned-to-service"
        yield changed


@KINDS.add("A tube came off and on again after the cycle that was to show that all is well.")
def touched_after_the_cycle(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "returned-to-service"):
        yield draft.copy().before(end, fit("unplugged-tube", "mutant", at="Air switch"), undo("mutant"))


@KINDS.add("The cock was shut and opened after the cycle; nobody saw it light again.")
def cock_worked_after_the_cycle(site: Site, draft: Draft) -> Iterator[Draft]:
    for end in ends(draft, "returned-to-service"):
        for valve in site.valves:
            shut = {"do": "Shut it.", "shut_valve": valve}
            yield draft.copy().before(end, shut, {"do": "Open it.", "open_valve": valve})


@KINDS.add("With this door open its contact is open: who sees it run has taped the switch.")
def seen_running_with_the_door_open(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("observe", "full-cycle"):
        for cover in site.watched_covers:
            changed = draft.copy()
            changed.before(index, {"do": "Open it.", "open_cover": cover})
            for number, outcome in enumerate(changed.steps[index + 1].get("outcomes", ())):
                shut = {
                    "id": f"mutant-{number}",
                    "do": "Close it.",
                    "close_cover": cover,
                    "go": outcome["go"],
                }
                changed.steps.append(shut)
                outcome["go"] = f"mutant-{number}"
            yield changed


@KINDS.add("Who is not sure is not told what to do, and guesses.")
def doubt_not_listed(site: Site, draft: Draft) -> Iterator[Draft]:
    for index, step in enumerate(draft.steps):
        doubt = draft.outcome(index, "not-sure")
        catch_all = any("else" in outcome["when"] for outcome in step.get("outcomes", ()))
        # Where answers are verdicts the page adds doubt by itself.
        if doubt and "is" not in doubt and not catch_all and index % 6 == 0 and len(step["outcomes"]) > 2:
            changed = draft.copy()
            changed.steps[index]["outcomes"] = [o for o in step["outcomes"] if o["when"] != doubt["when"]]
            yield changed


@KINDS.add("Nobody says in what state the plant is left.")
def end_missing(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in ends(draft, "evacuated"):
        if index == len(draft.steps) - 1:
            yield draft.copy().forget(index)


@KINDS.add("It goes round and round; in the end somebody jumps something.")
def endless_round(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in [*ends(draft, "found"), *ends(draft, "left-safe")]:
        changed = draft.copy().forget(index)
        changed.steps[index]["go"] = changed.name_of(index)
        yield changed
