"""What the kinds of change have in common: judged by what reaches whom, never by a rule of the check."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from tests.bench.control.draft import PASSING, Draft, Step
from tests.bench.control.kinds import Made
from tests.bench.control.plant import Page

Test = Callable[[Step], bool]
ENERGY_BACK = frozenset("restore start_demand open_valve reset".split())
DOES = ENERGY_BACK | frozenset("isolate lock open_cover shut_valve prove_dead unlock open_gas_train".split())


def acts(page: Page, *names: str) -> Iterator[Step]:
    """Return the steps of some actions."""
    return (step for step in page.draft if step.act in names)


def is_(act: str, value: object = None) -> Test:
    """Return a test for one action, of one thing."""
    return lambda step: step.is_(act, value)


def any_of(*tests: Test) -> Test:
    """Return a test that is met by any of several."""
    return lambda step: any(test(step) for test in tests)


def does(*names: str) -> Test:
    """Return a test for some actions."""
    return lambda step: step.act in names


def ends(*how: str) -> Test:
    """Return a test for ends of some kind."""
    return lambda step: step.act == "end" and step.value in how


def follows(page: Page, step: Step, harm: Test, barrier: Test = lambda _: False) -> bool:
    """Whether a harm may follow a step of the right page."""
    return page.draft.leads_to(step.key, harm, barrier)


def out(page: Page, steps: Iterable[Step], what: str = "left out") -> Iterator[Made]:
    """Leave each step out by itself."""
    for step in steps:
        if step.on and step.on != step.key:
            yield page.draft.without(step.key), step, what


def later(page: Page, step: Step, test: Test) -> Step | None:
    """Return the next step on the good way that meets a test."""
    return next((each for key in page.draft.run(step.key)[1:] if test(each := page.draft[key])), None)


def earlier(page: Page, step: Step, test: Test, *, first: bool = False) -> Step | None:
    """Return the last step (or the first) before this one on its way that meets a test."""
    run = page.draft.run_with(step.key)
    before = [page.draft[key] for key in run[: run.index(step.key)]]
    found = [each for each in before if test(each)]
    return (found[0] if first else found[-1]) if found else None


def behind(page: Page, steps: Iterable[Step], test: Test) -> Iterator[Made]:
    """Move each step behind the next step that depends on it."""
    for step in steps:
        there = later(page, step, test)
        if there is not None and there.on and step.on != step.key:
            yield page.draft.behind(step.key, there.key), step, f"moved behind {_name(there)}"


def ahead(page: Page, steps: Iterable[Step], test: Test, *, first: bool = False) -> Iterator[Made]:
    """Move each step before the last step (or the first) that has to come first."""
    for step in steps:
        there = earlier(page, step, test, first=first)
        if there is not None and step.on and there is not step:
            yield page.draft.ahead(step.key, there.key), step, f"moved before {_name(there)}"


def wrong_way(page: Page, steps: Iterable[Step]) -> Iterator[Made]:
    """Let each answer that is not good lead on like the good one."""
    for step in steps:
        for number, way in enumerate(step.ways):
            good = next((w.word for w in step.ways if w.word in PASSING), "")
            if not way.word or way.word == good or way.to == step.on:
                continue
            new = page.draft.copy()
            new[step.key].ways[number].to = step.on
            said = way.data.get("when", way.word)
            yield new, step, f"answer '{said}' ({way.word}) leads on like '{good}'"


def changed(page: Page, step: Step, what: str, **data: object) -> Made:
    """Change fields of a step; a field given as nothing is taken out."""
    new = page.draft.copy()
    for given, value in data.items():
        key = given.removesuffix("_")
        if value is None:
            new[step.key].data.pop(key, None)
        else:
            new[step.key].data[key] = value
    return new, step, what


def other(page: Page, steps: Iterable[Step], choose: Callable[[Step], Iterable[str]]) -> Iterator[Made]:
    """Do each step to another thing, in the words in which a right page tells that."""
    for step in steps:
        for value in choose(step):
            words = page.shop.words(page.plant, step.act, value)
            if value != step.value and words:
                yield changed(page, step, f"{step.act} {value} instead", **{step.act: value, "do": words})


def insert(page: Page, before: Step, what: str, *told: dict[str, object]) -> Made:
    """Put steps before a step."""
    new = page.draft.copy()
    for each in told:
        new.put_before(before.key, new.new(**each))
    return new, before, what


def insert_behind(page: Page, step: Step, what: str, *told: dict[str, object]) -> Made:
    """Put steps behind a step, on its good way."""
    new = page.draft.copy()
    for each in reversed(told):
        new.put_behind(step.key, new.new(**each))
    return new, step, what


def told(page: Page, act: str, value: str, **more: object) -> dict[str, object] | None:
    """Return a step as a right page of this plant tells it."""
    words = page.shop.words(page.plant, act, value)
    return {"do": words, act: value, **more} if words else None


def its(page: Page, step: Step, *names: str) -> Test:
    """Return a test for some actions on a source that reaches the hands of a step."""
    return lambda each: each.act in names and page.touches(step, str(each.value))


def on_way_in(page: Page, step: Step, source: str) -> bool:
    """Whether a source may be on when a step begins."""
    at_first = not page.begins_safe
    return page.draft.could_be(step.key, is_("restore", source), is_("isolate", source), at_first=at_first)


def open_to(page: Page, source: str) -> Test:
    """Return a test for steps at which a source that is not off, locked and proved hurts somebody."""
    fuel = page.plant.kind(source) == "fuel"

    def harm(step: Step) -> bool:
        left = fuel and ends("left-safe", "unsafe-left-off")(step)
        return page.touches(step, source) or page.next_needs(step, source) or left

    return harm


def can_fire(page: Page, step: Step) -> bool:
    """Whether gas can come to the burner at a step."""
    plant = page.plant
    cocks = [
        valve for valve in plant.part("fuel_valves") if plant.stops(valve) in ("all-fuel", "burner-fuel")
    ]
    stops = any_of(
        *(is_("isolate", fuel) for fuel in plant.fuel), *(is_("shut_valve", valve) for valve in cocks)
    )
    at_first = not page.begins_safe and "fuel-shut" not in page.starts
    return page.draft.could_be(step.key, does("open_valve"), stops, at_first=at_first)


def hands(page: Page, source: str) -> Test:
    """Return a test for steps with hands at what a source reaches."""
    return lambda step: page.touches(step, source)


def copy_of(step: Step, draft: Draft) -> Step:
    """Return a second step like one, with a key of its own."""
    second = draft.new(**{k + "_" if k in ("for", "from", "with") else k: v for k, v in step.data.items()})
    second.ways = [type(way)(way.word, way.to, dict(way.data)) for way in step.ways]
    return second


def _name(step: Step) -> str:
    return f"{step.act or 'a step'} {step.value if isinstance(step.value, str) else ''}".strip()


def guarding_devices(page: Page) -> list[str]:
    """Return the devices of the plant that guard something."""
    return [name for name, about in page.plant.devices.items() if about.get("guards")]


def like_sources(page: Page, step: Step) -> list[str]:
    """Return the other sources of the kind of this one."""
    same = page.plant.electric if step.value in page.plant.electric else list(page.plant.sources)
    return [source for source in same if source != step.value]


def only_safe(page: Page, key: str) -> bool:
    """Whether the good way from a step brings nothing back and leaves the plant safe, or to somebody else."""
    last = page.draft[page.draft.run(key)[-1]]
    run = [page.draft[each].act for each in page.draft.run(key)]
    safe = last.act == "hand_over" or (
        last.act == "end" and last.value in ("left-safe", "unsafe-left-off", "evacuated")
    )
    return safe and not {"restore", "start_demand", "reset", "open_valve"} & set(run)


def handed_on(page: Page, key: str) -> bool:
    """Whether the good way from a step does nothing but hand over: who comes measures anew, and nothing is blamed."""
    return only_safe(page, key) and page.draft[page.draft.run(key)[-1]].act == "hand_over"


def before(page: Page) -> Page | None:
    """Return the page whose facts this one begins with: its reader did that one by himself, just before.

    A colleague to whom it is handed compares and asks anew; the check refuses a page on which he does not.
    """
    return page.shop.pages.get(str(page.data.get("after", ""))) if page.starts else None


def believed_off(page: Page, step: Step) -> bool:
    """Whether people may count on it that nothing starts when they are told: it was locked, or hands went in, since.

    Where nobody was told at all on a way, and the page brings something back, they are in danger as well. A burner that
    a page only switches off and on again comes on by itself at any time, and whoever is there knows it.
    """
    back = page.begins_safe or any(acts(page, "unlock", "restore"))
    at_rest = does("isolate", "lock", "open_cover", "work_in", "clip", "replace", "open_gas_train", "fit")
    return page.draft.could_be(step.key, at_rest, does("inform"), at_first=back)


UNDOES = {"restore": "isolate", "open_valve": "shut_valve", "unlock": "lock"}


def does_something(page: Page, step: Step) -> bool:
    """Whether what is switched on, opened or unlocked may be off by this page, or by the one that it relies on.

    Else the line is for whoever comes with it off or finds a lock of their own there: for the others it is on.
    """
    off, back = is_(UNDOES[step.act], step.value), is_(step.act, step.value)
    return page.draft.could_be(step.key, off, back, at_first=page.begins_safe)


def locked_already(page: Page, step: Step) -> bool:
    """Whether a lock is put on once more: on every way to it the page has it on, and nobody took it off."""
    off, on = is_("unlock", step.value), is_("lock", step.value)
    return not page.draft.could_be(step.key, off, on, at_first=not page.begins_safe)


def seen_by_himself(page: Page) -> bool:
    """Whether the reader himself made the plant safe on the page before, just now: his own locks are on it."""
    return page.begins_safe and before(page) is not None


def every_third(page: Page) -> list[Step]:
    """Return every third step, others on each page."""
    return page.draft.steps[len(page.id) % 3 :: 3]
