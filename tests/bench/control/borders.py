"""Unsafe control over the borders of pages: what the first leaves, what the second takes for granted."""

from __future__ import annotations

from collections.abc import Iterator

from tests.bench.control.draft import Draft, Step
from tests.bench.control.kinds import BORDER, Made, danger
from tests.bench.control.plant import SAFE, Page
from tests.bench.control.tools import (
    acts,
    any_of,
    before,
    changed,
    does,
    ends,
    follows,
    is_,
    only_safe,
)


@danger("hand_over", BORDER, "The colleague begins behind the look for gas, plates and locks of that page")
def hand_over_behind_the_arrival_look(page: Page) -> Iterator[Made]:
    for step in acts(page, "hand_over"):
        then = page.shop.pages.get(str(step.data.get("next", "")))
        if then is None or then is page:
            continue
        for there in then.draft:
            named = there.named and there.act in (
                "restore",
                "start_demand",
                "unlock",
                "measure",
                "reset",
                "replace",
            )
            if named and there.key != step.data.get("next_step"):
                yield changed(
                    page, step, f"the colleague begins at {then.id}/{there.key}", next_step=there.key
                )
                break


def _looks(page: Page) -> list[Step]:
    """Return the looks for locks and tags at the top of a page."""
    top = [page.draft[key] for key in page.draft.run(page.draft.steps[0].key)[:6]]
    said = [f"{step.data['do']} {step.data.get('ask', '')}".lower() for step in top]
    return [
        step
        for step, words in zip(top, said, strict=True)
        if step.asks and ("lock" in words or " tag" in words)
    ]


def _hands_in(page: Page, step: Step) -> bool:
    return step.act != "unclip" and any(page.touches(step, source) for source in page.plant.sources)


def _not_off_there(page: Page, step: Step) -> bool:
    """Whether hands go to what this page does not itself switch off or shut before."""
    if step.act == "unclip":
        return False
    stops = [valve for valve in page.plant.part("fuel_valves") if page.plant.stops(valve) == "all-fuel"]
    for source in page.plant.sources:
        shut = [is_("shut_valve", valve) for valve in stops if source in page.plant.fuel]
        own = any_of(is_("isolate", source), *shut)
        if page.touches(step, source) and page.draft.could_be(
            step.key, is_("restore", source), own, at_first=True
        ):
            return True
    return False


def _blind(page: Page) -> Draft:
    return page.draft.without(*(step.key for step in _looks(page)))


@danger(
    "end", BORDER, "The next page takes the plant for off, locked and dead, and looks no more; hands go in"
)
def end_leads_to_a_page_that_needs_it_safe(page: Page) -> Iterator[Made]:
    safe = [
        then
        for then in page.shop.pages.values()
        if then.plant is page.plant and then.begins_safe and then is not page
    ]
    if page.begins_safe or any(each.act == "prove_dead" for each in page.draft):
        return
    for step in acts(page, "end"):
        if step.value in ("found", "not-reproduced"):
            hands = [then for then in safe if any(_not_off_there(then, each) for each in then.draft)]
            for then in [each for each in hands if each.id != step.data.get("next")]:
                new, _, what = changed(page, step, f"next: {then.id}", next=then.id)
                if isinstance(new, Draft):
                    yield (
                        {page.path: new.page(), then.path: _blind(then).page()},
                        step,
                        f"{what}, which looks at no lock",
                    )


@danger(
    "page", BORDER, "It says that the plant is made safe and makes nothing safe; nobody before it did either"
)
def starts_more_than_anybody_brings(page: Page) -> Iterator[Made]:
    if page.begins_safe:
        return
    hands = any(
        each.act in ("clip", "work_in", "replace", "prove_dead", "open_gas_train") for each in page.draft
    )
    own = list(acts(page, "isolate", "lock", "shut_valve"))
    for facts in (["made-safe"], ["made-safe", "proved-dead"], ["fuel-shut"]):
        wanted = [each for each in own if facts != ["fuel-shut"] or each.act == "shut_valve"]
        if not wanted or (not hands and facts != ["fuel-shut"]) or facts[0] in page.starts:
            continue
        if facts == ["fuel-shut"] and not any(each.act == "measure" for each in page.draft):
            continue
        new = page.draft.without(*(each.key for each in wanted if each.on))
        new.data["starts"] = [*sorted(page.starts), *facts]
        yield new, "starts", f"starts {', '.join(facts)}, and does none of it"


@danger(
    "page",
    BORDER,
    "Sent here from a page that leaves the plant on; hands go in where only locks were looked for",
)
def after_a_page_that_leaves_it_on(page: Page) -> Iterator[Made]:
    if (
        not page.begins_safe
        or "after" not in page.data
        or not any(_hands_in(page, each) for each in page.draft)
    ):
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
        if step.act == "prove_dead" and "proved-dead" in page.starts:
            continue  # proved on the page before, and locked since
        if follows(
            page, step, lambda each, s=str(step.value): page.next_needs(each, s), is_(step.act, step.value)
        ):  # type: ignore[misc]
            new = page.draft.copy()
            gone = [each.key for each in new if each.is_(step.act, step.value) and each.on]
            yield new.without(*gone), step, f"no {step.act} {step.value} anywhere before the next page"


@danger(
    "page", BORDER, "The next page no longer looks whether locks, plates and tags are as the first left them"
)
def arrival_look_left_out(page: Page) -> Iterator[Made]:
    if not (page.starts & SAFE):
        return
    top = page.draft.run(page.draft.steps[0].key)[:6]
    for key in top:
        step = page.draft[key]
        safe = any(only_safe(page, way.to) for way in step.ways if way.to != step.on)
        first = before(page)
        claims = {claim for way in step.ways for claim in way.data.get("claims", ())}
        asked = {
            c
            for each in (first.draft if first else ())
            for way in each.ways
            for c in way.data.get("claims", ())
        }
        # What the page before has asked of the record, its reader need not be asked again.
        if claims and claims <= asked:
            continue
        if step.ways and step.on and safe and step.act in ("", "inspect", "identify"):
            yield page.draft.without(key), step, "arrival look left out"


@danger(
    "page",
    BORDER,
    "Nobody asks what earlier work left: a joint open, a bridge in, a limit reset; it goes to service",
)
def record_of_earlier_work_not_asked(page: Page) -> Iterator[Made]:
    for step in page.draft:
        claims = [way for way in step.ways if way.data.get("claims")]
        said = {claim for way in claims for claim in way.data["claims"]}
        again = lambda each, s=said: s <= {c for w in each.ways for c in w.data.get("claims", ())}  # noqa: E731
        if claims and follows(
            page, step, any_of(ends("returned-to-service"), does("start_demand", "restore")), again
        ):
            yield page.draft.without(step.key), step, f"nobody asks for {', '.join(claims[0].data['claims'])}"
