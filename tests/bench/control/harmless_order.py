"""Changes of steps that hurt nobody: other order, more looks, longer waits, answers told otherwise."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.bench.control.draft import Step
from tests.bench.control.kinds import Made, harmless
from tests.bench.control.plant import Page
from tests.bench.control.tools import acts, changed, copy_of, ends, every_third, insert


def _plain(step: Step) -> bool:
    return not step.ways and not step.data.get("cautions")


@harmless("Neither hangs on the other")
def independent_neighbours_changed_round(page: Page) -> Iterator[Made]:
    for step in page.draft:
        if not _plain(step) or not step.next:
            continue
        then = page.draft[step.next]
        alone = len(page.draft.before(then.key)) == 1 and then.next and _plain(then)
        same = step.act == then.act and step.act in ("close_cover", "inspect", "cap", "shut_valve", "record")
        if alone and same and then.key not in page.draft.entered:
            yield page.draft.behind(step.key, then.key), step, f"changed round with {then.key}"


@harmless("Two sources are locked off in the other order, each whole")
def pairs_of_isolating_changed_round(page: Page) -> Iterator[Made]:
    for step in acts(page, "isolate"):
        run = page.draft.run(step.key)[:4]
        four = [page.draft[key] for key in run]
        kinds = [each.act for each in four]
        alone = all(len(page.draft.before(each.key)) == 1 for each in four[1:])
        fans = {page.plant.kind(str(each.value)) for each in four} <= {"electric", "foreign-fed"}
        if (
            kinds == ["isolate", "lock", "isolate", "lock"]
            and alone
            and fans
            and all(map(_plain, four))
            and four[3].next
        ):
            new = page.draft.copy()
            for key in (four[1].key, four[0].key):
                new.put_behind(four[3].key, new.take_out(key, name_stays=False))
            if not {each.key for each in four} & page.draft.entered:
                yield new, step, f"behind {four[2].value}"


@harmless("Water or steam comes back before or after the other; nothing fires yet")
def pairs_of_restoring_changed_round(page: Page) -> Iterator[Made]:
    for step in acts(page, "unlock"):
        four = [page.draft[key] for key in page.draft.run(step.key)[:4]]
        kinds = [each.act for each in four]
        quiet = {page.plant.kind(str(each.value)) for each in four} <= {"water", "pressure", "foreign-fed"}
        alone = all(len(page.draft.before(each.key)) == 1 for each in four[1:])
        if kinds == ["unlock", "restore", "unlock", "restore"] and quiet and alone and all(map(_plain, four)):
            new = page.draft.copy()
            for key in (four[1].key, four[0].key):
                new.put_behind(four[3].key, new.take_out(key, name_stays=False))
            yield new, step, f"behind {four[2].value}"


@harmless("The answers stand in another order")
def answers_in_another_order(page: Page) -> Iterator[Made]:
    for step in page.draft:
        if len(step.ways) > 1 and all("when" in way.data for way in step.ways):
            new = page.draft.copy()
            new[step.key].ways.reverse()
            yield new, step, "answers reversed"


@harmless("No and not sure lead to the same step anyhow")
def no_and_not_sure_in_one(page: Page) -> Iterator[Made]:
    for step in page.draft:
        said = {str(way.data.get("when")): way for way in step.ways}
        one, two = said.get("No"), said.get("Not sure")
        if one and two and (one.to, one.word) == (two.to, two.word) and "Yes" in said:
            new = page.draft.copy()
            new[step.key].ways = [way for way in new[step.key].ways if way.data.get("when") != "Not sure"]
            next(way for way in new[step.key].ways if way.data["when"] == "No").data["when"] = (
                "No or not sure"
            )
            yield new, step, "no or not sure"


def _staying(page: Page) -> list[Step]:
    """Steps before which one may look or write: whoever leaves at once does nothing more."""
    return [step for step in every_third(page) if not ends("evacuated")(step)]


@harmless("One look more")
def inspect_added(page: Page) -> Iterator[Made]:
    for number, step in enumerate(_staying(page)):
        part = ("Floor and walls", "Lamps of the panel", "Clock on the wall")[number % 3]
        yield insert(
            page, step, f"inspect {part} before it", {"do": f"Look at it: {part.lower()}.", "inspect": part}
        )


@harmless("A line for the record, without a deed")
def line_for_the_record_added(page: Page) -> Iterator[Made]:
    for step in _staying(page):
        yield insert(
            page,
            step,
            "a note before it",
            {"do": "Write the time of day in the record.", "note_down": "Time"},
        )


@harmless("One telling more")
def people_told_once_more(page: Page) -> Iterator[Made]:
    for step in acts(page, "inform"):
        yield insert(page, step, "told twice", dict(step.data))


@harmless("Done or looked at twice, nothing changes between")
def done_twice(page: Page) -> Iterator[Made]:
    twice = (
        "record",
        "identify",
        "prove_dead",
        "prove_gone",
        "shut_valve",
        "close_cover",
        "stop_demand",
        "lock",
        "inspect",
        "leak_check",
    )
    for step in acts(page, *twice):
        if step.on and (not step.ways or all("at_most" not in way.data for way in step.ways)):
            new = page.draft.copy()
            new.put_behind(step.key, copy_of(step, new))
            yield new, step, "done twice"


@harmless("The same reading is taken a second time before it counts")
def second_reading(page: Page) -> Iterator[Made]:
    for step in acts(page, "measure"):
        # What read in between is read again in low impedance; the same range once more shows the same ghost.
        between = any(way.word == "some" and way.to == step.on for way in step.ways)
        if step.ways and step.on and not between and not any("at_most" in way.data for way in step.ways):
            new = page.draft.copy()
            second = copy_of(step, new)
            new.put_behind(step.key, second)
            yield new, step, "read twice"


_SAYS_A_TIME = re.compile(r"\b(\d+ (s|min|h)|seconds?|minutes?|hours?)\b")


@harmless("Longer is as safe, where action and words say the same time")
def longer(page: Page) -> Iterator[Made]:
    for step in acts(page, "wait", "watch"):
        key = "wait" if step.act == "wait" else "for"
        old = str(step.data.get(key, ""))
        found = re.fullmatch(r"(\d+) (s|min|h)", old)
        if found and step.value not in ("volts", "display"):
            time = f"{int(found[1]) + 2} {found[2]}"
            words = {each: str(step.data[each]) for each in ("do", "ask", "expect") if each in step.data}
            told = {each: re.sub(rf"\b{old}\b", time, said) for each, said in words.items()}
            # Whoever reads a shorter time than the action counts waits too short: words and action go together.
            if told != words or not any(map(_SAYS_A_TIME.search, words.values())):
                yield changed(page, step, f"{key} {time}", **{key: time}, **told)


@harmless("Shorter is as safe where a button is held")
def held_shorter(page: Page) -> Iterator[Made]:
    for step in acts(page, "hold"):
        yield changed(page, step, "3 min", for_="3 min")


@harmless("Fewer tries")
def fewer_tries(page: Page) -> Iterator[Made]:
    for step in page.draft:
        for number, way in enumerate(step.ways):
            if str(way.data.get("at_most", "1")) not in ("1", ""):
                new = page.draft.copy()
                new[step.key].ways[number].data["at_most"] = "1"
                yield new, step, "at most once"


@harmless("The same things in another order, or one more")
def list_in_another_order(page: Page) -> Iterator[Made]:
    for step in acts(page, "leak_check", "record", "unclip", "prove_dead"):
        key = "between" if step.act == "prove_dead" else step.act
        if len(step.data.get(key, ())) > 1:
            yield changed(page, step, f"{key} reversed", **{key: list(reversed(step.data[key]))})
    for step in acts(page, "record"):
        if "settings" not in step.value:
            yield changed(page, step, "settings too", record=[*step.value, "settings"])


@harmless("Said where it goes on, which is where it goes anyhow")
def branch_moved_to_the_end(page: Page) -> Iterator[Made]:
    for number, step in enumerate(page.draft.steps[1:], start=1):
        ends = step.act in ("end", "hand_over") and not step.next and number < len(page.draft.steps) - 1
        if ends:
            new = page.draft.copy()
            moved = new[step.key]
            new.steps.remove(moved)
            new.steps.append(moved)
            yield new, step, "stands last on the page"
