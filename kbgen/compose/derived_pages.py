"""The lines of pages that follow from a plant's data alone, as their author would write them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kbgen.model.circuit import Circuit, Point, parts, reach, return_mark
from kbgen.model.equipment import Equipment
from kbgen.model.wording import in_region

Data = Mapping[str, Any]
_CATEGORIES = (300, 600, 1000)
"""Voltages of meters; the category for what is fixed to the building is III (IEC 61010)."""


def _head(plant_id: str, plant: Equipment, title: str, purpose: str) -> dict[str, Any]:
    return {
        "title": f"{title}: {plant.head.title}",
        "status": "draft",
        "equipment": [plant_id],
        "purpose": purpose,
    }


def _arriving(plant: Equipment) -> list[Data]:
    """Return the lines that every page begins with: danger and the right plant, evidence, what else is asked."""
    at = next((index for index, each in enumerate(plant.arrive) if each.identify), len(plant.arrive) - 1)
    names = [each.id for each in plant.arrive]
    lines: list[Data] = [
        {"arrive": names[: at + 1] or ["all"]},
        {
            "do": in_region("Write down display, lamps, gauges and buttons. Reset nothing.", plant.region),
            "record": ["display", "first-out", "history", "resets", "gauges"],
            "note_down": "Display and gauges",
        },
    ]
    if rest := names[at + 1 :]:
        lines.append({"id": "more", "arrive": rest})
    return lines


def _leaving() -> list[Data]:
    return [
        {"id": "leave", "put_back": ["all"]},
        {
            "do": "Keep the locks on. Write on the tag your name, the date and what was found.",
            "end": "left-safe",
        },
    ]


def record(plant_id: str, plant: Equipment) -> Data:
    """Return the page that records the evidence."""
    return {
        **_head(plant_id, plant, "Record the evidence", "You know what it showed, and nothing was reset."),
        "steps": [
            *_arriving(plant),
            {
                "do": in_region("Write down how every switch, isolator and valve stands.", plant.region),
                "record": ["state"],
                "note_down": "Switches and valves",
            },
            {
                "do": "Ask who was there what happened, and who did what since.",
                "note_down": "Done before you came",
            },
            {
                "do": "Leave it as it is. Give the sheet to the lead technician.",
                "hand_over": "Lead technician",
            },
        ],
    }


def make_safe(plant_id: str, plant: Equipment) -> Data:
    """Return the page that makes safe."""
    return {
        **_head(plant_id, plant, "Make safe and prove dead", "Everything is off, locked and proved gone."),
        "meter": _meter(plant, 0.0),
        "steps": [*_arriving(plant), {"make_safe": ["all"]}, *_leaving()],
    }


def find_dead(plant_id: str, plant: Equipment, name: str, circuit: Circuit) -> Data:
    """Return the page that hunts along a circuit with ohms."""
    off = [
        each.id
        for each in plant.sources
        if each.electric or each.energy == "fuel" or each.id == circuit.supply.source
    ]
    opened = {each.behind for each in plant.sources if each.electric and each.id in off}
    covers = [cover for cover in _covers(circuit) if cover not in opened]
    return {
        **_head(
            plant_id,
            plant,
            f"{circuit.head.title}, find the open contact with ohms",
            "You know which contact is open.",
        ),
        "circuit": name,
        "meter": _meter(plant, circuit.supply.voltage.hi),
        "steps": [
            *_arriving(plant),
            {"make_safe": off},
            *([{"open": covers}] if covers else []),
            {"hunt_dead": name, "found": "leave", "made": "leave", "supply": "leave"},
            *_leaving(),
        ],
    }


def find_live(plant_id: str, plant: Equipment, name: str, circuit: Circuit, *, start: str) -> Data | None:
    """Return the page with nothing started, with all but the fire running, or with the demand on; nothing if it cannot."""
    firing = plant.firing
    if (start == "cold" and firing.cold is None) or (start == "demand" and firing.start is None):
        return None
    electrician = any(each.id == "electrician" for each in plant.endings)
    return {
        **_head(
            plant_id,
            plant,
            f"{circuit.head.title}, find the open contact live",
            "You know which contact is open.",
        ),
        "circuit": name,
        "meter": f"{_meter(plant, circuit.supply.voltage.hi)}, with a low-impedance range",
        "steps": [
            *_arriving(plant),
            {"burner_off": "valves", **({"still": "yes"} if firing.still else {})},
            {"open": _covers(circuit)},
            *([{"burner_on": start}] if start else []),
            {
                "hunt": name,
                "found": "found",
                "made": "made",
                **({} if electrician else {"supply": "stop-here"}),
            },
            {
                "id": "found",
                "do": "The place is known. Open does not mean faulty: ask next whether the contact does its job.",
                "go": "stop-here",
            },
            {"id": "made", "do": "No contact of it is open now. Write it down.", "go": "stop-here"},
        ],
    }


def _covers(circuit: Circuit) -> list[str]:
    """Return the covers behind which the points lie that are read from where the return lies."""
    lies = reach(circuit.path)
    back = return_mark(circuit.path)
    at = next(
        (
            where
            for part in parts(circuit.path)
            if isinstance(part, Point) and part.point == back
            for where in [lies[part][0]]
        ),
        "",
    )
    return list(dict.fromkeys(cover for place, cover in lies.values() if cover and place == at))


def _meter(plant: Equipment, volts: float) -> str:
    highest = max([volts, *(each.voltage.hi for each in plant.sources if each.electric and each.voltage)])
    rated = next((each for each in _CATEGORIES if each >= highest), _CATEGORIES[-1])
    return f"CAT III {rated} V or better, fused leads"
