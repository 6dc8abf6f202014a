"""Unsafe control of people: telling, asking, handing over, ending; and over the borders of pages."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Draft, Step
from tests.bench.control.kinds import BORDER, EARLY, LATE, NOT_DONE, WRONG, Made, danger
from tests.bench.control.plant import SAFE, Page
from tests.bench.control.tools import (
    DOES,
    acts,
    any_of,
    behind,
    changed,
    does,
    ends,
    follows,
    is_,
    out,
)
from tests.bench.control.trips import _only_safe

GOES_ON = any_of(does(*DOES, "work_in", "replace", "measure", "clip"), ends("returned-to-service"))
STARTS = does("unlock", "restore", "start_demand", "try_start", "prove_trip")


@danger("inform", NOT_DONE, "It starts, or the lock comes off, beside people who know of nothing")
def inform_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "inform"):
        if follows(page, step, STARTS, is_("inform")):
            yield from out(page, [step])


@danger("inform", LATE, "People are told when it has started already")
def inform_behind_the_start(page: Page) -> Iterator[Made]:
    for step in acts(page, "inform"):
        if follows(page, step, STARTS, is_("inform")):
            yield from behind(page, [step], STARTS)
            yield from behind(page, [step], does("start_demand"))


def _guarding(page: Page) -> Iterator[Step]:
    """Return plain questions whose bad answers lead to safety only, with deeds behind the good one."""
    for step in page.draft:
        plain = step.ways and not any(way.word for way in step.ways)
        if plain and all(way.to == step.on or _only_safe(page, way.to) for way in step.ways):
            if len(step.targets) > 1 and follows(page, step, GOES_ON):
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


@danger("question", NOT_DONE, "Nobody asks for gas, water, locks or what is still owed; the next deed finds it out")
def question_left_out(page: Page) -> Iterator[Made]:
    yield from out(page, (step for step in _guarding(page) if not step.act))


@danger("question", WRONG, "What the reader is not sure of is taken as said: what earlier work left is never put right")
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
            if before and page.draft[before[-1]].on:
                # What was done before it is done by nobody any more.
                yield page.draft.without(before[-1]), step, f"before {act} {page.draft[before[-1]].value}"


@danger("hand_over", BORDER, "The colleague begins behind the look for gas, plates and locks of that page")
def hand_over_behind_the_arrival_look(page: Page) -> Iterator[Made]:
    for step in acts(page, "hand_over"):
        then = page.shop.pages.get(str(step.data.get("next", "")))
        if then is None or then is page:
            continue
        for there in then.draft:
            named = there.named and there.act in ("restore", "start_demand", "unlock", "measure", "reset", "replace")
            if named and there.key != step.data.get("next_step"):
                yield changed(page, step, f"the colleague begins at {then.id}/{there.key}", next_step=there.key)
                break


@danger("end", WRONG, "Plant that is not in order goes back to service")
def end_returned_to_service(page: Page) -> Iterator[Made]:
    for step in acts(page, "end"):
        if step.value in ("left-safe", "unsafe-left-off"):
            drop = {"next": None, "label": None, "notice": None, "tell": None}
            words = "Return the plant to service."
            yield changed(page, step, f"returned-to-service, not {step.value}", end="returned-to-service", do=words, **drop)


@danger("end", WRONG, "People stay in a room with gas, smoke or water near live parts")
def evacuated_becomes_a_wait(page: Page) -> Iterator[Made]:
    for step in acts(page, "end"):
        if step.value == "evacuated":
            yield changed(page, step, "left-safe, not evacuated", end="left-safe", do="Stay and call the lead technician.")
            new = page.draft.copy()
            told = new[step.key]
            told.data = {"do": "Wait here for the lead technician.", "hand_over": "Lead technician"}
            yield new, step, "handed over in the room"


@danger("end", WRONG, "Nobody sees that it is unsafe: no label, no notice, nobody told, and it is switched on")
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
            if len(fuel) >= 2 and not page.begins_safe:
                yield page.draft.without(*fuel[-2:]), step, "fuel neither off nor locked"


def _looks(page: Page) -> list[Step]:
    """Return the looks for locks and tags at the top of a page."""
    top = [page.draft[key] for key in page.draft.run(page.draft.steps[0].key)[:6]]
    said = [f"{step.data['do']} {step.data.get('ask', '')}".lower() for step in top]
    return [step for step, words in zip(top, said, strict=True) if step.asks and ("lock" in words or " tag" in words)]


def _blind(page: Page) -> Draft:
    return page.draft.without(*(step.key for step in _looks(page)))


@danger("end", BORDER, "The next page takes the plant for off, locked and dead, and looks no more; hands go in")
def end_leads_to_a_page_that_needs_it_safe(page: Page) -> Iterator[Made]:
    safe = [then for then in page.shop.pages.values() if then.plant is page.plant and then.begins_safe and then is not page]
    if page.begins_safe or any(each.act == "prove_dead" for each in page.draft):
        return
    for step in acts(page, "end"):
        if step.value in ("found", "not-reproduced"):
            for then in [each for each in safe if each.id != step.data.get("next")]:
                new, _, what = changed(page, step, f"next: {then.id}", next=then.id)
                if isinstance(new, Draft):
                    yield {page.path: new.page(), then.path: _blind(then).page()}, step, f"{what}, which looks at no lock"


@danger("page", BORDER, "It says that the plant is made safe and makes nothing safe; nobody before it did either")
def starts_more_than_anybody_brings(page: Page) -> Iterator[Made]:
    if page.begins_safe:
        return
    hands = any(each.act in ("clip", "work_in", "replace", "prove_dead", "open_gas_train") for each in page.draft)
    own = [each for each in acts(page, "isolate", "lock", "shut_valve")]
    for facts in (["made-safe"], ["made-safe", "proved-dead"], ["fuel-shut"]):
        wanted = [each for each in own if facts != ["fuel-shut"] or each.act == "shut_valve"]
        if not wanted or (not hands and facts != ["fuel-shut"]) or facts[0] in page.starts:
            continue
        if facts == ["fuel-shut"] and not any(each.act == "measure" for each in page.draft):
            continue
        new = page.draft.without(*(each.key for each in wanted if each.on))
        new.data["starts"] = [*sorted(page.starts), *facts]
        yield new, "starts", f"starts {', '.join(facts)}, and does none of it"


@danger("page", BORDER, "Sent here from a page that leaves the plant on; hands go in where only locks were looked for")
def after_a_page_that_leaves_it_on(page: Page) -> Iterator[Made]:
    if not page.begins_safe or "after" not in page.data:
        return
    for then in page.shop.pages.values():
        isolates = any(each.act == "prove_dead" for each in then.draft) or then.begins_safe
        if then.plant is page.plant and then is not page and not isolates:
            new = _blind(page)
            new.data["after"] = then.id
            yield new, "after", f"after: {then.id}, and looks at no lock"


@danger("page", BORDER, "The first page no longer does what the next one takes for granted")
def what_the_next_page_needs_left_out(page: Page) -> Iterator[Made]:
    for step in acts(page, "isolate", "lock", "prove_dead", "prove_gone", "unclip"):
        if follows(page, step, lambda each, s=str(step.value): page.next_needs(each, s), is_(step.act, step.value)):  # type: ignore[misc]
            new = page.draft.copy()
            gone = [each.key for each in new if each.is_(step.act, step.value) and each.on]
            yield new.without(*gone), step, f"no {step.act} {step.value} anywhere before the next page"


@danger("page", BORDER, "The next page no longer looks whether locks, plates and tags are as the first left them")
def arrival_look_left_out(page: Page) -> Iterator[Made]:
    if not (page.starts & SAFE):
        return
    top = page.draft.run(page.draft.steps[0].key)[:6]
    for key in top:
        step = page.draft[key]
        if step.ways and step.on and any(_only_safe(page, way.to) for way in step.ways if way.to != step.on):
            if step.act in ("", "inspect", "identify"):
                yield page.draft.without(key), step, "arrival look left out"


@danger("page", BORDER, "Nobody asks what earlier work left: a joint open, a bridge in, a limit reset; it goes to service")
def record_of_earlier_work_not_asked(page: Page) -> Iterator[Made]:
    for step in page.draft:
        claims = [way for way in step.ways if way.data.get("claims")]
        if claims and follows(page, step, any_of(ends("returned-to-service"), does("start_demand", "restore"))):
            yield page.draft.without(step.key), step, f"nobody asks for {', '.join(claims[0].data['claims'])}"
