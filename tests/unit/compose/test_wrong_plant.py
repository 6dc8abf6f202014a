"""What the plant's entry says is written into every page: a wrong entry is refused, by name and at its place."""

from __future__ import annotations

from typing import Any

import pytest

from tests.unit.compose.ground import Change, named, problems, source

Data = dict[str, Any]


def test_the_entry_as_it_is_has_no_problem() -> None:
    assert [f"{each.rule}: {each.message}" for each in problems()] == []


def put(*path: Any, value: Any) -> Change:
    def change(data: Data) -> None:
        here: Any = data
        for key in path[:-1]:
            here = here[key]
        here[path[-1]] = value

    return change


def of_source(name: str, **fields: Any) -> Change:
    def change(data: Data) -> None:
        found = source(data, name)
        for key, value in fields.items():
            if value is None:
                found.pop(key, None)
            else:
                found[key] = value

    return change


def words(kind: str, name: str, deed: str, do: str | None) -> Change:
    def change(data: Data) -> None:
        found = named(data, kind, name).setdefault("words", {})
        if do is None:
            del found[deed]
        else:
            found[deed] = {**found.get(deed, {}), "do": do}

    return change


def of(kind: str, name: str, **fields: Any) -> Change:
    def change(data: Data) -> None:
        found = named(data, kind, name)
        for key, value in fields.items():
            if value is None:
                found.pop(key, None)
            else:
                found[key] = value

    return change


def firing(**fields: Any) -> Change:
    def change(data: Data) -> None:
        for key, value in fields.items():
            if value is None:
                del data["firing"][key]
            else:
                data["firing"][key] = value

    return change


def without(*keys: str) -> Change:
    def change(data: Data) -> None:
        here = data
        for key in keys[:-1]:
            here = here[key]
        del here[keys[-1]]

    return change


def ending(name: str, steps: list[Data]) -> Change:
    def change(data: Data) -> None:
        named(data, "endings", name)["steps"] = steps

    return change


def no_ending(name: str) -> Change:
    def change(data: Data) -> None:
        data["endings"] = [each for each in data["endings"] if each["id"] != name]

    return change


_ORDER = ["gas", "fan", "control", "alarm", "steam", "feed-water", "heat"]
_TAG = {"do": "Hang the tag.", "end": "left-safe"}

