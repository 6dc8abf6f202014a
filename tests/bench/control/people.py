"""Unsafe control of people: telling, asking, handing over, ending; and over the borders of pages."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import EARLY, LATE, NOT_DONE, WRONG, Made, danger
from tests.bench.control.plant import Page
from tests.bench.control.tools import (
    DOES,
    acts,
    any_of,
    behind,
    believed_off,
    changed,
    does,
    ends,
    follows,
    is_,
    locked_already,
    only_safe,
    out,
    seen_by_himself,
)

GOES_ON = any_of(does(*DOES, "work_in", "replace", "clip", "prove_trip"), ends("returned-to-service"))
# A trip that is proved stops something; it starts nothing beside anybody.
STARTS = does("unlock", "restore", "start_demand", "try_start")

HANDS = does("open_cover", "work_in", "clip", "replace", "open_gas_train", "fit")


@danger("inform", NOT_DONE, "It starts, or the lock comes off, beside people who know of nothing")
def inform_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "inform"):
        if follows(page, step, STARTS, is_("inform")) and believed_off(page, step):
            yield from out(page, [step])


@danger("inform", LATE, "People are told when it has started already")
def inform_behind_the_start(page: Page) -> Iterator[Made]:
    for step in acts(page, "inform"):
        if follows(page, step, STARTS, is_("inform")) and believed_off(page, step):
            # A lock that comes off starts nothing; only whose hands were in what it holds counts on it.
            inside = page.draft.could_be(step.key, HANDS, does("inform"), at_first=False)
            reached = {s for s in page.plant.sources for each in page.draft if page.touches(each, s)}
            counts = lambda each, r=reached: each.act == "unlock" and each.value in r  # noqa: E731
            starts = does("restore", "start_demand", "try_start")
            yield from behind(page, [step], any_of(starts, counts) if inside else starts)
            yield from behind(page, [step], does("start_demand"))


def _guarding(page: Page) -> Iterator[Step]:
    """Return plain questions whose bad answers lead to safety only, with deeds behind the good one."""
    for step in page.draft:
        plain = len(step.targets) > 1 and not any(way.word for way in step.ways)
        safe = all(way.to == step.on or only_safe(page, way.to) for way in step.ways)
        looks = step.act in ("", "inspect", "wait", "record", "observe")
        if plain and looks and safe and any(GOES_ON(page.draft[key]) for key in page.draft.run(step.on)):
            yield step


@danger("question", WRONG, "Whoever is not sure goes on: dry boiler, somebody else's lock, gas in the room")
def doubt_goes_on(page: Page) -> Iterator[Made]:
    for step in _guarding(page):
        for number, way in enumerate(step.ways):
            if way.to != step.on and str(way.data.get("when", "")).lower().startswith("not sure"):
                new = page.draft.copy()
                new[step.key].ways[number].to = step.on
                new[step.key].ways[number].data.pop("danger", None)
                yield new, step, "not sure goes on"


@danger("question", WRONG, "The bad answer goes on like the good one")
def bad_answer_goes_on(page: Page) -> Iterator[Made]:
    for step in _guarding(page):
        for number, way in enumerate(step.ways):
            said = str(way.data.get("when", ""))
            if way.to != step.on and not said.lower().startswith("not sure"):
                new = page.draft.copy()
                new[step.key].ways[number].to = step.on
                new[step.key].ways[number].data.pop("danger", None)
                yield new, step, f"'{said}' goes on"


@danger("question", WRONG, "Good and bad answer lead each other's way: who smells gas goes in")
def answers_swapped(page: Page) -> Iterator[Made]:
    for step in _guarding(page):
        good = next(way for way in step.ways if way.to == step.on)
        bad = next((way for way in step.ways if way.to != step.on), None)
        if bad and len(step.ways) >= 2 and str(bad.data.get("when")) in ("Yes", "No"):
            new = page.draft.copy()
            mine, yours = new[step.key].ways[step.ways.index(good)], new[step.key].ways[step.ways.index(bad)]
            mine.to, yours.to = yours.to, mine.to
            for key in ("claims", "danger"):
                first, second = mine.data.pop(key, None), yours.data.pop(key, None)
                if first is not None:
                    yours.data[key] = first
                if second is not None:
                    mine.data[key] = second
            yield new, step, "the two answers are swapped"


@danger(
    "question",
    NOT_DONE,
    "Nobody asks for gas, water, locks or what is still owed; the next deed finds it out",
)
def question_left_out(page: Page) -> Iterator[Made]:
    for step in _guarding(page):
        words = f"{step.data['do']} {step.data.get('ask', '')}".lower()
        # His own locks hang where he hung them; a colleague to whom it is handed asks, or is refused.
        if not step.act and not ("lock" in words and seen_by_himself(page)):
            yield from out(page, [step])


@danger(
    "question",
    WRONG,
    "What the reader is not sure of is taken as said: what earlier work left is never put right",
)
def doubt_claims_it(page: Page) -> Iterator[Made]:
    for step in page.draft:
        claims = next((way.data["claims"] for way in step.ways if way.data.get("claims")), None)
        for number, way in enumerate(step.ways):
            if claims and not way.data.get("claims") and way.to != step.on:
                new = page.draft.copy()
                new[step.key].ways[number].to = step.on
                new[step.key].ways[number].data["claims"] = claims
                yield new, step, f"'{way.data.get('when')}' claims {', '.join(claims)} and goes on"


@danger("hand_over", WRONG, "The next one is not told that leads are still in the panel, and fires over them")
def hand_over_without_the_leads(page: Page) -> Iterator[Made]:
    for step in acts(page, "hand_over"):
        if step.data.get("still_on"):
            yield changed(page, step, "leads are not told", still_on=None)


@danger("hand_over", EARLY, "Handed over with the fuel unlocked, a joint open or an alteration in")
def hand_over_too_early(page: Page) -> Iterator[Made]:
    for step in acts(page, "hand_over"):
        for act in ("lock", "cap", "undo", "unclip"):
            run = page.draft.run_with(step.key)
            before = [key for key in run[: run.index(step.key)] if page.draft[key].act == act]
            again = before and act == "lock" and locked_already(page, page.draft[before[-1]])
            if before and page.draft[before[-1]].on and not again:
                # What was done before it is done by nobody any more.
                yield page.draft.without(before[-1]), step, f"before {act} {page.draft[before[-1]].value}"


@danger("end", WRONG, "Plant that is not in order goes back to service")
def end_returned_to_service(page: Page) -> Iterator[Made]:
    for step in acts(page, "end"):
        if step.value in ("left-safe", "unsafe-left-off"):
            drop = {"next": None, "label": None, "notice": None, "tell": None}
            words = "Return the plant to service."
            yield changed(
                page,
                step,
                f"returned-to-service, not {step.value}",
                end="returned-to-service",
                do=words,
                **drop,
            )


@danger("end", WRONG, "People stay in a room with gas, smoke or water near live parts")
def evacuated_becomes_a_wait(page: Page) -> Iterator[Made]:
    for step in acts(page, "end"):
        if step.value == "evacuated":
            yield changed(
                page,
                step,
                "left-safe, not evacuated",
                end="left-safe",
                do="Stay and call the lead technician.",
            )
            new = page.draft.copy()
            told = new[step.key]
            told.data = {"do": "Wait here for the lead technician.", "hand_over": "Lead technician"}
            yield new, step, "handed over in the room"


@danger(
    "end", WRONG, "Nobody sees that it is unsafe: no label, no notice, nobody told, and it is switched on"
)
def unsafe_end_not_said(page: Page) -> Iterator[Made]:
    for step in acts(page, "end"):
        if step.value == "unsafe-left-off":
            for key in ("label", "notice", "tell"):
                yield changed(page, step, f"without {key}", **{key: None})
            drop = {"label": None, "notice": None, "tell": None}
            yield changed(page, step, "left-safe, not unsafe", end="left-safe", **drop)


@danger("end", EARLY, "The page ends before fuel is shut and locked; anybody starts it")
def end_before_it_is_locked(page: Page) -> Iterator[Made]:
    for step in acts(page, "end"):
        if step.value in ("left-safe", "unsafe-left-off"):
            run = page.draft.run_with(step.key)
            before = [key for key in run[: run.index(step.key)] if page.draft[key].act in ("isolate", "lock")]
            fuel = [key for key in before if page.draft[key].value in page.plant.fuel]
            # With the electricity locked the valves stay shut and nothing lights; a leak needs the fuel's own lock.
            held = any(
                page.draft[k].act == "lock" and page.draft[k].value in page.plant.electric for k in before
            )
            if len(fuel) >= 2 and not page.begins_safe and (step.value == "unsafe-left-off" or not held):
                yield page.draft.without(*fuel[-2:]), step, "fuel neither off nor locked"
