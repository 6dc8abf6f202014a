"""Gas work by the wrong person, under pressure, or without its leak check."""

from __future__ import annotations

from collections.abc import Iterator

from tests.mutants.draft import Draft
from tests.mutants.kinds import Kinds
from tests.mutants.moves import answers, ends, undead
from tests.mutants.site import Site

KINDS = Kinds()


@KINDS.add("The joint was opened and is never proved tight.")
def leak_check_forgotten(site: Site, draft: Draft) -> Iterator[Draft]:
    # A test point can be one for air or heat; where gas was opened, its author put a leak check.
    if opened(draft) and draft.having("leak_check"):
        yield draft.copy().forget(*draft.having("leak_check"))


@KINDS.add("Bubbles, and the gas goes on all the same.")
def leak_found_and_gas_on(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("leak_check"):
        for answer in ("no", "not-sure"):
            changed = answers(draft, index, answer, "yes")
            if changed:
                yield changed


@KINDS.add("The opening stays open.")
def cap_forgotten(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("cap"):
        yield draft.copy().forget(index)


@KINDS.add("Gas comes first and the cap after it.")
def capped_under_gas(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("cap"):
        cap = {"do": "Close it.", "cap": draft.steps[index]["cap"]}
        for comes in (draft.having("open_valve", *site.valves), draft.having("restore", site.fuel)):
            later = [i for i in comes if i in draft.following(index)]
            if later and {"outcomes", "go"}.isdisjoint(draft.steps[later[0]]):
                changed = draft.copy().forget(index)
                changed.steps.insert(later[0] + 1, cap)
                yield changed


@KINDS.add("Something else is capped than was opened.")
def another_capped(site: Site, draft: Draft) -> Iterator[Draft]:
    for index in draft.having("cap"):
        changed = draft.copy()
        others = (point.id for point in site.equipment.fuel_points if point.id != draft.steps[index]["cap"])
        changed.steps[index]["cap"] = next(others)
        yield changed


@KINDS.add("The train is opened while it carries gas.")
def gas_opened_under_pressure(site: Site, draft: Draft) -> Iterator[Draft]:
    if opened(draft) and draft.data.get("who") == "licensed-gas":
        first = min(opened(draft))
        shut = [i for i in [*draft.having("shut_valve"), *draft.having("isolate", site.fuel)] if i < first]
        yield undead(draft.copy()).forget(*shut)


@KINDS.add("Gas work by somebody without a licence.")
def anybody_opens_gas(site: Site, draft: Draft) -> Iterator[Draft]:
    if draft.data.get("who") == "licensed-gas" and opened(draft):
        for who in ("technician", "operator", "licensed-electric"):
            changed = draft.copy()
            changed.data["who"] = who
            yield changed


@KINDS.add("The burner is started on a train that is not proved tight.")
def started_before_leak_check(site: Site, draft: Draft) -> Iterator[Draft]:
    if draft.having("open_gas_train"):
        for index in draft.having("open_valve", *(valve.id for valve in site.train_valves)):
            changed = draft.copy()
            yield changed.before(index + 1, {"do": "Start it.", "start_demand": "Burner switch on"})


@KINDS.add("A joint is opened at the end and left so.")
def left_open_for_tomorrow(site: Site, draft: Draft) -> Iterator[Draft]:
    if draft.data.get("who") == "licensed-gas":
        for index in ends(draft, "left-safe"):
            yield draft.copy().before(
                index, {"do": "Open it.", "open_gas_train": site.equipment.fuel_points[0].id}
            )


def opened(draft: Draft) -> list[int]:
    """Return the steps that open the train, or a test point."""
    return [*draft.having("open_gas_train"), *draft.having("fit", "open-test-point")]
