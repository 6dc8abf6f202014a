"""Unsafe control of fuel and fire: valves, joints, tightness, purge and flame, settings."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import ADDED, EARLY, LATE, NOT_DONE, SHORT, WRONG, Made, danger
from tests.bench.control.plant import WIRES, Page
from tests.bench.control.tools import (
    Test,
    acts,
    ahead,
    any_of,
    behind,
    changed,
    copy_of,
    does,
    earlier,
    ends,
    follows,
    insert,
    insert_behind,
    is_,
    later,
    on_way_in,
    other,
    out,
    told,
    wrong_way,
)

SERVICE = ends("returned-to-service")
OPENED = any_of(does("open_gas_train"), is_("fit", "open-test-point"))


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


@danger("shut_valve", NOT_DONE, "Gas can still come: the burner lights on the hands at the contacts or at the joint")
def shut_valve_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _shutting(page))


@danger("shut_valve", WRONG, "Another valve is shut; gas still comes to the burner")
def shut_another_valve(page: Page) -> Iterator[Made]:
    for step in _shutting(page):
        yield from other(page, [step], lambda _: page.plant.part("fuel_valves"))


@danger("shut_valve", LATE, "Gas is still there when the leads are at the contacts or the joint is opened")
def shut_valve_behind_what_needs_it(page: Page) -> Iterator[Made]:
    for step in _shutting(page):
        yield from behind(page, [step], _needs_it_shut(page))


@danger("open_valve", EARLY, "Gas flows out of an open joint, onto a bridge, or beside people who know of nothing")
def open_valve_too_early(page: Page) -> Iterator[Made]:
    for step in acts(page, "open_valve"):
        for test in (does("cap"), does("undo"), does("close_cover"), does("inform"), does("unlock")):
            there = earlier(page, step, test)
            # A burner cock opened under a locked plant cock lets nothing through.
            flows = page.plant.stops(str(step.value)) == "all-fuel" or (there is not None and _fires(page, there))
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


@danger("open_valve", WRONG, "The valve at the burner is opened in place of the one that fills the section under test")
def open_another_valve(page: Page) -> Iterator[Made]:
    for step in acts(page, "open_valve"):
        if follows(page, step, does("leak_check", "measure", "watch")):
            for valve in page.plant.part("fuel_valves"):
                if valve != step.value and page.plant.stops(valve) != page.plant.stops(str(step.value)):
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


@danger("open_gas_train", ADDED, "A page that nobody prepared for gas work breaks a joint; nothing is shut or checked")
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


def _gas_checks(page: Page) -> Iterator[Step]:
    return (step for step in acts(page, "leak_check") if step.data.get("with", "gas") == "gas")


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
    for test in (does("restore"), does("open_valve"), does("cap"), does("undo")):
        yield from ahead(page, _gas_checks(page), test)


@danger("leak_check", LATE, "The plant is left or started first; a leak fills the room meanwhile")
def leak_check_behind_the_start(page: Page) -> Iterator[Made]:
    yield from behind(page, _gas_checks(page), does("start_demand", "shut_valve"))


@danger("observe", NOT_DONE, "Gas from the last try is still in the chamber when it lights: explosion")
def purge_not_seen(page: Page) -> Iterator[Made]:
    for step in acts(page, "observe"):
        lit = any_of(is_("observe", "firing"), is_("observe", "full-cycle"), does("prove_trip"))
        if step.value == "purge" and follows(page, step, lit, is_("observe", "purge")):
            yield from out(page, [step])


@danger("observe", NOT_DONE, "Nobody sees it stop and start by itself; the next shift stands beside the surprise")
def full_cycle_not_seen(page: Page) -> Iterator[Made]:
    for step in acts(page, "observe"):
        if step.value == "full-cycle" and follows(page, step, SERVICE, is_("observe", "full-cycle")):
            yield from out(page, [step])


@danger("observe", NOT_DONE, "A blocked opening starves the burner of air; carbon monoxide fills the room")
def air_supply_not_seen(page: Page) -> Iterator[Made]:
    yield from out(page, (step for step in acts(page, "observe") if step.value == "air-supply"))


@danger("observe", NOT_DONE, "Without a flame the trip stops nothing: the device is believed and never stopped a burner")
def flame_not_seen_before_its_trip(page: Page) -> Iterator[Made]:
    for step in acts(page, "observe"):
        if step.value == "firing" and step.on and later(page, step, lambda _: True) is not None:
            if page.draft[step.on].act == "prove_trip":
                yield from out(page, [step])


@danger("observe", NOT_DONE, "The fan still runs down when the cover comes off: fingers")
def standstill_not_seen(page: Page) -> Iterator[Made]:
    moves = any(page.plant.kind(source) == "motion" for source in page.plant.sources)
    for step in acts(page, "observe"):
        inside = any_of(does("work_in"), lambda s: s.act in ("fit", "undo") and s.data.get("fit") in ("hand-drive",))
        barrier = any_of(does("prove_gone"), is_("observe", "standstill"), does("start_demand"))
        if step.value == "standstill" and moves and follows(page, step, any_of(inside, _at_the_wheel(page)), barrier):
            yield from out(page, [step])


def _at_the_wheel(page: Page) -> Test:
    made = {str(each.data.get("name")) for each in acts(page, "fit") if each.value in ("hand-drive", "belt-off")}
    return lambda step: step.act == "undo" and str(step.value) in made


@danger("observe", WRONG, "It was not all seen, and it goes on all the same: unpurged, unproved or short of air")
def not_seen_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, acts(page, "observe"))


@danger("observe", WRONG, "A look at something lesser stands in for purge, full cycle or air")
def something_lesser_seen(page: Page) -> Iterator[Made]:
    lesser = {"purge": ["start", "firing"], "full-cycle": ["start", "firing", "purge"], "air-supply": ["start"]}
    words = {"start": "Watch the fan start.", "firing": "Watch the flame.", "purge": "Watch the whole purge."}
    for step in acts(page, "observe"):
        for word in lesser.get(str(step.value), ()):
            yield changed(page, step, f"{word} in place of {step.value}", observe=word, do=words[word])


@danger("observe", LATE, "The purge is looked for when the burner is lit already")
def purge_behind_the_flame(page: Page) -> Iterator[Made]:
    purge = [step for step in acts(page, "observe") if step.value == "purge"]
    yield from behind(page, purge, any_of(is_("observe", "firing"), does("prove_trip")))


@danger("start_demand", EARLY, "It starts beside people who know of nothing, or with a cover, joint or bridge open")
def start_too_early(page: Page) -> Iterator[Made]:
    for test in (does("inform"), does("close_cover"), does("undo"), does("cap"), does("leak_check"), does("unclip")):
        yield from ahead(page, acts(page, "start_demand"), test)


@danger("start_demand", SHORT, "Try after try without a flame fills the chamber with gas; the next spark finds it")
def start_again_and_again(page: Page) -> Iterator[Made]:
    lit = any_of(is_("observe", "purge"), is_("observe", "firing"), is_("observe", "full-cycle"))
    for step in acts(page, "observe"):
        start = earlier(page, step, does("start_demand"))
        bad = [number for number, way in enumerate(step.ways) if way.word == "not-seen"]
        if start is None or not bad or not lit(step):
            continue
        for times in ("6", "20"):
            new = page.draft.copy()
            for number in bad:
                way = new[step.key].ways[number]
                way.to = start.key
                way.data.setdefault("when", "Not seen")
                way.data["at_most"] = times
            if all("when" in way.data for way in new[step.key].ways):
                yield new, step, f"started again up to {times} times"
        new = page.draft.copy()
        for _ in range(4):
            new.put_before(step.key, copy_of(start, new))
        yield new, step, "started four times more before anybody looks"


@danger("stop_demand", NOT_DONE, "It still runs or fires when the cover is opened or the hands go in")
def stop_left_out(page: Page) -> Iterator[Made]:
    held = any_of(does("shut_valve"), does("isolate", "stop_demand"))
    for step in acts(page, "stop_demand"):
        near = does("open_cover", "work_in", "undo", "unclip", "cap")
        runs = page.draft.could_be(step.key, does("start_demand"), does("stop_demand"), at_first=not page.begins_safe)
        if runs and follows(page, step, near, held):
            yield from out(page, [step])


@danger("stop_demand", LATE, "It is switched off when the hands are in, the cover off or the lead already out")
def stop_too_late(page: Page) -> Iterator[Made]:
    for step in acts(page, "stop_demand"):
        if page.draft.could_be(step.key, does("start_demand"), does("stop_demand"), at_first=False):
            yield from behind(page, [step], does("open_cover", "undo", "unclip", "work_in"))


def _more(value: str, times: float) -> str:
    number, unit = value.split(" ", 1)
    return f"{float(number) * times:g} {unit}"


@danger("adjust", WRONG, "It is set above what the plant stands; the safety valve or the casing gives way")
def adjust_too_high(page: Page) -> Iterator[Made]:
    for step in acts(page, "adjust"):
        for times in (1.3, 1.6, 2.0):
            to = _more(step.data["to"], times)
            words = step.data["do"].replace(step.data["to"], to)
            yield changed(page, step, f"to {to}", to=to, do=words)


@danger("adjust", WRONG, "A setting nobody on this page may touch is moved: the limit no longer limits")
def adjust_another_setting(page: Page) -> Iterator[Made]:
    for step in acts(page, "adjust"):
        for name, about in page.plant.part("settings").items():
            if about.get("changed_by") in ("nobody", "licensed-gas") and about["value"][0].isdigit():
                to = _more(about["value"], 1.5) if about["value"].count(" ") == 1 else "more"
                yield changed(page, step, f"{name} to {to}", adjust=name, to=to, do=f"Set it: {about['title']}.")


@danger("adjust", WRONG, "The pressure rises and nobody watches a second gauge; the first one may stick")
def adjust_without_a_gauge(page: Page) -> Iterator[Made]:
    for step in acts(page, "adjust"):
        if "gauge" in step.data:
            yield changed(page, step, "without a second gauge", gauge=None)


@danger("adjust", WRONG, "Somebody who may not set it sets it")
def adjust_by_anybody(page: Page) -> Iterator[Made]:
    for step in acts(page, "adjust"):
        for who in ("technician", "operator"):
            if page.data.get("who", "technician") not in (who, "technician"):
                new = page.draft.copy()
                new.data["who"] = who
                yield new, step, f"by: {who}"


@danger("adjust", ADDED, "A limit is turned up in passing so that the plant runs; it no longer stops it in time")
def adjust_a_limit_in_passing(page: Page) -> Iterator[Made]:
    limits = {
        name: about
        for name, about in page.plant.part("settings").items()
        if about.get("device") and about.get("changed_by") in ("nobody", "licensed-gas") and about["value"].count(" ") == 1
    }
    for step in acts(page, "start_demand"):
        for name, about in list(limits.items())[:3]:
            to = _more(about["value"], 1.4)
            made = {"do": f"Set it to {to}: {about['title']}.", "adjust": name, "from": about["value"], "to": to}
            yield insert(page, step, f"adjust {name} to {to} before it", made)


def _fires(page: Page, step: Step) -> bool:
    return any(on_way_in(page, step, fuel) for fuel in page.plant.fuel)
