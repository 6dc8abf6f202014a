"""Random circuits of 5 to 30 devices, series and parallel, with places, covers, taps and options."""

from __future__ import annotations

import random
from typing import Any

from kbgen.link.base import KnowledgeBase
from tests.unit.circuit.bases import string

PLANT = {
    "places": [
        {"id": p, "title": p, "travel": f"{m} min"} for p, m in (("panel", 0), ("front", 2), ("roof", 8))
    ],
    "covers": [
        {"id": "door", "title": "Door", "place": "panel", "minutes": "1 min"},
        {"id": "lid", "title": "Lid", "place": "front", "minutes": "3 min"},
        {"id": "hatch", "title": "Hatch", "place": "roof", "minutes": "4 min"},
    ],
    "sizes": [{"id": "s", "title": "S"}],
}
_WHERE = [("panel", "door"), ("front", "lid"), ("roof", "hatch"), ("front", "")]


def random_circuit(rng: random.Random, least: int = 5, most: int = 30) -> KnowledgeBase:
    """Return plant `p` with circuit `c`."""
    devices: dict[str, dict[str, Any]] = {}
    marks = iter(range(1000))

    def contact() -> dict[str, Any]:
        name = f"d{len(devices)}"
        place = rng.choice(_WHERE)[0]
        devices[name] = {
            "title": name,
            "place": place,
            "weight": rng.choice(["1", "2", "4"]),
            "guards": "temperature",
        }
        return {"contact": name}

    def point() -> dict[str, Any]:
        place, cover = rng.choice(_WHERE)
        there = {"place": place, **({"cover": cover} if cover else {})} if rng.random() < 0.5 else {}
        return {"point": f"X:{next(marks)}", **there}

    wanted = rng.randint(least, most)
    path: list[dict[str, Any]] = [{"point": "L", "place": "panel", "cover": "door"}]
    if rng.random() < 0.7:
        path += [{"fuse": "F1", "rating": "2 A"}, point()]
    while len(devices) < wanted:
        if rng.random() < 0.15 and len(devices) + 2 <= wanted:
            branch = [contact(), point(), contact()] if rng.random() < 0.3 else [contact()]
            path.append({"parallel": [branch, [contact()]]})
        else:
            path.append(contact())
        if rng.random() < 0.9:
            path.append(point())
        if rng.random() < 0.05:
            path.append({"tap": [{"load": f"lamp {len(path)}", "impedance": "4 kΩ", "lamp": "true"}]})
    path += [rng.choice([{"input": "i"}, {"coil": "d0", "impedance": "200 Ω to 300 Ω"}]), {"point": "N"}]
    supply = {
        "voltage": rng.choice(["24 V ± 10 %", "120 V ± 10 %", "230 V"]),
        "current": rng.choice(["AC", "DC"]),
        "earthing": rng.choice(["grounded", "ungrounded", "reversible"]),
    }
    return string(path, supply, plant=PLANT, devices=devices)
