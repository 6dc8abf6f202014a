"""Rules about where answers lead: doubt and danger go no further than a plain no would."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import pairwise

from kbgen.compute.walk.graph import Graph
from kbgen.compute.walk.hazard import LEAVING, READINGS
from kbgen.model.action import (
    AnyAction,
    End,
    HandOver,
    Inform,
    OpenCover,
    OpenGasTrain,
    OpenValve,
    Record,
    Reset,
    Restore,
    StartDemand,
    StopDemand,
    Wait,
    WorkIn,
)
from kbgen.model.answers import Answer, answers, question
from kbgen.model.entry import Entry
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.position import Spot
from kbgen.problems import Problem, shown
from kbgen.rules.material import Check, Material
from kbgen.rules.words.check import reader_of
from kbgen.rules.words.clauses import plain
from kbgen.rules.words.table import Table
from kbgen.rules.words.told import Reader

_STARTS = (StartDemand, Reset)
_GOES_ON = (*_STARTS, Restore, OpenValve, OpenCover, OpenGasTrain, WorkIn)
_PART = re.compile(r"(?=[,;.:?!()–—]|\bbut\b)")
_STOPS = frozenset(";.:?!()–—b")
_WORD = re.compile(r"[^\W\d_]+")

DOUBT_GOES_ON = READINGS.on(
    "Whoever is not sure has not seen it; doubt stops where the worst answer stops."
).hazard(
    "doubt-goes-on",
    "Nobody knows where the water stands, and the page feeds and fires where no water would have stopped it.",
    "ask: Is water in sight?\noutcomes:\n  - {when: 'Yes', go: feed}\n  - {when: 'No', go: dry}\n"
    "  - {when: Not sure, go: feed}",
    "ask: Is water in sight?\noutcomes:\n  - {when: 'Yes', go: feed}\n  - {when: 'No', go: dry}\n"
    "  - {when: Not sure, go: dry}",
    rests_on="The outcomes of one question and the ways behind them; what an answer means is taken from its words.",
)
ANSWERS_CROSSED = READINGS.on(
    "Whoever is not sure has not seen it; doubt stops where the worst answer stops."
).hazard(
    "answers-crossed",
    "The glass shows no water, and the answer that says so leads to the burner.",
    "ask: Is water in sight?\noutcomes:\n  - {when: 'Yes', go: dry}\n  - {when: 'No', go: light}\n"
    "  - {when: Not sure, go: dry}",
    "ask: Is water in sight?\noutcomes:\n  - {when: 'Yes', go: light}\n  - {when: 'No', go: dry}\n"
    "  - {when: Not sure, go: dry}",
    rests_on="Words of what is right and of danger in `ask`; where agreement, denial and doubt lead.",
)
DANGER_GOES_ON = LEAVING.on(
    "Smoke, fire and escaping gas: leave, warn, call; nothing is opened or started."
).hazard(
    "danger-goes-on",
    "A wisp of smoke is fanned by a start or by an open door, and the flame meets a face.",
    "- ask: Is there smoke?\n  outcomes:\n    - {when: 'Yes', go: clear-air}\n    - {when: 'No', go: look}",
    "- ask: Is there smoke?\n  outcomes:\n    - {when: 'Yes', go: leave-now}\n    - {when: 'No', go: look}",
    rests_on="Words of danger in `when`, `ask` and `expect`, or `danger` of the answer; a danger in other words goes unseen.",
)

FED_WITHOUT_WATER = LEAVING.on(
    "Boiler practice: a hot boiler whose water is not in sight is left to cool; nothing feeds it."
).hazard(
    "fed-without-water",
    "Water on hot plates flashes to steam, and the boiler bursts.",
    "- ask: Is water in sight?\n  outcomes:\n    - {when: 'Yes', go: look}\n    - {when: 'No', go: fill}\n"
    "- id: fill\n  do: Bring the level back with the pump.",
    "- ask: Is water in sight?\n  outcomes:\n    - {when: 'Yes', go: look}\n    - {when: 'No', go: shut-off}\n"
    "- id: shut-off\n  do: Shut the feed stop valve.\n  isolate: feed-water",
    rests_on="Words of water in sight in `ask`, words of feeding and `restore` of a source of water behind the answer.",
)


def _onward(material: Material) -> Iterator[Problem]:
    reader = reader_of(material.base.shop.language)
    for entry, procedure in material.pages():
        graph = material.graph(entry, procedure)
        actions = [step.action for step in procedure.steps]
        starts = graph.leading_to(i for i, action in enumerate(actions) if _is(action, _STARTS))
        goes_on = graph.leading_to(i for i, action in enumerate(actions) if _is(action, _GOES_ON))
        stays = graph.leading_to(i for i, action in enumerate(actions) if _keeps(action))
        handed = graph.leading_to(i for i, action in enumerate(actions) if isinstance(action, HandOver))
        handed -= graph.leading_to(i for i, action in enumerate(actions) if isinstance(action, End))
        waters = _waters(material, procedure)
        where = {step.id: index for index, step in enumerate(procedure.steps) if step.id}
        for number, step in enumerate(procedure.steps, start=1):
            asked = [answer for answer in answers(step) if answer.go in where]
            doubt = list(_doubt(entry, number, asked, actions, where, starts))
            yield from doubt
            yield from _stays_to_hand_over(entry, number, asked, where, handed)
            if reader is not None:
                yield from _crossed(entry, number, question(step), asked, reader.table, bool(doubt))
                yield from _dry(entry, procedure, number, asked, where, graph, reader, waters)
                yield from _danger(entry, number, question(step), asked, where, goes_on, stays, reader.table)
                yield from _smells_burnt(entry, step, number, asked, where, stays, reader.table)


def _keeps(action: AnyAction | None) -> bool:
    """Return whether somebody who should be outside is kept at the plant: by work, or by an end that is none."""
    if isinstance(action, End):
        return action.end != "evacuated"
    return action is not None and not isinstance(action, StopDemand | Inform | Wait | HandOver | Record)


def _is(action: AnyAction | None, kinds: tuple[type, ...]) -> bool:
    return isinstance(action, kinds) or (isinstance(action, End) and action.end == "returned-to-service")


def _doubt(
    entry: Entry,
    number: int,
    asked: list[Answer],
    actions: list[AnyAction | None],
    where: dict[str, int],
    starts: frozenset[int],
) -> Iterator[Problem]:
    """Yield doubt in a plain question that leads to a start where another answer leads to none."""
    if any(answer.verdict for answer in asked):
        return  # the table of actions says where doubt goes
    stops = [answer for answer in asked if not answer.doubt and where[answer.go] not in starts]
    for answer in asked:
        # Who waits and looks again has not gone on.
        waits = isinstance(actions[where[answer.go]], Wait)
        if answer.doubt and stops and where[answer.go] in starts and not waits:
            yield DOUBT_GOES_ON.at(
                Spot(entry.path, answer.route),
                f"step {number}: `{answer.when}` leads on to a start, and `{stops[0].when}` does not",
                f"Lead it where `{stops[0].when}` leads (`{stops[0].go}`).",
            )


def _crossed(
    entry: Entry, number: int, asks: str, asked: list[Answer], table: Table, told: bool
) -> Iterator[Problem]:
    """Yield answers to a plain question of which the good and the bad one lead alike, or lead each other's way.

    Args:
        told: Whether its doubt is told already as one that goes on to a start.
    """
    if any(answer.verdict for answer in asked):
        return
    first = {id(answer): (_WORD.findall(plain(answer.when).lower()) or [""])[0] for answer in asked}
    yes = [answer for answer in asked if first[id(answer)] in table.yes and not answer.doubt]
    no = [answer for answer in asked if first[id(answer)] in table.denies | table.no and not answer.doubt]
    doubt = [answer for answer in asked if answer.doubt]
    sure = [answer for answer in asked if not answer.doubt]
    if any(each.danger for each in doubt) and len(sure) > 1 and len({each.go for each in sure}) == 1:
        yield ANSWERS_CROSSED.at(
            Spot(entry.path, sure[-1].route),
            f"step {number}: `{sure[0].when}` and `{sure[-1].when}` lead the same way, and only doubt says danger",
            "Lead the answer that tells of the danger where doubt leads, with `danger: true`.",
        )
        return
    if len(yes) != 1 or len(no) != 1 or len(doubt) != 1:
        return
    (one,), (other,), (unsure,) = yes, no, doubt
    # What a question calls "it" is what its instruction named last.
    named = _WORD.findall(plain(entry.data["steps"][number - 1]["do"]).lower())[-2:]
    said = f" {' '.join((*named, *_WORD.findall(plain(asks).lower())))} "
    right = next((f" {each} " for each in table.goods if f" {each} " in said), "")
    # "Nobody near" is what is right; its own word denies nothing.
    asks_good = right != "" and not set(said.replace(right, " ").split()) & (table.negators | table.no)
    bad = other if asks_good or _asks_for_none(asks, table) else one if _tells(asks, table) else None
    if one.go == other.go != unsure.go:
        yield ANSWERS_CROSSED.at(
            Spot(entry.path, other.route),
            f"step {number}: `{one.when}` and `{other.when}` lead the same way, and only `{unsure.when}` another",
            "Lead the bad answer where doubt leads.",
        )
    elif bad is not None and unsure.go in (one.go, other.go) and unsure.go != bad.go and not told:
        good = one if bad is other else other
        yield ANSWERS_CROSSED.at(
            Spot(entry.path, unsure.route),
            f"step {number}: `{unsure.when}` leads where `{good.when}` leads, and that is the good answer",
            f"Lead it where `{bad.when}` leads; see that the two are not crossed.",
        )


def _stays_to_hand_over(
    entry: Entry, number: int, asked: list[Answer], where: dict[str, int], handed: frozenset[int]
) -> Iterator[Problem]:
    """Yield an answer that says danger and leads to nothing but a hand-over, for which somebody stays."""
    for answer in asked:
        if answer.danger and where[answer.go] in handed:
            yield DANGER_GOES_ON.at(
                Spot(entry.path, answer.route),
                f"step {number}: `{shown(answer.when)}` says danger, and a hand-over keeps somebody there",
                "Lead it to leaving at once (`end: evacuated`); whoever is told is told outside.",
            )


def _dry(
    entry: Entry,
    procedure: Procedure,
    number: int,
    asked: list[Answer],
    where: dict[str, int],
    graph: Graph,
    reader: Reader,
    waters: frozenset[str],
) -> Iterator[Problem]:
    """Yield a way on which water is fed after an answer that none is in sight, before somebody has looked again."""
    table = reader.table
    if not _of_water(question(procedure.steps[number - 1]), table):
        return
    for answer in asked:
        words = _WORD.findall(plain(answer.when).lower())
        if not (words[:1] and words[0] in table.denies | table.no) and not answer.doubt:
            continue
        waiting, seen = [where[answer.go]], set()
        while waiting:
            index = waiting.pop()
            step = procedure.steps[index]
            if index in seen or _of_water(question(step), table):
                continue
            seen.add(index)
            text = entry.data["steps"][index]["do"]
            told = next((each.words for each in reader.told(text) if each.kind == "feed"), "")
            if isinstance(step.action, Restore) and step.action.restore in waters:
                told = told or text
            if told:
                yield FED_WITHOUT_WATER.at(
                    Spot(entry.path, (*step.route, "do")),
                    f"step {number}: `{shown(answer.when)}` leads here, where `{shown(told)}` feeds water",
                    "Stop the fire, shut the feed, let it cool, and call: nothing feeds a boiler found low while it is hot.",
                )
            waiting += [edge.target for edge in graph.edges[index]]


def _waters(material: Material, procedure: Procedure) -> frozenset[str]:
    """Return the sources of water of the plants of a page."""
    plants = (material.base.equipment(each) for each in procedure.equipment)
    return frozenset(each.id for plant in plants if plant for each in plant.sources if each.energy == "water")


def _of_water(asks: str, table: Table) -> bool:
    return bool(_phrase(asks, table.waters))


def _danger(
    entry: Entry,
    number: int,
    asks: str,
    asked: list[Answer],
    where: dict[str, int],
    goes_on: frozenset[int],
    stays: frozenset[int],
    table: Table,
) -> Iterator[Problem]:
    # "Are gas, smoke and alarm all absent?" has it behind the other answer.
    missed = _asks_for_none(asks, table)
    danger = "" if missed else _tells(asks, table)
    at_door = not any(answer.verdict for answer in asked) and any(
        where[each.go] not in stays for each in asked
    )
    for answer in asked if at_door else ():
        hint = _hints(answer.when, table)
        if hint and where[answer.go] in stays and _tells(answer.when, table) not in table.airs:
            yield DANGER_GOES_ON.at(
                Spot(entry.path, answer.route),
                f"step {number}: `{shown(answer.when)}` leaves {hint} in the air, and somebody is kept there",
                "Let only the answer lead on that denies all of it; who smells or hears anything, even faintly, leaves at once.",
            )
    asks_less = _asks_less(asks, table) if at_door else ""
    if asks_less:
        yield DANGER_GOES_ON.at(
            Spot(entry.path, asked[0].route),
            f"step {number}: it asks only for {asks_less}; who smells a little answers that there is none",
            "Ask for any smell, hiss or alarm.",
        )
    for answer in asked:
        words = _WORD.findall(plain(answer.when).lower())
        agrees, denies = words[:1] and words[0] in table.yes, words[:1] and words[0] in table.denies
        told = _tells(answer.when, table) or (danger if agrees else missed if denies else "")
        if told in table.airs and where[answer.go] in stays:
            yield DANGER_GOES_ON.at(
                Spot(entry.path, answer.route),
                f"step {number}: `{shown(answer.when)}` tells of {told}, and somebody is kept there to work before leaving",
                "Lead it to leaving at once (`end: evacuated`), with nothing before but stopping, telling and calling.",
            )
        elif told and where[answer.go] in goes_on:
            yield DANGER_GOES_ON.at(
                Spot(entry.path, answer.route),
                f"step {number}: `{shown(answer.when)}` tells of {told}, and something is opened or started after it",
                "Lead it to leaving at once, or to steps that only shut, switch off and warn before the end.",
            )


def _smells_burnt(
    entry: Entry,
    step: ProcedureStep,
    number: int,
    asked: list[Answer],
    where: dict[str, int],
    stays: frozenset[int],
    table: Table,
) -> Iterator[Problem]:
    """Yield an answer by which it smells of something burnt where the nose was asked, and somebody is kept there.

    What smells scorched may smoulder yet; no note, no lock and no next page puts it out.
    """
    asks = question(step)
    said = set(_WORD.findall(plain(f"{step.do} {asks}").lower()))
    if table.nosed.isdisjoint(said) or not table.wound.isdisjoint(said):
        return
    by_question = _said(asks, table.burnt, table)
    for answer in asked:
        words = _WORD.findall(plain(answer.when).lower())
        agrees = bool(words[:1]) and words[0] in table.yes
        told = _said(answer.when, table.burnt, table) or (by_question if agrees else "")
        if told and where[answer.go] in stays:
            yield DANGER_GOES_ON.at(
                Spot(entry.path, answer.route),
                f"step {number}: by `{shown(answer.when)}` it smells `{told}`, may smoulder yet, and somebody is kept there",
                "Lead it to leaving at once (`end: evacuated`), with nothing before but stopping, telling and calling.",
            )


def _said(text: str, wanted: frozenset[str], table: Table) -> str:
    """Return the first of some words that a text says and does not deny; empty for none."""
    denied = False
    for part in _PART.split(plain(text).lower()):
        words = _WORD.findall(part)
        if words and words[0] in table.yes | table.denies and len(words) == 1:
            continue  # the answer itself; what follows it speaks for itself
        denied = (denied and part[:1] not in _STOPS) or bool(
            set(words) & (table.negators | table.no | table.rid)
        )
        found = next((word for word in words if word in wanted), "")
        if found and not denied:
            return found
    return ""


def _hints(text: str, table: Table) -> str:
    """Return what an answer leaves in the air, however little; empty where it denies it or tells of something else."""
    little = _phrase(text, table.little)
    if little:
        return f"`{little}`"
    denied = False
    for part in _PART.split(plain(text).lower()):
        words = _WORD.findall(part)
        said = set(words)
        denied = (denied and part[:1] not in _STOPS) or bool(said & (table.negators | table.no | table.rid))
        for before, word in pairwise(["", *words]) if not denied else ():
            if word in table.in_air and f"{before} {word}" not in table.no_air:
                return f"`{word}`"
        if said <= table.denies:
            denied = False  # "No, a smell at the train": the comma denies nothing of what follows
    return ""


def _asks_less(text: str, table: Table) -> str:
    """Return what a question asks for that lets a little of it pass: "strong smell"."""
    words = _WORD.findall(plain(text).lower())
    return next(
        (f"{one} {other}" for one, other in pairwise(words) if one in table.strong and other in table.in_air),
        "",
    )


def _phrase(text: str, phrases: Iterable[str]) -> str:
    """Return the first of some phrases that a text holds; empty for none."""
    said = f" {' '.join(_WORD.findall(plain(text).lower()))} "
    return next((phrase for phrase in phrases if f" {phrase} " in said), "")


def _asks_for_none(text: str, table: Table) -> str:
    """Return the danger that a question asks to be without: "all absent", "free of gas", "no smell"; empty for none."""
    words = _WORD.findall(plain(text).lower())
    said = f" {' '.join(words)} "
    found = next((each for each in table.dangers if f" {each} " in said), "")
    denied = {*words[-1:]} <= table.rid or bool(_phrase(text, table.rules_out)) or not _tells(text, table)
    return found if denied else ""


def _tells(text: str, table: Table) -> str:
    """Return the danger that a text tells of and does not deny; empty for none."""
    denied = False
    for part in _PART.split(plain(text).lower()):
        words = _WORD.findall(part)
        if words[:1] == words and words and words[0] in table.yes | table.denies:
            continue  # the answer itself; what follows it speaks for itself
        stop = part[:1] in _STOPS
        # "Free of gas, smoke and alarm": a comma goes on with what was denied.
        denied = (denied and not stop) or bool(set(words) & (table.negators | table.no | table.rid))
        if denied:
            continue
        said = f" {' '.join(words)} "
        for danger in table.dangers:
            if f" {danger} " in said:
                return danger
    return ""


PAGE_CHECKS: tuple[Check, ...] = (_onward,)
