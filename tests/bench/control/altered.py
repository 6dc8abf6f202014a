"""Unsafe control of alterations: bridges, wires, tubes, test buttons."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import ADDED, EARLY, LATE, NOT_DONE, SHORT, WRONG, Made, danger
from tests.bench.control.plant import WIRES, Page
from tests.bench.control.tools import (
    acts,
    ahead,
    behind,
    can_fire,
    changed,
    does,
    follows,
    guarding_devices,
    insert,
    insert_behind,
    is_,
    its,
    later,
    other,
    out,
)


@danger("fit", EARLY, "A wire is put on or taken off live, or the bridge is in while gas can still come")
def fit_before_the_proof(page: Page) -> Iterator[Made]:
    for step in acts(page, "fit"):
        if step.value in WIRES:
            for test in (its(page, step, "prove_dead"), its(page, step, "isolate"), does("shut_valve")):
                yield from ahead(page, [step], test)


@danger("fit", ADDED, "The burner fires past a safety device that is bridged; nothing stops it any more")
def fit_jumper_over_a_limit(page: Page) -> Iterator[Made]:
    for step in acts(page, "start_demand"):
        for device in guarding_devices(page)[:3]:
            name = "bridge-added"
            made = {
                "do": f"Bridge it: {page.plant.devices[device]['title']}.",
                "fit": "jumper",
                "name": name,
                "over": device,
            }
            yield insert(page, step, f"jumper over {device} before it", made)


@danger("fit", ADDED, "A safety valve gagged or a switch taped stays so; it no longer acts when it must")
def fit_that_nobody_takes_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "stop_demand"):
        for how, words in (("gag", "Gag the safety valve."), ("taped-switch", "Tape the door switch in.")):
            if follows(page, step, does("restore", "start_demand", "end")):
                made = {"do": words, "fit": how, "name": "left-in", "at": "At the plant"}
                yield insert_behind(page, step, f"{how} behind it", made)
                break


@danger("fit", WRONG, "It lies over another safety device than the one whose circuit is shut and tested")
def fit_over_another_device(page: Page) -> Iterator[Made]:
    for step in acts(page, "fit"):
        if "over" in step.data and step.value in WIRES | {"taped-switch"}:
            for device in [d for d in guarding_devices(page) if d != step.data["over"]][:3]:
                title = page.plant.devices[device]["title"]
                yield changed(
                    page, step, f"over {device} instead", over=device, do=f"Fit it at the {title.lower()}."
                )


def _undone(page: Page) -> Iterator[Step]:
    """Return what takes an alteration out that hurts somebody; a pump left running by hand does not."""
    return (step for step in acts(page, "undo") if not str(step.value).startswith("pump-"))


@danger(
    "undo", NOT_DONE, "The alteration stays in: the plant fires without its safety device, or gas comes out"
)
def undo_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _undone(page))


@danger("undo", LATE, "It comes on, or fires, with the alteration still in")
def undo_behind_power(page: Page) -> Iterator[Made]:
    yield from behind(page, _undone(page), does("open_valve"))
    yield from behind(page, _undone(page), does("leak_check"))
    for step in _undone(page):
        kinds = {str(each.value) for each in acts(page, "fit") if each.data.get("name") == step.value}
        wires = bool(kinds & (WIRES | {"hand-drive", "belt-off"}))
        for act in ("restore", "start_demand"):
            there = later(page, step, does(act))
            if there is not None and (wires or can_fire(page, there)):
                yield from behind(page, [step], does(act))


@danger(
    "undo", EARLY, "A wire or jumper is taken out of a live circuit, or a belt put on a fan that can start"
)
def undo_before_it_is_off(page: Page) -> Iterator[Made]:
    for step in acts(page, "undo"):
        made = [each for each in page.draft if each.act == "fit" and each.data.get("name") == step.value]
        if any(each.value in WIRES | {"hand-drive", "belt-off"} for each in made):
            for test in (
                its(page, step, "prove_dead"),
                does("isolate"),
                does("lock"),
                is_("observe", "standstill"),
            ):
                yield from ahead(page, [step], test)


@danger("undo", WRONG, "Another alteration is taken out twice; this one stays in")
def undo_another_one(page: Page) -> Iterator[Made]:
    yield from other(page, _undone(page), lambda _: sorted({str(each.value) for each in acts(page, "undo")}))


@danger("hold", SHORT, "The water sinks on behind the held button until the boiler is dry")
def hold_for_too_long(page: Page) -> Iterator[Made]:
    for step in acts(page, "hold"):
        for time in ("15 min", "1 h", "8 h"):
            yield changed(page, step, f"held for {time}", for_=time)
        yield changed(page, step, "held without an end", for_=None)


@danger("hold", WRONG, "The other water limit is held; the one that is tested is not")
def hold_another_device(page: Page) -> Iterator[Made]:
    for step in acts(page, "hold"):
        for device, about in page.plant.devices.items():
            if device != step.value and (about.get("hold_at_most") or about.get("guards") == "water-level"):
                title = page.plant.devices[device]["title"]
                yield changed(
                    page,
                    step,
                    f"hold {device}",
                    hold=device,
                    do=f"Hold the test button of the {title.lower()}.",
                )


@danger("hold", ADDED, "A limit is held in while the burner fires; nothing stops it")
def hold_while_it_fires(page: Page) -> Iterator[Made]:
    for step in acts(page, "observe"):
        if step.value == "firing":
            for device in [d for d, about in page.plant.devices.items() if about.get("hold_at_most")]:
                made = {"do": "Hold its test button.", "hold": device, "for": "20 min"}
                yield insert_behind(page, step, f"hold {device} for 20 min", made)
