"""Unsafe control by readings: meters, gauges, looks."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import EARLY, LATE, NOT_DONE, SHORT, WRONG, Made, danger
from tests.bench.control.plant import Page
from tests.bench.control.tools import (
    DOES,
    ENERGY_BACK,
    acts,
    ahead,
    any_of,
    behind,
    can_fire,
    changed,
    does,
    ends,
    follows,
    handed_on,
    its,
    later,
    only_safe,
    out,
    seen_by_himself,
    wrong_way,
)


def _live(page: Page) -> list[Step]:
    return [step for step in acts(page, "measure") if step.value == "volts"]


@danger(
    "measure",
    NOT_DONE,
    "A zero counts although there was no supply; a good limit is changed, a live part called dead",
)
def supply_not_read(page: Page) -> Iterator[Made]:
    first = _live(page)[:1]
    for step in first:
        then = later(page, step, lambda each: each.is_("measure", "volts"))
        counts = then is not None and any(way.word == "none" for way in then.ways)
        # The electrician who is called where the next one reads nothing measures the supply first.
        blamed = then is not None and not any(
            way.word == "none" and handed_on(page, way.to) for way in then.ways
        )
        if counts and blamed and any(way.word == "none" for way in step.ways):
            yield from out(page, [step], "supply not read")


@danger(
    "measure", WRONG, "Full and nothing are mixed up: the open limit is called made, a made one is changed"
)
def full_and_none_mixed_up(page: Page) -> Iterator[Made]:
    for step in _live(page):
        full = [way for way in step.ways if way.word == "full"]
        none = [way for way in step.ways if way.word == "none"]
        again = full and none and _read_again(page, step, none[0].to, "full")
        again = again and _read_again(page, step, full[0].to, "none")
        if full and none and full[0].to != none[0].to and not again:
            new = page.draft.copy()
            for way in new[step.key].ways:
                way.to = {"full": none[0].to, "none": full[0].to}.get(way.word, way.to)
            yield new, step, "full leads where nothing leads, and back"


def _read_again(page: Page, step: Step, key: str, verdict: str, *passed: str) -> bool:
    """Whether that point is read once more before anything is blamed, and who then reads otherwise stops."""
    there = page.draft[key]
    if only_safe(page, key):
        return True
    if there.act != "measure" or not there.ways or key in passed:
        return False
    same = there.data.get("at") == step.data.get("at")
    ways = [way.to for way in there.ways if not same or way.word == verdict]
    if same:
        return all(only_safe(page, to) for to in ways)
    return all(_read_again(page, step, to, verdict, *passed, key) for to in ways)


@danger("measure", WRONG, "A ghost voltage decides: a sound safety contact is taken out for it")
def in_between_decides(page: Page) -> Iterator[Made]:
    for step in _live(page):
        some = [number for number, way in enumerate(step.ways) if way.word == "some"]
        none = [way for way in step.ways if way.word == "none"]
        for number in some[:1]:
            found = none and page.draft[none[0].to].act == "" and not page.draft[none[0].to].asks
            # Where nothing leads to the electrician, no contact is blamed.
            found = found and not handed_on(page, none[0].to)
            if found and step.ways[number].to != none[0].to and step.data.get("meter") != "low-impedance":
                new = page.draft.copy()
                new[step.key].ways[number].to = none[0].to
                yield new, step, "in between leads where nothing leads"


@danger("measure", WRONG, "Ohms on a live circuit: the meter bursts in the hand, or a part starts")
def ohms_on_a_live_circuit(page: Page) -> Iterator[Made]:
    for step in _live(page):
        new = page.draft.copy()
        told = new[step.key]
        told.data.update(measure="ohms", reads="under 2 Ω", do="Meter to ohms. " + told.data["do"])
        told.data.setdefault("ask", "What does the meter read?")
        names = {
            "full": ("within", "Under 2 Ω"),
            "none": ("outside", "Open"),
            "some": ("outside", "In between"),
        }
        for way in told.ways:
            way.word, said = names.get(way.word, (way.word, way.word))
            way.data.setdefault("when", said)
        yield new, step, "ohms in place of volts"


@danger("measure", WRONG, "Held leads while the burner can fire: a slip across the terminals bridges a limit")
def leads_held(page: Page) -> Iterator[Made]:
    for step in acts(page, "measure", "watch"):
        clipped = step.act == "watch" or step.data.get("leads") == "clipped-dead"
        if step.value == "volts" and clipped and can_fire(page, step):
            yield changed(page, step, "leads held", leads="held")


@danger("measure", EARLY, "Ohms before the circuit is proved dead: shock, or the meter bursts")
def ohms_before_the_proof(page: Page) -> Iterator[Made]:
    for step in acts(page, "measure"):
        if step.value in ("ohms", "insulation") and "proved-dead" not in page.starts:
            yield from ahead(page, [step], its(page, step, "prove_dead"))


def _opens(page: Page, step: Step) -> bool:
    """Whether somebody is gassed by what is left in the train."""
    return step.act == "open_gas_train" or any(page.touches(step, fuel) for fuel in page.plant.fuel)


def _alone(page: Page, step: Step) -> bool:
    """Whether no other reading of that point stands before the train is opened."""
    there = later(page, step, lambda each: _opens(page, each))
    run = page.draft.run_with(step.key)
    if there is None or there.key not in run:
        return False
    before = [page.draft[key] for key in run[: run.index(there.key)] if key != step.key]
    point = step.data.get("point")
    return not any(
        each.data.get("point") == point and each.act in ("watch", "measure", "prove_gone") for each in before
    )


def _train_readings(page: Page) -> Iterator[Step]:
    """Return the readings that show that nothing is left in the section which is opened."""
    for step in acts(page, "measure", "watch"):
        if step.value == "pressure" and step.data.get("point") and _alone(page, step):
            yield step


def _gas_readings(page: Page) -> Iterator[Step]:
    yield from (step for step in acts(page, "measure") if step.value in ("flue-gas", "gas-rate"))
    yield from (step for step in _train_readings(page) if step.act == "measure")


@danger(
    "measure",
    NOT_DONE,
    "Carbon monoxide or too much gas goes unnoticed into service, or pressure stays in the train",
)
def gas_reading_left_out(page: Page) -> Iterator[Made]:
    service = any_of(ends("returned-to-service", "found"), does("open_gas_train", "work_in"))
    touched = any(each.act in ("open_gas_train", "adjust", "replace") for each in page.draft)
    for step in _gas_readings(page):
        # On plant whose gas and air nobody touched, the flue gas that is read after it tells of too much gas as well.
        told = later(page, step, lambda each: each.is_("measure", "flue-gas"))
        if follows(page, step, service) and (touched or told is None or step.value != "gas-rate"):
            yield from out(page, [step])


@danger("measure", WRONG, "The reading is out of its range, or pressure is left, and the work goes on")
def reading_outside_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, _gas_readings(page))
    yield from wrong_way(page, _watched(page))


@danger("measure", WRONG, "Pressure is read at another point; the section that is opened was never looked at")
def pressure_at_another_point(page: Page) -> Iterator[Made]:
    for step in _train_readings(page):
        for point in page.plant.part("fuel_points"):
            if not _same_section(page, point, step.data["point"]):
                yield changed(page, step, f"at {point}", point=point)


def _same_section(page: Page, one: str, two: str) -> bool:
    points = page.plant.part("fuel_points")
    section = points[one].get("section")
    return one == two or (section is not None and section == points[two].get("section"))


def _watched(page: Page) -> Iterator[Step]:
    return (step for step in _train_readings(page) if step.act == "watch")


@danger("watch", NOT_DONE, "A cock that lets through is not noticed; the joint is opened with gas coming")
def watch_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _watched(page))


@danger("watch", SHORT, "A slow leak or a cock that lets through shows in minutes, not in a second")
def watch_for_a_moment(page: Page) -> Iterator[Made]:
    for step in _watched(page):
        for time in ("1 s", "5 s"):
            yield changed(page, step, f"watched for {time}", for_=time)


@danger("watch", LATE, "The joint is open before anybody saw that the pressure stays at nothing")
def watch_behind_the_opening(page: Page) -> Iterator[Made]:
    yield from behind(page, _watched(page), lambda each: _opens(page, each))


@danger(
    "inspect",
    NOT_DONE,
    "Nobody looks at the glass, the locks or the wires before the plant is worked on or fired",
)
def look_left_out(page: Page) -> Iterator[Made]:
    # Plant that the reader made safe himself on the page before is off, locked and left alone; level and locks
    # hurt nobody there before something comes back.
    harms = (
        does(*ENERGY_BACK, "prove_trip") if seen_by_himself(page) else does(*DOES, "measure", "prove_trip")
    )
    for step in acts(page, "inspect"):
        safe = [way for way in step.ways if way.to != step.on and only_safe(page, way.to)]
        if safe and follows(page, step, harms):
            yield from out(page, [step])
