"""Random logs of a job, as a person and a careless one would make them; by a seed."""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

from kbgen.views.doing.replay import begin, holds, replay

Pages = Mapping[str, Mapping[str, Any]]


def random_log(pages: Pages, name: str, chance: random.Random, length: int = 60) -> list[dict[str, Any]]:
    """Return a log that begins a page and goes on with what mostly fits, and sometimes does not.

    The page before it is done at first where there is one, so that it may begin.
    """
    log: list[dict[str, Any]] = []
    practice = {"practice": 1} if chance.random() < 0.1 else {}
    plant = {"plant": "B 7", "machine": "b-7"} if chance.random() < 0.5 else {"plant": "7"}
    now = 1_000_000
    page = pages[name]
    chain = [name]
    while page["after"] and page["after"][0] in pages and page["after"][0] not in chain:
        chain.insert(0, page["after"][0])
        page = pages[chain[0]]
    for each in chain:
        log.append({"k": "start", "t": now, "page": each, "who": "AB", **plant, **practice})
        for _ in range(length if each == name else 8 * length):
            state = replay(pages, log)
            if not state["page"]:
                break
            now += chance.choice((1_000, 20_000, 4_000_000))
            log.append({"t": now, **_next(pages[state["page"]], state, chance, straight=each != name)})
    return log


def _next(
    page: Mapping[str, Any], state: Mapping[str, Any], chance: random.Random, *, straight: bool
) -> dict[str, Any]:
    number, _, ways, _ = page["nodes"][state["at"]]
    step = page["steps"][number]
    if state["unknown"]:
        key = state["unknown"][0]
        again = page["steps"][page["again"][key]] if key in page["again"] else {}
        own = {"own": 1} if chance.random() < 0.9 else {}
        return {
            "k": "sure",
            "key": key,
            "ok": chance.random() < 0.9,
            **own,
            **_figures(again, chance, "dead"),
        }
    if state["stop"]:
        return {"k": chance.choice(("back", "leave", "go")), "e": 0}
    if "ends" in step and (not ways or straight or chance.random() < 0.7):
        return {"k": "end"}
    luck = chance.random() * (0.65 if straight else 1)
    if luck > 0.97:
        return {"k": "break", "who": chance.choice(("AB", "CD"))}
    if luck > 0.87:
        return {"k": "back", "undone": chance.random() < 0.7}
    if luck > 0.86:
        return {"k": chance.choice(("leave", "note", "wrong", "nonsense")), "text": "a word"}
    if "reach" in step and chance.random() < 0.5:
        listed = step["reach"] if chance.random() < 0.95 else step["reach"][1:]
        return {"k": "reach", "v": [[each, _volts(page["steps"][each], chance)] for each in listed]}
    far = max(range(len(ways)), key=lambda e: page["nodes"][ways[e]][3] if ways[e] >= 0 else 0) if ways else 0
    e = far if luck < 0.65 else chance.randrange(len(ways) or 1)
    answer = step["answers"][e] if step.get("answers") else ["", "", 0, 0]
    return {
        "k": "go",
        "e": e,
        **({"u": 1} if luck > 0.8 and answer[2] else _figures(step, chance, answer[1])),
    }


def _figures(step: Mapping[str, Any], chance: random.Random, verdict: str) -> dict[str, Any]:
    """Return what is typed at a step, so that it mostly says what is answered."""
    if "volts" in step:
        limits = step["volts"]
        low, high = limits.get("band", limits["n"])
        full = round((low + high) / 2, 1)
        fits = {"none": limits["none"] / 2, "some": (limits["none"] + low) / 2, "full": full}.get(
            verdict, full
        )
        return {"v": [chance.choice((fits, fits, fits, full, 0, -full, 480, low, high, limits["none"]))]}
    if "ranges" in step:
        return {"v": [chance.choice((0.3, 1, 4, 50, 2200, 1e9))]}
    if "wait" in step and step["wait"][2]:
        return {"v": [chance.choice((most / 2, most)) for _, most in step["wait"][2]]}
    if "wait" in step:
        return {"ok": 1} if chance.random() < 0.9 else {}
    if "pairs" in step:
        pairs = [chance.choice((0, 0.3, step["dead"])) for _ in step["pairs"]]
        if verdict != "dead":
            pairs[0] = 117
        return {"v": [230, *pairs, chance.choice((230, 229, 230, 90))]}
    if "mark" in step:
        return {
            "v": [
                chance.choice(("b 7", "b 7", "b 7", "B 8")),
                "B-7" if verdict == "same" else chance.choice(("B-8", "")),
            ]
        }
    if "number" in step:
        return {"v": [chance.choice((12, 4.5, 0))]} if chance.random() < 0.9 else {}
    return {}


def _volts(step: Mapping[str, Any], chance: random.Random) -> float:
    """Return volts for one of several readings: mostly full or nothing, sometimes in between or foreign."""
    low, high = step["volts"].get("band", step["volts"]["n"])
    full = round((low + high) / 2, 1)
    return float(chance.choice((full, full, full, full, 0, 0, 0, low / 2, 480)))


__all__ = ["begin", "holds", "random_log"]
