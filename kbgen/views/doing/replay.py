"""What a log of one job comes to: the reference of ``site_overrides/assets/js/do-state.js``, line by line.

A log is a list of events that is only ever added to. Each event is a map with ``k``, its kind, and ``t``, its time in
milliseconds; an event that does not fit what was before it changes nothing. Kinds and further fields:

``start``: ``page``, ``who`` (initials), ``plant``, ``machine``, ``anew`` (after a break), ``practice``; ``go``: ``e`` (which answer), ``v`` (figures or marks as typed),
``u`` (whether out of doubt), ``ok`` (whether what is waited for is seen to be over); ``reach``: ``v`` (pairs of a step and its volts, the supply first); ``back``: ``undone``; ``break``: ``who``; ``sure``: ``key``, ``ok``, ``v``,
``own`` (whether an own lock hangs beside that of somebody else);
``leave``; ``end``; ``note``: ``text``; ``wrong``: ``text``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any

State = dict[str, Any]
Event = Mapping[str, Any]
Pages = Mapping[str, Mapping[str, Any]]

HELD = ("lock", "off", "shut", "guard", "dead", "tried", "zero")
"""What must be so where a page begins."""
BREAK = 30 * 60_000
"""Milliseconds after which nothing dead is known."""
MOST = 1e9
"""A figure that stands for more than the meter reads."""
TO_UNDO, PROOF, OWED = "u", "p", "o"


def begin() -> State:
    """Return the state of a job in which nothing was done."""
    return {
        "page": "",
        "at": 0,
        "since": 0,
        "trail": [],
        "unknown": [],
        "seen": {},
        "supply": None,
        "tags": 0,
        "readings": [],
        "stop": "",
        "done": [],
        "brings": [],
        "next": "",
        "beside": {},
        "who": "",
        "plant": "",
        "mark": "",
        "practice": False,
        "notes": [],
        "wrong": [],
    }


def replay(pages: Pages, events: Iterable[Event]) -> State:
    """Return the state a log comes to.

    Args:
        pages: The data of every page the log names, by id; see ``doing_data``.
    """
    state = begin()
    for event in events:
        act = _KINDS.get(str(event.get("k")))
        if act is not None and (event["k"] == "start" or state["page"] in pages):
            act(pages, state, event)
    return state


def holds(page: Mapping[str, Any], node: int) -> list[list[str]]:
    """Return the items that stand at a node: key, what it is for, words."""
    return [page["items"][each] for each in page["holds"][page["nodes"][node][1]]]


def may_start(page: Mapping[str, Any], state: State) -> bool:
    """Return whether a page may begin now: the page before it was done, and asked for danger and for the right plant."""
    done = [each[0] for each in state["done"]]
    if state["practice"]:
        return True
    if page["after"] and page["after"][0] not in done and state["next"] != page["id"]:
        return False
    return all(key in state["brings"] for key in page["needs"] if key.partition(":")[0] not in HELD)


def supply_of(limits: Mapping[str, Any], volts: float | None, known: list[Any] | None) -> list[Any] | None:
    """Return what the supply of a circuit is now: circuit, place and volts of the reading nearest to it, the last one.

    Args:
        volts: The reading of now; ``None`` before it is taken.
        known: What it was before; of no use for another circuit.
    """
    mine = known if known and known[0] == limits["of"] else None
    if volts is None or "place" not in limits or not limits["band"][0] <= abs(volts) <= limits["band"][1]:
        return mine
    return mine if mine and mine[1] < limits["place"] else [limits["of"], limits["place"], abs(volts)]


def judge(limits: Mapping[str, Any], volts: float, known: list[Any] | None) -> str:
    """Return the word for a reading, the supply as read: none, some, full or over."""
    read, found = abs(volts), supply_of(limits, volts, known)
    supply = found[2] if found else None
    if read <= limits["none"]:
        return "none"
    if "sup" in limits:
        low, high = limits["band"]
    elif supply is None:
        low, high = limits["n"]
    else:
        within = min(limits["w"][0], limits["w"][1] * supply)
        low = max(_tenths(supply * limits["sag"][0] - within), limits["least"])
        high = max(low, _tenths(supply * limits["sag"][1] + within))
    return (
        "some"
        if read < low
        else "full"
        if read <= high
        else "above"
        if read <= limits.get("more", 0)
        else "over"
    )


def says(step: Mapping[str, Any], e: int) -> str:
    """Return which class of a reading an answer stands for."""
    word: str = step["volts"]["is"][e] if "is" in step["volts"] else step["answers"][e][1]
    return word


def fits(ranges: list[list[float] | None], e: int, figure: float) -> bool:
    """Return whether an answer may be given for a figure: it lies in its range, or in none and the answer is none."""
    there = [each is not None and each[0] <= abs(figure) <= each[1] for each in ranges]
    return there[e] or (ranges[e] is None and not any(there))


def proved(step: Mapping[str, Any], figures: Any) -> str:
    """Return what figures say of a source: every pair next to nothing, and the meter read before and after."""
    if not _numbers(figures, len(step["pairs"]) + 2):
        return ""
    first, *pairs, last = (abs(each) for each in figures)
    reads = first >= step["least"] and last >= step["least"] and last >= 0.8 * first
    return "dead" if reads and all(each <= step["dead"] for each in pairs) else "live"


def alike(marks: Any, own: str = "") -> str:
    """Return whether marks are the same, and ``own``, that of the machine where the shop has its number."""
    if not isinstance(marks, list) or len(marks) < 2 or not all(isinstance(each, str) for each in marks):
        return ""
    given = [*marks, own] if own else marks
    said = ["".join(sign for sign in each.upper() if sign.isascii() and sign.isalnum()) for each in given]
    return "same" if said[0] and len(set(said)) == 1 else "different" if all(said) else ""


def _tenths(volts: float) -> float:
    return math.floor(volts * 10 + 0.5) / 10


def _numbers(figures: Any, count: int) -> bool:
    return (
        isinstance(figures, list)
        and len(figures) == count
        and all(isinstance(each, int | float) and not isinstance(each, bool) for each in figures)
        and all(math.isfinite(each) and abs(each) <= MOST for each in figures)
    )


def _start(pages: Pages, state: State, event: Event) -> None:
    page = pages.get(event["page"])
    if state["page"] or page is None or (state["done"] and bool(event.get("practice")) != state["practice"]):
        return
    state["practice"] = bool(event.get("practice"))
    if not may_start(page, state):
        return
    if event.get("anew") or event["who"] != state["who"] or event["t"] - state["since"] > BREAK:
        # After a break, or for somebody else, nothing that holds or was proved is taken as it was left.
        state["brings"] = [key for key in state["brings"] if key.partition(":")[0] not in HELD]
    first = holds(page, 0)
    keys = {each[0] for each in first}
    state |= {"page": event["page"], "at": 0, "since": event["t"], "trail": [], "stop": "", "supply": None}
    state["who"], state["plant"] = event["who"], event["plant"]
    state["mark"] = event["plant"] if event.get("machine") else ""
    state["unknown"] = [
        key
        for key, what, _ in first
        if what in (TO_UNDO, PROOF) and key.partition(":")[0] in HELD and key not in state["brings"]
        if not state["practice"]
    ]
    carried = state["beside"]
    state["beside"] = {key: words for key, words in carried.items() if key not in keys}
    state["seen"] = {key: seen for key, seen in state["seen"].items() if key in keys or key in carried}


def _go(pages: Pages, state: State, event: Event) -> None:
    page = pages[state["page"]]
    number, _, ways, _ = page["nodes"][state["at"]]
    step, e = page["steps"][number], event["e"]
    if state["stop"] or state["unknown"] or not 0 <= e < len(ways):
        return
    answer: list[Any] = step["answers"][e] if step.get("answers") else ["", "", 0, 0]
    doubt = bool(event.get("u")) and bool(answer[2])
    figures: Any = event.get("v")
    if "wait" in step and not _waited(state, step["wait"], event):
        return
    if not doubt and not answer[3] and not _answered(state, step, e, figures):
        return
    if figures is not None and not doubt:
        state["readings"].append([state["page"], number, figures])
    if state["stop"]:
        return
    target = ways[e]
    if target < 0:
        state["stop"] = "cannot" if target == -1 else "used"
        return
    if "volts" in step and _numbers(figures, 1):
        state["supply"] = supply_of(step["volts"], figures[0], state["supply"]) or state["supply"]
    if step.get("asks"):
        state["supply"] = None
    for verdict, keys in step.get("clears", {}).items():
        if verdict in ("", answer[1]):
            state["beside"] = {key: words for key, words in state["beside"].items() if key not in keys}
    if step.get("tag") == "":
        state["tags"] += 1
    state["trail"].append(state["at"])
    _arrive(page, state, target, event)


def _waited(state: State, wait: list[Any], event: Event) -> bool:
    """Return whether a wait is over: its time, and what shows it, each figure below its limit or seen at the plant.

    In practice no plant cools, so that its time is not waited for.
    """
    seconds, _, limits = wait[:3]
    if not state["practice"] and event["t"] - state["since"] < seconds * 1000:
        return False
    if not limits:
        return bool(event.get("ok"))
    figures: Any = event.get("v")
    return _numbers(figures, len(limits)) and all(
        figure < most or figure == most == 0 for figure, (_, most) in zip(figures, limits, strict=True)
    )


def _answered(state: State, step: Mapping[str, Any], e: int, figures: Any) -> bool:
    """Return whether the figures of an event say what its answer says; foreign volts stop the page."""
    verdict = step["answers"][e][1] if step.get("answers") else ""
    if "volts" in step:
        if not _numbers(figures, 1):
            return False
        word = judge(step["volts"], figures[0], state["supply"])
        if word == "over":
            state["stop"] = "foreign"
        return word in (says(step, e), "over")
    if "over" in step and _numbers(figures, 1) and abs(figures[0]) > step["over"]:
        state["stop"] = "foreign"
    if "pairs" in step:
        return proved(step, figures) == verdict
    if "mark" in step:
        return alike(figures, state["mark"]) == verdict
    if "ranges" in step:
        return _numbers(figures, 1) and fits(step["ranges"], e, figures[0])
    return "number" not in step or _numbers(figures, 1)


def _reach(pages: Pages, state: State, event: Event) -> None:
    """Take several readings of one reach, and follow them as far as they decide; one in between decides nothing."""
    page = pages[state["page"]]
    steps, listed = page["steps"], page["steps"][page["nodes"][state["at"]][0]].get("reach", [])
    figures = event["v"]
    if state["stop"] or state["unknown"] or not _of_reach(listed, figures):
        return
    supply = listed[0]
    found = supply_of(steps[supply]["volts"], next(volts for step, volts in figures if step == supply), None)
    words = {step: judge(steps[step]["volts"], volts, found) for step, volts in figures}
    state["readings"] += [[state["page"], step, [volts]] for step, volts in figures]
    state["supply"] = found
    if any(word in ("over", "above") for word in words.values()):
        state["stop"] = "foreign"
    elif words[supply] != "full" and page["nodes"][state["at"]][0] != supply:
        state["stop"] = "supply"
    while not state["stop"]:
        number, _, ways, _ = page["nodes"][state["at"]]
        word = words.pop(number, "some")
        if word == "some":
            return
        e = next(at for at, each in enumerate(steps[number]["answers"]) if each[1] == word)
        if ways[e] < 0:
            state["stop"] = "cannot" if ways[e] == -1 else "used"
            return
        state["trail"].append(state["at"])
        _arrive(page, state, ways[e], event)


def _of_reach(listed: list[int], figures: Any) -> bool:
    """Return whether figures are pairs of a step of a reach and its volts, each once, with the supply among them."""
    return (
        isinstance(figures, list)
        and all(isinstance(each, list) and len(each) == 2 and each[0] in listed for each in figures)
        and len({each[0] for each in figures}) == len(figures)
        and any(each[0] == listed[0] for each in figures)
        and _numbers([each[1] for each in figures], len(figures))
    )


def _arrive(page: Mapping[str, Any], state: State, node: int, event: Event) -> None:
    before = {each[0] for each in holds(page, state["at"])}
    state["at"], state["since"] = node, event["t"]
    now = {each[0] for each in holds(page, node)}
    state["beside"] = {key: words for key, words in state["beside"].items() if key not in now}
    kept = {key: seen for key, seen in state["seen"].items() if key in now or key in state["beside"]}
    state["seen"] = kept | {key: [state["who"], event["t"]] for key in sorted(now - before)}


def _back(pages: Pages, state: State, event: Event) -> None:
    page = pages[state["page"]]
    if state["stop"] in ("cannot", "used", "foreign", "supply"):
        # Volts that do not belong there: the supply may have changed, so it is read anew.
        state |= {"stop": "", "supply": None}
        return
    if state["stop"] or state["unknown"] or not state["trail"]:
        return
    to = state["trail"][-1]
    asks = any(page["steps"][page["nodes"][node][0]].get("asks") for node in (to, state["at"]))
    if asks and not event.get("undone"):
        return
    state["trail"].pop()
    now = {each[0] for each in holds(page, state["at"])}
    state["supply"] = None
    # What was proved and is not proved now does not come back by going back.
    state["unknown"] = [key for key, what, _ in holds(page, to) if what == PROOF and key not in now]
    _arrive(page, state, to, event)


def _break(pages: Pages, state: State, event: Event) -> None:
    there = holds(pages[state["page"]], state["at"])
    wanted = [
        key for key, what, _ in there if what == TO_UNDO and not key.startswith("look:") and "?" not in key
    ]
    wanted += [key for key, what, _ in there if what == PROOF]
    state["unknown"] = wanted + [key for key in state["beside"] if key not in wanted]
    state["who"], state["supply"] = event["who"], None


def _sure(pages: Pages, state: State, event: Event) -> None:
    page, key = pages[state["page"]], event["key"]
    if state["stop"] or not state["unknown"] or state["unknown"][0] != key:
        return
    if not event["ok"]:
        state["stop"] = "lost"
        return
    kind = key.partition(":")[0]
    if kind == "lock" and state["seen"].get(key, [""])[0] != state["who"]:
        # Whoever takes over hangs an own lock before the first comes off.
        if not event.get("own"):
            return
        state["tags"] += 1
    if kind in ("dead", "tried", "zero"):
        step = page["steps"][page["again"][key]] if key in page["again"] else None
        if step is None or ("pairs" in step and proved(step, event.get("v")) != "dead"):
            return
        if "number" in step and not _numbers(event.get("v"), 1):
            return
        if event.get("v") is not None:
            state["readings"].append([state["page"], page["again"][key], event["v"]])
    state["unknown"].pop(0)
    state["seen"][key] = [state["who"], event["t"]]


def _close(pages: Pages, state: State, how: str, number: int, brings: list[str]) -> None:
    page = pages[state["page"]]
    there = holds(page, state["at"])
    left = {key: words for key, what, words in there if what in (TO_UNDO, OWED) or key.startswith("lead:")}
    state["done"].append([state["page"], how, number])
    state |= {"page": "", "brings": brings, "beside": state["beside"] | left, "unknown": [], "trail": []}
    onward = page["steps"][number].get("next", []) if number >= 0 else []
    state |= {"supply": None, "stop": "", "next": onward[0] if onward else ""}


def _leave(pages: Pages, state: State, _: Event) -> None:
    _close(pages, state, "left", -1, [])


def _end(pages: Pages, state: State, _: Event) -> None:
    page = pages[state["page"]]
    number = page["nodes"][state["at"]][0]
    if state["stop"] or state["unknown"] or "ends" not in page["steps"][number]:
        return
    _close(pages, state, page["steps"][number]["ends"], number, page["brings"].get(str(number), []))


def _note(pages: Pages, state: State, event: Event) -> None:
    number = pages[state["page"]]["nodes"][state["at"]][0]
    state["wrong" if event["k"] == "wrong" else "notes"].append([state["page"], number, event["text"]])


_KINDS: Mapping[str, Callable[[Pages, State, Event], None]] = {
    "start": _start,
    "go": _go,
    "reach": _reach,
    "back": _back,
    "break": _break,
    "sure": _sure,
    "leave": _leave,
    "end": _end,
    "note": _note,
    "wrong": _note,
}