# The change, and the rule that refuses it. The first seven were accepted by the experiment of before.
WRONG: dict[str, tuple[Change, str]] = {
    "conductors of another feed": (of_source("control", conductors=["C7", "C8"], also_dead=None), "supply-point-not-proved"),
    "only the far end of the string": (of_source("control", conductors=["T27", "T90"], also_dead=None), "supply-point-not-proved"),
    "control first, gas last": (put("off_order", value=[*reversed(_ORDER[:3]), *_ORDER[3:]]), "off-order-unsafe"),
    "foreign feed without conductors": (of_source("alarm", conductors=None), "source-not-provable"),
    "stopped by pressing START": (firing(stop={"do": "Press START."}), "deed-not-said"),
    "no wait for what is stored": (of_source("steam", wait=None), "stored-energy-stays"),
    "a stop that starts": (firing(stop_by="Burner switch to ON"), "stop-is-start"),
    # Order.
    "gas last": (put("off_order", value=[*_ORDER[1:], "gas"]), "off-order-unsafe"),
    "fan after control": (put("off_order", value=["gas", "control", "fan", *_ORDER[3:]]), "off-order-unsafe"),
    "gas after the alarm feed": (put("off_order", value=["alarm", "gas", "fan", "control", *_ORDER[4:]]), "off-order-unsafe"),
    "a source left out": (put("off_order", value=_ORDER[:-1]), "off-order-incomplete"),
    "a source twice": (put("off_order", value=[*_ORDER, "gas"]), "off-order-incomplete"),
    "a source that is not there": (put("off_order", value=[*_ORDER, "oil"]), "unknown-name"),
    "no order": (without("off_order"), "plant-data-missing"),
    # Proofs.
    "two of three phases": (of_source("fan", conductors=["L1", "L2"]), "source-not-provable"),
    "one phase twice": (of_source("fan", conductors=["L1", "L2", "L2"]), "source-not-provable"),
    "control without its return": (of_source("control", conductors=["T10", "T19"], also_dead=["T20"]), "supply-point-not-proved"),
    "control without conductors": (of_source("control", conductors=None), "source-not-provable"),
    "supply points not proved": (of_source("control", also_dead=None), "supply-point-not-proved"),
    "proved behind nothing": (of_source("fan", behind=None), "source-not-provable"),
    "proved behind another cover": (of_source("control", behind="float-cap"), "supply-point-not-proved"),
    "proved behind no cover of it": (of_source("alarm", behind="hatch"), "unknown-name"),
    "no known source": (without("known_source"), "source-not-provable"),
    "steam never seen gone": (words("sources", "steam", "prove", None), "stored-energy-stays"),
    "heat seen gone by nothing": (put("sources", 5, "words", "prove", value={"do": "Touch the shell."}), "stored-energy-stays"),
    "feed water never seen gone": (words("sources", "feed-water", "prove", None), "stored-energy-stays"),
    # Words.
    "the boiler vent has a switch": (of_source("heat", handle="boiler vent"), "handle-no-switch"),
    "one handle for two": (of_source("fan", handle="Q2"), "handle-of-two"),
    "steam without words": (of_source("steam", words=None), "no-words-for-it"),
    "steam without a way back": (words("sources", "steam", "switch_on", None), "no-words-for-it"),
    "alarm without its lock": (words("sources", "alarm", "lock", None), "no-words-for-it"),
    "steam opened to isolate it": (words("sources", "steam", "switch_off", "Open the main steam stop valve."), "deed-not-said"),
    "feed water shut to bring it back": (words("sources", "feed-water", "switch_on", "Shut the feed stop valve."), "deed-not-said"),
    "fan switched on to isolate it": (words("sources", "fan", "switch_off", "Switch isolator `Q1` on."), "deed-not-said"),
    "control's words name the fan": (words("sources", "control", "switch_off", "Switch isolator `Q1` off."), "words-against-action"),
    "a lock that says nothing": (words("sources", "steam", "lock", "Look at the handwheel."), "deed-not-said"),
    "an isolation that only looks": (words("sources", "feed-water", "switch_off", "Look at the feed pump."), "deed-not-said"),
    "plant cock shut to open it": (words("fuel_valves", "plant-cock", "open", "Shut the plant cock."), "deed-not-said"),
    "another cock's words": (words("fuel_valves", "burner-cock", "open", "Open the plant cock."), "words-against-action"),
    "a cock without a handle": (of("fuel_valves", "pilot-cock", handle=None), "no-words-for-it"),
    "gas without a valve of its own": (of("fuel_valves", "plant-cock", fuel=None), "fuel-without-valve"),
    "gas stopped at the burner only": (of("fuel_valves", "plant-cock", stops="burner-fuel"), "fuel-without-valve"),
    "a cap put on to open it": (words("covers", "float-cap", "open", "Put the cap of the float switch on."), "deed-not-said"),
    "a cap taken off to close it": (words("covers", "float-cap", "close", "Take the cap of the float switch off."), "deed-not-said"),
    # Fire, people, door, endings.
    "no word how it stops": (firing(stop=None), "plant-data-missing"),
    "started by switching off": (firing(start={"do": "Turn the burner switch to OFF."}), "stop-is-start"),
    "nobody is told that it comes on": (without("telling", "who_on"), "nobody-is-told"),
    "nobody is told that it goes off": (without("telling", "who_off"), "nobody-is-told"),
    "a smell of gas that only stops": (of("arrive", "smell", otherwise="stop-here"), "door-question-open"),
    "a smell of gas that is no danger": (of("arrive", "smell", danger=None), "door-question-open"),
    "a door question that asks nothing": (of("arrive", "water", ask=None), "door-question-open"),
    "a door that leads nowhere": (of("arrive", "water", otherwise="dri"), "unknown-name"),
    "an ending that opens the gas": (
        ending("stop-here", [{"do": "Open the plant cock.", "open_valve": "plant-cock"}, _TAG]),
        "ending-unsafe",
    ),
    "an ending that lets it start": (ending("stop-here", [{"burner_on": "demand"}, _TAG]), "ending-unsafe"),
    "an ending that does not end": (ending("stop-here", [{"burner_off": "valves"}]), "ending-unsafe"),
    "no ending for what is not dead": (no_ending("not-dead"), "line-leads-nowhere"),
    "an ending with a routine that is none": (ending("stop-here", [{"lockoff": ["gas"]}, _TAG]), "unknown-field"),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_entry_is_refused(name: str) -> None:
    change, rule = WRONG[name]
    found = problems(change)
    assert rule in {each.rule for each in found}, [f"{each.rule}: {each.message}" for each in found]
    assert all(each.hint.strip() for each in found)


def test_forty_wrong_entries_are_refused() -> None:
    assert len(WRONG) >= 40


def test_480_volts_behind_the_door_and_nobody_says_what_to_wear() -> None:
    def change(data: Data) -> None:
        del named(data, "covers", "panel-door")["words"]["live"]

    found = problems(change, ("sb-find-open-contact",))
    assert {(each.rule, "480 V" in each.message) for each in found} == {("plant-data-missing", True)}
