"""Changes of what a step's words say, each judged by the words alone."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cached_property
from typing import Any, NamedTuple

from kbgen.model.entry import make_entry
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.ref import Kind
from kbgen.rules.words.check import in_entry, reader_of
from kbgen.rules.words.clauses import is_mark
from kbgen.rules.words.found import Found
from tests.mutants.draft import Step
from tests.mutants.ground import Ground
from tests.mutants.site import Site
from tests.mutants.wordings import ALTERATIONS, DEEDS, HARMLESS, lines

WORDS = {"id", "do", "why", "expect", "minutes", "cautions", "photos", "note_down", "ask", "outcomes", "go"}
_SWAPS = [
    ("Shut", "Open"),
    ("shut", "open"),
    ("Close", "Open"),
    ("close", "open"),
    ("on", "off"),
    ("ON", "OFF"),
    ("over", "away from"),
    ("away", "over"),
]
_OPPOSITE = {
    "shut_valve": "open_valve",
    "isolate": "restore",
    "lock": "unlock",
    "open_cover": "close_cover",
    "start_demand": "stop_demand",
}
_OPPOSITE |= {one: other for other, one in _OPPOSITE.items()}
_TELLS = {*_OPPOSITE, "reset"}


class Case(NamedTuple):
    """One changed step, and the plant and page it stands in."""

    name: str
    plant: str
    step: Step
    others: list[Step]


class Words:
    """The steps of a knowledge base, and a judge of their words."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        reader = reader_of("en")
        assert reader is not None
        self._reader = reader

    @cached_property
    def cases(self) -> list[Case]:
        """Every step as it is."""
        found = []
        for entry, page in self.ground.base.of(Procedure):
            steps = entry.data["steps"]
            fits = [step for step in steps if "fit" in step]
            for index, step in enumerate(steps):
                found.append(Case(f"{entry.ref.id}[{index + 1}]", page.equipment[0], step, fits))
        return found

    @cached_property
    def told_already(self) -> frozenset[str]:
        """Names of the steps in which something is found as they are."""
        return frozenset(case.name for case in self.cases if self.judge(case))

    @cached_property
    def _sites(self) -> dict[str, Site]:
        return {draft.data["equipment"][0]: self.ground.site(draft) for draft in self.ground.drafts}

    def site(self, plant: str) -> Site:
        """The plant of a case."""
        return self._sites[plant]

    def judge(self, case: Case) -> list[Found]:
        """Return what is found in the changed step."""
        data = {"title": "Changed", "equipment": [case.plant], "steps": [case.step, *case.others]}
        return [found for found in self.other(Kind.PROCEDURE, data) if found.route[:2] == ("steps", 0)]

    def other(self, kind: Kind, data: dict[str, Any]) -> list[Found]:
        """Return what is found in an entry of any kind."""
        entry = make_entry(kind, "changed", "changed.yaml", data)
        return list(in_entry(self.ground.base, self._reader, entry))


Make = Callable[[Words], Iterator[Case]]
WRONG: dict[str, Make] = {}
RIGHT: dict[str, Make] = {}


def _wrong(make: Make) -> Make:
    WRONG[make.__name__.replace("_", " ")] = make
    return make


def _right(make: Make) -> Make:
    RIGHT[make.__name__.replace("_", " ")] = make
    return make


def _with(case: Case, **fields: Any) -> Case:
    return case._replace(step={**case.step, **fields})


def _title(text: str) -> str:
    """Return the name in a title: "Plate over the cabinet limit", not where it is."""
    name = re.split(r"[,(]| on the | outside ", text)[0]
    return (name if name.startswith("Plate") else name.split(" over ")[0]).lower()


def _others(parts: Any, key: str) -> Callable[[Words], Iterator[Case]]:
    """Name another part of the same kind, once in the words and once in the action."""

    def make(words: Words) -> Iterator[Case]:
        for case in words.cases:
            plant = words.site(case.plant).equipment
            titles = {part.id: _title(part.title) for part in parts(plant)}
            own = titles.get(case.step.get(key, ""), "")
            # Where the words do not name the part, nothing can contradict.
            if not own or own not in case.step["do"].lower():
                continue
            for other, title in titles.items():
                if other != case.step[key]:
                    text = re.sub(re.escape(own), title, case.step["do"], flags=re.IGNORECASE)
                    yield _with(case, do=text)
                    yield _with(case, **{key: other})

    return make


