"""Unsafe control of fire: purge and flame, start and stop, settings."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.kinds import ADDED, EARLY, LATE, NOT_DONE, SHORT, WRONG, Made, danger
from tests.bench.control.plant import Page
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
    is_,
    later,
    out,
    wrong_way,
)

SERVICE = ends("returned-to-service")


@danger("observe", NOT_DONE, "Gas from the last try is still in the chamber when it lights: explosion")
def purge_not_seen(page: Page) -> Iterator[Made]:
    for step in acts(page, "observe"):
        lit = any_of(is_("observe", "firing"), is_("observe", "full-cycle"), does("prove_trip"))
        if step.value == "purge" and follows(page, step, lit, is_("observe", "purge")):
            yield from out(page, [step])


@danger(
    "observe", NOT_DONE, "Nobody sees it stop and start by itself; the next shift stands beside the surprise"
)
def full_cycle_not_seen(page: Page) -> Iterator[Made]:
    for step in acts(page, "observe"):
        if step.value == "full-cycle" and follows(page, step, SERVICE, is_("observe", "full-cycle")):
            yield from out(page, [step])


@danger("observe", NOT_DONE, "A blocked opening starves the burner of air; carbon monoxide fills the room")
def air_supply_not_seen(page: Page) -> Iterator[Made]:
    yield from out(page, (step for step in acts(page, "observe") if step.value == "air-supply"))


@danger(
    "observe",
    NOT_DONE,
    "Without a flame the trip stops nothing: the device is believed and never stopped a burner",
)
def flame_not_seen_before_its_trip(page: Page) -> Iterator[Made]:
    for step in acts(page, "observe"):
        if step.value == "firing" and step.on and page.draft[step.on].act == "prove_trip":
            yield from out(page, [step])


@danger("observe", NOT_DONE, "The fan still runs down when the cover comes off: fingers")
def standstill_not_seen(page: Page) -> Iterator[Made]:
    moves = any(page.plant.kind(source) == "motion" for source in page.plant.sources)
    for step in acts(page, "observe"):
        inside = any_of(
            does("work_in"), lambda s: s.act in ("fit", "undo") and s.data.get("fit") == "hand-drive"
        )
        barrier = any_of(does("prove_gone"), is_("observe", "standstill"), does("start_demand"))
        if (
            step.value == "standstill"
            and moves
            and follows(page, step, any_of(inside, _at_the_wheel(page)), barrier)
        ):
            yield from out(page, [step])


def _at_the_wheel(page: Page) -> Test:
    made = {
        str(each.data.get("name")) for each in acts(page, "fit") if each.value in ("hand-drive", "belt-off")
    }
    return lambda step: step.act == "undo" and str(step.value) in made


@danger(
    "observe", WRONG, "It was not all seen, and it goes on all the same: unpurged, unproved or short of air"
)
def not_seen_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, acts(page, "observe"))


@danger("observe", WRONG, "A look at something lesser stands in for purge, full cycle or air")
def something_lesser_seen(page: Page) -> Iterator[Made]:
    lesser = {
        "purge": ["start", "firing"],
        "full-cycle": ["start", "firing", "purge"],
        "air-supply": ["start"],
    }
    words = {"start": "Watch the fan start.", "firing": "Watch the flame.", "purge": "Watch the whole purge."}
    for step in acts(page, "observe"):
        for word in lesser.get(str(step.value), ()):
            yield changed(page, step, f"{word} in place of {step.value}", observe=word, do=words[word])


@danger("observe", LATE, "The purge is looked for when the burner is lit already")
def purge_behind_the_flame(page: Page) -> Iterator[Made]:
    purge = [step for step in acts(page, "observe") if step.value == "purge"]
    yield from behind(page, purge, any_of(is_("observe", "firing"), does("prove_trip")))


@danger(
    "start_demand",
    EARLY,
    "It starts beside people who know of nothing, or with a cover, joint or bridge open",
)
def start_too_early(page: Page) -> Iterator[Made]:
    for test in (
        does("inform"),
        does("close_cover"),
        does("undo"),
        does("cap"),
        does("leak_check"),
        does("unclip"),
    ):
        for step in acts(page, "start_demand"):
            there = earlier(page, step, test)
            run = page.draft.run_with(step.key)
            between = run[run.index(there.key) : run.index(step.key)] if there else []
            # With the supply still off, it starts only when that comes back, and that is judged by itself.
            if not any(page.draft[key].act in ("start_demand", "stop_demand", "restore") for key in between):
                yield from ahead(page, [step], test)


@danger(
    "start_demand", SHORT, "Try after try without a flame fills the chamber with gas; the next spark finds it"
)
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
        near = does("open_cover", "work_in", "unclip", "cap")
        runs = page.draft.could_be(
            step.key, does("start_demand"), does("stop_demand"), at_first=not page.begins_safe
        )
        if runs and follows(page, step, near, held):
            yield from out(page, [step])


@danger(
    "stop_demand", LATE, "It is switched off when the hands are in, the cover off or the lead already out"
)
def stop_too_late(page: Page) -> Iterator[Made]:
    for step in acts(page, "stop_demand"):
        if page.draft.could_be(step.key, does("start_demand"), does("stop_demand"), at_first=False):
            there = later(page, step, does("open_cover", "unclip", "work_in", "isolate"))
            if there is not None and there.act != "isolate":
                yield from behind(page, [step], does("open_cover", "unclip", "work_in"))


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
                yield changed(
                    page, step, f"{name} to {to}", adjust=name, to=to, do=f"Set it: {about['title']}."
                )


@danger("adjust", WRONG, "Somebody who may not set it sets it")
def adjust_by_anybody(page: Page) -> Iterator[Made]:
    for step in acts(page, "adjust"):
        for who in ("technician", "operator"):
            if page.data.get("who", "technician") not in (who, "technician"):
                new = page.draft.copy()
                new.data["who"] = who
                yield new, step, f"by: {who}"


@danger(
    "adjust", ADDED, "A limit is turned up in passing so that the plant runs; it no longer stops it in time"
)
def adjust_a_limit_in_passing(page: Page) -> Iterator[Made]:
    limits = {
        name: about
        for name, about in page.plant.part("settings").items()
        if about.get("device")
        and about.get("changed_by") in ("nobody", "licensed-gas")
        and about["value"].count(" ") == 1
    }
    for step in acts(page, "start_demand"):
        for name, about in list(limits.items())[:3]:
            to = _more(about["value"], 1.4)
            made = {
                "do": f"Set it to {to}: {about['title']}.",
                "adjust": name,
                "from": about["value"],
                "to": to,
            }
            yield insert(page, step, f"adjust {name} to {to} before it", made)
