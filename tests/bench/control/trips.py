"""Unsafe control around trips: the right plant, evidence, causes, resets, proofs, readings."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import ADDED, EARLY, LATE, NOT_DONE, SHORT, WRONG, Made, danger
from tests.bench.control.plant import Page
from tests.bench.control.tools import (
    DOES,
    ENERGY_BACK,
    Test,
    acts,
    ahead,
    any_of,
    before,
    behind,
    changed,
    copy_of,
    does,
    earlier,
    follows,
    insert,
    out,
    wrong_way,
)

LOST = any_of(
    does("reset"), lambda step: step.act == "isolate" and step.value not in ("gas", "steam", "feed-water")
)
EVIDENCE = frozenset(("display", "first-out"))


@danger(
    "identify", NOT_DONE, "The neighbour's plant is switched off and locked; this one is live under the hands"
)
def identify_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "identify"):
        if follows(page, step, does(*DOES), does("identify")) and not _compared_before(page):
            yield from out(page, [step])


def _compared_before(page: Page) -> bool:
    """Whether the same person compared the plates on the page before."""
    earlier_page = before(page)
    return earlier_page is not None and any(each.act == "identify" for each in earlier_page.draft)


@danger("identify", WRONG, "The plates differ, and the work goes on at the wrong plant")
def different_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, acts(page, "identify"))


@danger("identify", LATE, "The wrong plant is off, open or locked before anybody reads the plates")
def identify_behind_the_first_deed(page: Page) -> Iterator[Made]:
    if _compared_before(page):
        return
    # The wrong plant switched off hurts nobody yet; opened, proved, started or unlocked it does.
    for test in (does("prove_dead", "open_gas_train"), does(*ENERGY_BACK, "unlock"), _bare(page)):
        yield from behind(page, acts(page, "identify"), test)


def _bare(page: Page) -> Test:
    return lambda step: step.act == "open_cover" and bool(page.plant.behind(str(step.value)))


def _evidence(page: Page) -> Iterator[Step]:
    if "evidence-recorded" in page.starts:
        return  # noted on the page before
    for step in acts(page, "record"):
        again = lambda each: each.act == "record" and bool(EVIDENCE & set(each.value))  # noqa: E731
        if page.data.get("occasion", "fault") == "fault" and EVIDENCE & set(step.value):
            electric = any_of(
                does("reset"), lambda each: each.act == "isolate" and each.value in page.plant.electric
            )
            # Evidence that nothing wipes is read later; the next page is harmed where it takes it for noted.
            if follows(page, step, any_of(electric, lambda each: _takes_for_noted(page, each)), again):
                yield step


def _takes_for_noted(page: Page, step: Step) -> bool:
    then = page.shop.pages.get(str(step.data.get("next", "")))
    return then is not None and "evidence-recorded" in then.starts


@danger("record", NOT_DONE, "What tripped is lost; the next one resets blind onto the real fault")
def record_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, _evidence(page))


@danger("record", WRONG, "Gauges are noted, the display is not; what tripped is lost")
def record_without_the_display(page: Page) -> Iterator[Made]:
    for step in _evidence(page):
        if follows(page, step, LOST):
            rest = [each for each in step.value if each not in EVIDENCE | {"history", "resets"}] or ["gauges"]
            yield changed(
                page, step, f"records {', '.join(rest)} only", record=rest, do="Write the gauges down."
            )


@danger(
    "record", LATE, "It is read after the supply is off or the button pressed; there is nothing left to read"
)
def record_behind_its_loss(page: Page) -> Iterator[Made]:
    yield from behind(page, _evidence(page), LOST)
    again = [
        step
        for step in acts(page, "record")
        if EVIDENCE & set(step.value) and "evidence-recorded" not in page.starts
    ]
    yield from behind(page, again, does("reset"))


def _unknown(page: Page) -> Iterator[Step]:
    """Return the looks for a cause that is not the test of the page itself."""
    for step in acts(page, "find_cause"):
        if earlier(page, step, does("prove_trip")) is None:
            yield step


@danger(
    "find_cause",
    NOT_DONE,
    "Reset without a cause: the real fault is still there and comes back with the flame on",
)
def find_cause_left_out(page: Page) -> Iterator[Made]:
    for step in _unknown(page):
        if follows(page, step, does("reset"), does("find_cause")):
            yield from out(page, [step])


@danger("find_cause", WRONG, "Nothing was found or mended, and it is reset all the same")
def no_cause_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, acts(page, "find_cause"))


@danger("find_cause", WRONG, "The cause of another trip is mended; the one that is reset is not understood")
def find_the_cause_of_another(page: Page) -> Iterator[Made]:
    for step in _unknown(page):
        names = [name for name, about in page.plant.devices.items() if about.get("reset") == "manual"]
        for name in [*names, "lockout"]:
            if name != step.value and (name in page.plant.devices or name in page.plant.part("memory")):
                title = page.plant.devices.get(name, {}).get("title", "lockout")
                yield changed(
                    page, step, f"cause of {name}", find_cause=name, do=f"Look for the cause of it: {title}."
                )


@danger("find_cause", LATE, "It is reset first and understood later, if at all")
def find_cause_behind_the_reset(page: Page) -> Iterator[Made]:
    yield from behind(page, _unknown(page), does("reset"))


@danger("reset", EARLY, "Pressed before the cause is found or the evidence noted")
def reset_too_early(page: Page) -> Iterator[Made]:
    for step in acts(page, "reset"):
        # The shop lets a lockout be reset once without its cause.
        known = step.value in page.plant.part("memory")
        for test in (does("record"), does("check_real"), *(() if known else (does("find_cause"),))):
            if earlier(page, step, does("prove_trip")) is None:
                yield from ahead(page, [step], test)


@danger("reset", WRONG, "Another device is reset, whose trip nobody has looked into")
def reset_another_device(page: Page) -> Iterator[Made]:
    for step in acts(page, "reset"):
        for name, about in page.plant.devices.items():
            if about.get("reset") == "manual" and name != step.value:
                yield changed(page, step, f"reset {name}", reset=name, do=f"Reset it: {about['title']}.")


@danger("reset", SHORT, "Reset a second and third time: gas collects, or water is gone, at each try")
def reset_again_and_again(page: Page) -> Iterator[Made]:
    for step in acts(page, "reset"):
        new = page.draft.copy()
        for _ in range(2):
            second = copy_of(step, new)
            second.ways = []
            new.put_before(step.key, second)
        yield new, step, "pressed three times"
        for number, way in enumerate(step.ways):
            if way.to != step.on and "when" in way.data:
                new = page.draft.copy()
                new[step.key].ways[number].to = step.key
                new[step.key].ways[number].data["at_most"] = "5"
                yield new, step, f"'{way.data['when']}': pressed again up to 5 times"


@danger("reset", ADDED, "A limit is pressed in passing before the start, whatever made it trip")
def reset_in_passing(page: Page) -> Iterator[Made]:
    manual = [name for name, about in page.plant.devices.items() if about.get("reset") == "manual"]
    for step in acts(page, "start_demand"):
        for name in manual:
            made = {"do": f"Reset it: {page.plant.devices[name]['title']}.", "reset": name}
            yield insert(page, step, f"reset {name} before it", made)


@danger(
    "prove_trip",
    NOT_DONE,
    "The device goes to service believed proved; it may not stop the burner when it must",
)
def prove_trip_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "prove_trip"):
        yield from out(page, [step])


@danger("prove_trip", WRONG, "It did not trip, and the plant goes to service")
def not_tripped_leads_on(page: Page) -> Iterator[Made]:
    yield from wrong_way(page, acts(page, "prove_trip"))


@danger("prove_trip", WRONG, "Another device is tripped; the one that was altered or due is not proved")
def prove_the_trip_of_another(page: Page) -> Iterator[Made]:
    for step in acts(page, "prove_trip"):
        for device in [
            d for d, about in page.plant.devices.items() if about.get("guards") and d != step.value
        ][:2]:
            title = page.plant.devices[device]["title"]
            yield changed(
                page, step, f"trip of {device}", prove_trip=device, do=f"Make the {title.lower()} trip."
            )


@danger("check_real", NOT_DONE, "A limit that was right to open is taken for faulty and changed or reset")
def check_real_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "check_real"):
        if len(step.targets) > 1:
            faulty = next((way.to for way in step.ways if way.word == "faulty"), "")
            new = page.draft.copy()
            new[step.key].ways = [way for way in new[step.key].ways if way.word != "real"]
            if faulty and new[step.key].ways:
                new.take_out(step.key)
                yield new, step, "left out, taken as faulty"


@danger("check_real", WRONG, "It was right to open, and the page goes on as if it were faulty")
def real_taken_as_faulty(page: Page) -> Iterator[Made]:
    for step in acts(page, "check_real"):
        faulty = next((way.to for way in step.ways if way.word == "faulty"), "")
        for number, way in enumerate(step.ways):
            if way.word == "real" and faulty and way.to != faulty:
                new = page.draft.copy()
                new[step.key].ways[number].to = faulty
                yield new, step, f"'{way.data.get('when', 'real')}' leads where faulty leads"


@danger("check_real", WRONG, "Doubt is taken as faulty; the limit is mended away while the danger is real")
def doubt_taken_as_faulty(page: Page) -> Iterator[Made]:
    for step in acts(page, "check_real"):
        for number, way in enumerate(step.ways):
            if way.word == "real" and str(way.data.get("when", "")).lower().startswith("not sure"):
                faulty = next((each.to for each in step.ways if each.word == "faulty"), "")
                if faulty:
                    new = page.draft.copy()
                    new[step.key].ways[number].to, new[step.key].ways[number].word = faulty, "faulty"
                    yield new, step, "not sure is taken as faulty"