def _valves(plant: Equipment) -> Any:
    return plant.fuel_valves


def _covers(plant: Equipment) -> Any:
    return plant.covers


for _key, _what in (
    ("shut_valve", _valves),
    ("open_valve", _valves),
    ("close_cover", _covers),
    ("open_cover", _covers),
):
    WRONG[f"another part: {_key}"] = _others(_what, _key)


@_wrong
def another_isolator_in_the_words(words: Words) -> Iterator[Case]:
    for case in words.cases:
        marks = re.findall(r"\bQ\d\b", case.step["do"])
        if marks and {"isolate", "restore", "lock", "unlock"} & case.step.keys():
            other = "Q1" if marks[0] != "Q1" else "Q2"
            yield _with(case, do=case.step["do"].replace(marks[0], other))


@_wrong
def another_source_in_the_action(words: Words) -> Iterator[Case]:
    for case in words.cases:
        for key in ("isolate", "restore", "lock", "unlock"):
            sources = [each.id for each in words.site(case.plant).equipment.sources]
            if case.step.get(key) in sources and re.search(
                r"\bQ\d\b|plug|plant cock|roof cock|pump", case.step["do"]
            ):
                yield from (_with(case, **{key: other}) for other in sources if other != case.step[key])


@_wrong
def another_terminal(words: Words) -> Iterator[Case]:
    for case in words.cases:
        at = case.step.get("at", "")
        if "measure" in case.step and is_mark(at) and re.search(rf"\b{at}\b", case.step["do"]):
            gap = next(g for g in words.site(case.plant).gaps if at not in (g.one, g.other))
            yield _with(case, do=re.sub(rf"\b{at}\b", gap.one, case.step["do"]))
            yield _with(case, at=gap.other)


@_wrong
def another_second_terminal(words: Words) -> Iterator[Case]:
    for case in words.cases:
        to = case.step.get("to", "")
        if "measure" in case.step and is_mark(to) and re.search(rf"\b{to}\b", case.step["do"]):
            gap = next(g for g in words.site(case.plant).gaps if to not in (g.one, g.other))
            yield _with(case, do=re.sub(rf"\b{to}\b", gap.one, case.step["do"]))


@_wrong
def another_device(words: Words) -> Iterator[Case]:
    for case in words.cases:
        for key in ("reset", "prove_trip", "over"):
            device = words.site(case.plant).device(case.step.get(key, ""))
            if device and device.head.title.lower() in case.step["do"].lower():
                others = {g.device for g in words.site(case.plant).gaps} - {case.step[key]}
                yield from (_with(case, **{key: other}) for other in sorted(others)[:3])


@_wrong
def opposite_words(words: Words) -> Iterator[Case]:
    for case in words.cases:
        if _OPPOSITE.keys() & case.step.keys():
            for one, other in _SWAPS:
                first = case.step["do"].split(".")[0]
                if re.search(rf"\b{one}\b", first):
                    text = case.step["do"].replace(first, re.sub(rf"\b{one}\b", other, first), 1)
                    # "Put the padlock off" is no English; "Put padlock and tag on Q2" swaps with its verb. What
                    # is worn, and the condition before a colon, are not what the step does.
                    if not re.match(r"(?:Put|Take|Swing|Push|Hang|Stay|If|Insulating gloves)\b", text):
                        yield _with(case, do=text)
                    break


@_wrong
def opposite_verb_of_the_lock(words: Words) -> Iterator[Case]:
    for case in words.cases:
        if case.step["do"].startswith("Put") and "lock" in case.step and "padlock" in case.step["do"]:
            yield _with(case, do=case.step["do"].replace("Put", "Take", 1).replace(" on ", " off ", 1))
        if case.step["do"].startswith("Take your") and "unlock" in case.step:
            yield _with(case, do=case.step["do"].replace("Take", "Put", 1).replace(" off ", " on ", 1))


@_wrong
def opposite_action(words: Words) -> Iterator[Case]:
    for case in words.cases:
        for key in _OPPOSITE.keys() & case.step.keys():
            step = {_OPPOSITE[key] if name == key else name: value for name, value in case.step.items()}
            yield case._replace(step=step)


@_wrong
def action_deleted(words: Words) -> Iterator[Case]:
    for case in words.cases:
        if _TELLS & case.step.keys():
            yield case._replace(step={key: value for key, value in case.step.items() if key in WORDS})


