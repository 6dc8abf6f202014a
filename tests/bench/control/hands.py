"""Unsafe control of hands: covers, leads, work inside, new parts, readings, alterations, test buttons."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import ADDED, BORDER, EARLY, LATE, NOT_DONE, WRONG, Made, danger
from tests.bench.control.plant import SAFE, Page
from tests.bench.control.tools import (
    acts,
    ahead,
    any_of,
    behind,
    changed,
    does,
    ends,
    follows,
    guarding_devices,
    insert_behind,
    is_,
    its,
    on_way_in,
    other,
    out,
    told,
)

ENERGISED = any_of(does("restore", "start_demand"), ends("returned-to-service"))


def _closing(page: Page) -> Iterator[Step]:
    """Return what closes a cover that was opened, with something behind it that hurts."""
    for step in acts(page, "close_cover"):
        cover = step.value
        opened = page.draft.could_be(
            step.key, is_("open_cover", cover), is_("close_cover", cover), at_first=False
        )
        if (
            opened
            and page.plant.behind(str(cover))
            # A panel that is read live stands open with the supply on; its shrouds keep hands off.
            and (page.plant.part("covers").get(str(cover), {}).get("reached_by") or not _reads_live(page))
            and follows(page, step, ENERGISED, is_("close_cover", cover))
        ):
            yield step


def _reads_at(step: Step, point: str) -> bool:
    return step.act in ("watch", "measure") and step.data.get("at") == point


def _reads_live(page: Page) -> bool:
    return any(each.act in ("measure", "watch") and each.value == "volts" for each in page.draft)


def _live_behind(page: Page, cover: str) -> set[str]:
    return {source for source in page.plant.behind(cover) if source in page.plant.sources}


@danger("open_cover", EARLY, "Live terminals, heat or a turning wheel lie open before anything is off")
def open_cover_before_it_is_off(page: Page) -> Iterator[Made]:
    if _reads_live(page) or page.begins_safe:
        return
    for step in acts(page, "open_cover"):
        for source in _live_behind(page, str(step.value)):
            if not on_way_in(page, step, source):
                yield from ahead(page, [step], is_("isolate", source))


@danger("open_cover", WRONG, "Another cover is opened, behind which something is live, hot or turns")
def open_another_cover(page: Page) -> Iterator[Made]:
    for step in acts(page, "open_cover"):
        for cover in page.plant.part("covers"):
            live = [source for source in _live_behind(page, cover) if on_way_in(page, step, source)]
            if live and not _reads_live(page):
                yield from other(page, [step], lambda _, c=cover: [c])  # type: ignore[misc]


@danger("open_cover", ADDED, "Somebody opens it while the burner fires: live terminals and a flame behind it")
def open_cover_while_it_fires(page: Page) -> Iterator[Made]:
    for step in acts(page, "observe"):
        if step.value in ("firing", "full-cycle"):
            for cover in page.plant.part("covers"):
                made = told(page, "open_cover", cover)
                if made and _live_behind(page, cover):
                    yield insert_behind(page, step, f"open_cover {cover} behind it", made)


@danger("close_cover", NOT_DONE, "The cover stays off with live terminals or the wheel behind it")
def close_cover_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _closing(page))


@danger("close_cover", NOT_DONE, "The supply is on, and the open panel is left to whoever comes by")
def live_panel_left_open(page: Page) -> Iterator[Made]:
    for step in acts(page, "close_cover"):
        cover = step.value
        opened = page.draft.could_be(
            step.key, is_("open_cover", cover), is_("close_cover", cover), at_first=False
        )
        live = [
            s for s in page.plant.behind(str(cover)) if s in page.plant.electric and on_way_in(page, step, s)
        ]
        again = any_of(is_("close_cover", cover), *(is_("isolate", source) for source in live))
        live = [s for s in live if _open_and_live(page, step, s)]
        if opened and live and follows(page, step, does("end", "hand_over"), again):
            yield from out(page, [step])


def _open_and_live(page: Page, step: Step, source: str) -> bool:
    """Whether one and the same way reaches a step with its cover open and a source on."""
    own = {str(each.data["next_step"]) for each in page.draft if _comes_back(page, each)}
    tops = [page.draft.steps[0].key, *sorted(page.draft.entered - own)]
    todo = [(key, False, not page.begins_safe) for key in tops]
    seen = set()
    while todo:
        key, opened, on = todo.pop()
        if (key, opened, on) in seen or not page.draft.has(key):
            continue
        seen.add((key, opened, on))
        if key == step.key and opened and on:
            return True
        here = page.draft[key]
        if here.value == step.value and here.act in ("open_cover", "close_cover"):
            opened = here.act == "open_cover"
        if here.value == source and here.act in ("isolate", "restore"):
            on = here.act == "restore"
        # A colleague goes on with this page in the state in which it is handed over.
        to_him = [str(here.data["next_step"])] if _comes_back(page, here) else []
        todo += [(to, opened, on) for to in (*here.targets, *to_him)]
    return False


def _comes_back(page: Page, step: Step) -> bool:
    return "next_step" in step.data and step.data.get("next", page.id) == page.id


@danger("close_cover", WRONG, "Another cover is closed; the one that was opened stays off over live parts")
def close_another_cover(page: Page) -> Iterator[Made]:
    yield from other(page, _closing(page), lambda _: page.plant.part("covers"))


@danger("close_cover", LATE, "It is switched on with the cover off")
def close_cover_behind_power(page: Page) -> Iterator[Made]:
    yield from behind(page, _closing(page), does("restore", "start_demand"))


@danger("clip", EARLY, "The clips go onto terminals nobody proved dead")
def clip_before_the_proof(page: Page) -> Iterator[Made]:
    for step in acts(page, "clip"):
        yield from ahead(page, [step], its(page, step, "prove_dead"))


@danger("clip", NOT_DONE, "Leads are held by hand at live terminals for the whole watch")
def clip_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "clip"):
        if follows(page, step, lambda each, at=step.data["at"]: _reads_at(each, at)):
            yield from out(page, [step])


@danger("unclip", NOT_DONE, "Leads stay in the panel; they bridge terminals or are live in somebody's hand")
def unclip_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "unclip"):
        if follows(page, step, does("restore", "start_demand", "end"), is_("unclip")):
            yield from out(page, [step])


@danger("unclip", WRONG, "One lead stays on; the next one pulls it out live, or it lies over a limit")
def unclip_all_but_one(page: Page) -> Iterator[Made]:
    for step in acts(page, "unclip"):
        if len(step.value) > 1:
            # A lead of an earlier page goes on to the page that brings energy back, and that one asks.
            for name in [each.value for each in acts(page, "clip") if each.value in step.value]:
                yield changed(
                    page, step, f"{name} stays on", unclip=[each for each in step.value if each != name]
                )


@danger("unclip", EARLY, "Clips are taken off by hand while the circuit is live")
def unclip_before_it_is_off(page: Page) -> Iterator[Made]:
    for step in acts(page, "unclip"):
        for act in ("isolate", "lock"):
            yield from ahead(page, [step], its(page, step, act))


@danger("work_in", EARLY, "Hands are in before it is off, locked, tried or proved gone")
def work_in_too_early(page: Page) -> Iterator[Made]:
    for step in acts(page, "work_in"):
        reached = page.plant.part("zones").get(step.value, {}).get("reached_by", ())
        for source in reached:
            for act in ("isolate", "lock", "prove_dead", "prove_gone"):
                yield from ahead(page, [step], is_(act, source), first=True)
        yield from ahead(page, [step], does("try_start"))


@danger("work_in", WRONG, "Hands go into another zone, which something that is not off reaches")
def work_in_another_zone(page: Page) -> Iterator[Made]:
    for step in acts(page, "work_in"):
        for zone, about in page.plant.part("zones").items():
            # Heat and what turns are not switched: what was proved gone reaches nobody.
            if zone != step.value and any(
                on_way_in(page, step, source)
                and page.draft.could_be(
                    step.key, is_("restore", source), is_("prove_gone", source), at_first=True
                )
                for source in about.get("reached_by", ())
            ):
                words = f"Reach into {about['title']} and mend it."
                yield changed(page, step, f"work_in {zone} instead", work_in=zone, do=words)


@danger("work_in", ADDED, "Hands go in while it runs, fires or can start")
def work_in_while_it_can_start(page: Page) -> Iterator[Made]:
    for step in acts(page, "start_demand", "observe"):
        if step.value in ("air-supply", "standstill", "shutdown"):
            continue
        for zone, about in page.plant.part("zones").items():
            if about.get("reached_by"):
                made = {"do": f"Reach into {about['title']} and clean it.", "work_in": zone}
                yield insert_behind(page, step, f"work_in {zone} behind it", made)


def _asks_for_trips(step: Step) -> bool:
    return any("trips-proved" in way.data.get("claims", ()) for way in step.ways)


@danger("replace", EARLY, "A part is taken out of a live circuit")
def replace_before_the_proof(page: Page) -> Iterator[Made]:
    for step in acts(page, "replace"):
        for act in ("prove_dead", "lock", "isolate"):
            if act != "prove_dead" or "proved-dead" not in page.starts:
                yield from ahead(page, [step], its(page, step, act))


@danger("replace", ADDED, "A new safety device goes to service and nobody saw it trip; it may never")
def replace_without_its_trip(page: Page) -> Iterator[Made]:
    for step in acts(page, "prove_dead"):
        if not follows(page, step, ends("returned-to-service"), _asks_for_trips):
            continue
        done = {str(each.value) for each in acts(page, "prove_trip", "replace")}
        for device in [d for d in guarding_devices(page) if d not in done][:2]:
            title = page.plant.devices[device]["title"]
            made = {"do": f"Put in a new one: {title}.", "replace": device}
            yield insert_behind(page, step, f"replace {device} behind it", made)


@danger("replace", ADDED, "A part is taken out of a circuit that is live")
def replace_on_a_live_circuit(page: Page) -> Iterator[Made]:
    for step in acts(page, "start_demand"):
        for device in guarding_devices(page)[:2]:
            title = page.plant.devices[device]["title"]
            made = {"do": f"Put in a new one: {title}.", "replace": device}
            yield insert_behind(page, step, f"replace {device} behind it", made)


@danger("unclip", BORDER, "The next page takes the leads for off; its technician closes and fires over them")
def leads_left_for_the_next_page(page: Page) -> Iterator[Made]:
    for step in acts(page, "clip"):
        if not page.starts & SAFE and follows(page, step, lambda each: "next" in each.data, is_("unclip")):
            yield from out(page, acts(page, "unclip"), "left out before the next page")
            return
