"""Unsafe control of fuel and fire: valves, joints, tightness, purge and flame, settings."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import ADDED, EARLY, LATE, NOT_DONE, WRONG, Made, danger
from tests.bench.control.plant import WIRES, Page
from tests.bench.control.tools import (
    Test,
    acts,
    ahead,
    any_of,
    behind,
    can_fire,
    changed,
    does,
    does_something,
    earlier,
    ends,
    follows,
    insert,
    insert_behind,
    is_,
    other,
    out,
    told,
    wrong_way,
)

ENDS = ("found", "not-reproduced", "returned-to-service", "left-safe")
OPENED = any_of(does("open_gas_train"), lambda s: s.is_("fit", "open-test-point") and "point" in s.data)


def _needs_it_shut(page: Page) -> Test:
    """Return a test for what burns or gasses somebody where this fuel is not shut off."""

    def harm(step: Step) -> bool:
        zone = step.act == "work_in" and any(page.touches(step, fuel) for fuel in page.plant.fuel)
        live = step.act == "measure" and step.value == "volts" and step.data.get("leads") != "clipped-dead"
        bridge = step.act == "fit" and step.value in WIRES
        return zone or live or bridge or OPENED(step) or ends("left-safe", "unsafe-left-off")(step)

    return harm


def _shutting(page: Page) -> Iterator[Step]:
    stops_all = [valve for valve in page.plant.part("fuel_valves") if page.plant.stops(valve) == "all-fuel"]
    for step in acts(page, "shut_valve"):
        at_first = not (page.begins_safe or "fuel-shut" in page.starts)
        again = any_of(is_("shut_valve", step.value), *(is_("isolate", fuel) for fuel in page.plant.fuel))
        again = any_of(again, *(is_("shut_valve", valve) for valve in stops_all))
        first = page.draft.could_be(step.key, is_("open_valve", step.value), again, at_first=at_first)
        if first and follows(page, step, _needs_it_shut(page), again):
            yield step


@danger(
    "shut_valve",
    NOT_DONE,
    "Gas can still come: the burner lights on the hands at the contacts or at the joint",
)
def shut_valve_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _shutting(page))


@danger("shut_valve", WRONG, "Another valve is shut; gas still comes to the burner")
def shut_another_valve(page: Page) -> Iterator[Made]:
    for step in _shutting(page):
        # The cock of all fuel in its place stops this one too.
        less = [valve for valve in page.plant.part("fuel_valves") if page.plant.stops(valve) != "all-fuel"]
        yield from other(page, [step], lambda _, valves=less: valves)


@danger("shut_valve", LATE, "Gas is still there when the leads are at the contacts or the joint is opened")
def shut_valve_behind_what_needs_it(page: Page) -> Iterator[Made]:
    for step in _shutting(page):
        yield from behind(page, [step], _needs_it_shut(page))


@danger("open_valve", EARLY, "Gas flows out of an open joint, onto a bridge, or past somebody's padlock")
def open_valve_too_early(page: Page) -> Iterator[Made]:
    for step in acts(page, "open_valve"):
        # A burner cock opened under a locked plant cock lets nothing through.
        first = page.plant.stops(str(step.value)) == "all-fuel"
        for test in (does("cap"), does("undo"), *(is_("unlock", fuel) for fuel in page.plant.fuel)):
            there = earlier(page, step, test)
            flows = first or (there is not None and there.act != "unlock" and can_fire(page, there))
            if flows and not (there and there.act == "undo" and str(there.value).startswith("pump-")):
                yield from ahead(page, [step], test)


@danger("open_valve", ADDED, "The burner can light while somebody holds leads in the panel")
def open_valve_before_a_live_reading(page: Page) -> Iterator[Made]:
    shut = {str(step.value) for step in _shutting(page)}
    for step in acts(page, "measure"):
        if step.value == "volts" and step.data.get("leads") != "clipped-dead":
            for valve in sorted(shut):
                made = told(page, "open_valve", valve)
                if made and earlier(page, step, is_("shut_valve", valve)):
                    yield insert(page, step, f"open_valve {valve} before it", made)
            return


@danger(
    "open_valve",
    WRONG,
    "The valve at the burner is opened in place of the one that fills the section under test",
)
def open_another_valve(page: Page) -> Iterator[Made]:
    for step in acts(page, "open_valve"):
        # Where the right one is opened before anything is tested, nothing is believed wrongly.
        tested = follows(page, step, does("leak_check", "measure", "watch"), is_("open_valve", step.value))
        if tested and does_something(page, step):
            for valve in page.plant.part("fuel_valves"):
                if valve != step.value and page.plant.stops(valve) != "all-fuel" == page.plant.stops(
                    str(step.value)
                ):
                    yield from other(page, [step], lambda _, v=valve: [v])  # type: ignore[misc]


@danger("open_gas_train", EARLY, "The joint is broken with gas behind it: escape, fire, explosion")
def open_gas_train_too_early(page: Page) -> Iterator[Made]:
    joint = list(acts(page, "open_gas_train"))
    for test in (does("watch"), does("lock"), does("isolate"), does("shut_valve"), does("identify")):
        yield from ahead(page, joint, test)
        yield from ahead(page, joint, test, first=True)


@danger("open_gas_train", WRONG, "Another joint is broken than the one whose section was vented")
def open_another_joint(page: Page) -> Iterator[Made]:
    for step in acts(page, "open_gas_train"):
        for point in page.plant.part("fuel_points"):
            if point != step.value:
                title = page.plant.part("fuel_points")[point]["title"]
                yield changed(page, step, f"open {point}", open_gas_train=point, do=f"Open it: {title}.")


@danger("open_gas_train", WRONG, "Somebody without the licence breaks a gas joint and makes it wrongly")
def gas_work_by_anybody(page: Page) -> Iterator[Made]:
    for step in acts(page, "open_gas_train"):
        for who in ("technician", "operator"):
            new = page.draft.copy()
            new.data["who"] = who
            yield new, step, f"by: {who}"


@danger(
    "open_gas_train",
    ADDED,
    "A page that nobody prepared for gas work breaks a joint; nothing is shut or checked",
)
def open_gas_train_in_passing(page: Page) -> Iterator[Made]:
    for step in acts(page, "stop_demand", "inspect", "observe"):
        if step.on and not page.begins_safe:
            for point in list(page.plant.part("fuel_points"))[:2]:
                title = page.plant.part("fuel_points")[point]["title"]
                made = {"do": f"Open it: {title}.", "open_gas_train": point}
                yield insert_behind(page, step, f"open_gas_train {point} behind it", made)


@danger("cap", NOT_DONE, "The joint stays open when gas comes back")
def cap_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, acts(page, "cap"))


@danger("cap", WRONG, "Another point is capped; the opened joint stays open")
def cap_another_joint(page: Page) -> Iterator[Made]:
    for step in acts(page, "cap"):
        for point in page.plant.part("fuel_points"):
            if point != step.value:
                title = page.plant.part("fuel_points")[point]["title"]
                yield changed(page, step, f"cap {point}", cap=point, do=f"Close it: {title}.")


@danger("cap", LATE, "Gas or test air is let in before the joint is closed")
def cap_behind_gas(page: Page) -> Iterator[Made]:
    for test in (does("restore"), does("open_valve"), does("leak_check"), does("unlock")):
        yield from behind(page, acts(page, "cap"), test)


def _opened(page: Page) -> set[str]:
    """Return the points that this page opens, or one that leads to it; what nobody opened leaks no more than before."""
    first = str(page.data.get("after", ""))
    pages = [page, *(each for each in page.shop.pages.values() if each.id == first or _leads(each, page))]
    steps = [step for each in pages for step in each.draft if OPENED(step)]
    return {str(step.value if step.act == "open_gas_train" else step.data["point"]) for step in steps}


def _leads(page: Page, to: Page) -> bool:
    return any(step.data.get("next") == to.id for step in page.draft)


def _gas_checks(page: Page) -> Iterator[Step]:
    opened = _opened(page)
    for step in acts(page, "leak_check"):
        if step.data.get("with", "gas") == "gas" and opened & set(step.value):
            yield step


@danger("leak_check", NOT_DONE, "A leak is left under gas; the room fills")
def leak_check_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _gas_checks(page))


@danger("leak_check", WRONG, "It leaks, and the work goes on as if tight")
def leak_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, acts(page, "leak_check"))


@danger("leak_check", WRONG, "A joint that was opened is not among those checked")
def leak_check_of_fewer_points(page: Page) -> Iterator[Made]:
    for step in _gas_checks(page):
        for point in step.value if len(step.value) > 1 else ():
            left = [each for each in step.value if each != point]
            # A point that is opened once more is brushed after that, before anybody starts or leaves.
            again = lambda each, p=point: each.act == "leak_check" and p in each.value  # noqa: E731
            if not follows(page, step, any_of(does("start_demand"), ends(*ENDS), does("hand_over")), again):
                continue
            yield changed(page, step, f"{point} is not checked", leak_check=left)


@danger("leak_check", WRONG, "Other points are checked than the one that was opened")
def leak_check_of_other_points(page: Page) -> Iterator[Made]:
    for step in _gas_checks(page):
        points = [point for point in page.plant.part("fuel_points") if point not in step.value]
        for point in points:
            yield changed(page, step, f"only {point} is checked", leak_check=[point])


@danger("leak_check", WRONG, "Air shows the coarse leaks only; what gas finds is never looked for")
def leak_check_with_air_only(page: Page) -> Iterator[Made]:
    for step in _gas_checks(page):
        yield changed(page, step, "with air", with_="air")


@danger("leak_check", EARLY, "Checked before gas is in or the joint closed: no bubble shows, whatever leaks")
def leak_check_too_early(page: Page) -> Iterator[Made]:
    gas = lambda s: s.act in ("restore", "open_valve") and does_something(page, s)  # noqa: E731
    for test in (gas, does("cap"), does("undo")):
        yield from ahead(page, _gas_checks(page), test)


@danger("leak_check", LATE, "The plant is left or started first; a leak fills the room meanwhile")
def leak_check_behind_the_start(page: Page) -> Iterator[Made]:
    # Behind the valve of the burner alone, what lies before it is as full of gas as it was.
    empties = lambda s: s.act == "shut_valve" and page.plant.stops(str(s.value)) == "all-fuel"  # noqa: E731
    yield from behind(page, _gas_checks(page), any_of(does("start_demand"), empties))