def _fill(words: Words, case: Case, sentence: str, turn: int) -> str:
    site = words.site(case.plant)
    gap = site.gaps[turn % len(site.gaps)]
    device = site.device(gap.device)
    valve = site.equipment.fuel_valves[turn % len(site.equipment.fuel_valves)]
    names = {"one": gap.one, "other": gap.other, "device": device.head.title.lower() if device else "limit"}
    return sentence.format(
        **names, valve=_title(valve.title), mark="Q1" if "td" not in case.plant else "the supply"
    )


def _added(text: str, fields: tuple[str, ...], every: int, skip: set[str]) -> Make:
    def make(words: Words) -> Iterator[Case]:
        sentences = lines(text)
        quiet = [case for case in words.cases if not skip & case.step.keys()]
        for turn, case in enumerate(quiet[::every]):
            sentence = _fill(words, case, sentences[turn % len(sentences)], turn)
            field = fields[turn % len(fields)]
            if field == "when":
                if "outcomes" in case.step:
                    first, *rest = case.step["outcomes"]
                    yield _with(case, outcomes=[{**first, "when": f"{first['when']}. {sentence}"}, *rest])
            else:
                said = case.step.get(field, "")
                yield _with(case, **{field: f"{said.rstrip('.')}. {sentence}" if said else sentence})

    return make


@_wrong
def verdicts_swapped(words: Words) -> Iterator[Case]:
    """Yes and No change places where the question says which of them is which."""
    for case in words.cases:
        outcomes = case.step.get("outcomes", [])
        if [outcome["when"] for outcome in outcomes[:2]] in (["Yes", "No"], ["No", "Yes"]) and _plain(case):
            one, other, *rest = outcomes
            swapped = [{**one, "when": other["when"]}, {**other, "when": one["when"]}, *rest]
            yield _with(case, outcomes=swapped)


def _plain(case: Case) -> bool:
    """Whether the question uses a word that the reader of verdicts could know at all."""
    words = set(re.findall(r"\w+", case.step.get("ask", "").lower()))
    verdicts = {key for outcome in case.step["outcomes"] for key in outcome} & _PLAIN.keys()
    return any(words & set(_PLAIN[verdict].split()) for verdict in verdicts)


_PLAIN = {
    "tripped": "stop trip stopped tripped",
    "tight": "tight bubbles leak",
    "dead": "dead",
    "same": "same",
    "cause-mended": "mended",
}
_ALTERING = {"fit", "undo", "hold", "cap"}
_ACTING = _ALTERING | _TELLS | {"open_gas_train", "prove_trip", "try_start", "find_cause", "observe"}
WRONG["alteration added to the instruction"] = _added(ALTERATIONS, ("do",), 3, _ALTERING)
WRONG["alteration added elsewhere"] = _added(ALTERATIONS, ("expect", "why", "when"), 7, _ALTERING)
WRONG["deed added without its action"] = _added(DEEDS, ("do",), 5, _ACTING)
RIGHT["harmless words added"] = _added(
    HARMLESS, ("do", "expect", "why"), 1, {"measure", "watch", "prove_dead"}
)


@_right
def said_with_care(words: Words) -> Iterator[Case]:
    for case in words.cases:
        yield _with(case, do=f"With care: {case.step['do']}")


@_right
def said_slowly(words: Words) -> Iterator[Case]:
    for case in words.cases:
        yield _with(case, do=f"{case.step['do'].rstrip()} Take your time.")


def looks(words: Words) -> Iterator[tuple[Kind, dict[str, Any]]]:
    """Yield looks, devices, cautions and close-ups that tell an alteration."""
    case = words.cases[0]
    for turn, sentence in enumerate(lines(ALTERATIONS)):
        text = _fill(words, case, sentence, turn)
        head = {"title": "Changed", "equipment": [case.plant]}
        yield (
            Kind.SYMPTOM,
            {**head, "means": "It stands.", "look_first": [{"look": text, "tells": "It runs"}]},
        )
        check = {"with": "Ears", "do": f"Listen. {text}", "real": "Quiet", "false": "Loud"}
        yield (Kind.DEVICE, {**head, "independent_check": check})
        yield (
            Kind.CAUTION,
            {"title": "C", "signal": "danger", "hazard": "Heat.", "consequence": "Burns.", "avoid": text},
        )
        yield (Kind.PROCEDURE, {**head, "steps": [{"do": "Stop.", "end": "found"}], "close_up": [text]})
