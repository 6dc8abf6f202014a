"""The model holds more plant than the one it was made for.

Every field of every schema is used by an entry somebody wrote: in the demonstration, in the starter of
``kbgen new shop`` or in one of the good knowledge bases. A field that nobody uses is deleted, or
somebody writes the entry that needs it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import reduce
from pathlib import Path
from typing import Any

import pytest

from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State
from kbgen.load import load
from kbgen.pipeline import Compiled, compile_folder
from kbgen.problems import Severity
from kbgen.ref import Kind
from kbgen.schemas import Schemas, file_name, load_schemas
from kbgen.schemas.inline import find_ref

ROOT = Path(__file__).resolve().parents[2]
GOOD = ROOT / "tests" / "kb" / "good"
BASES = (
    ROOT / "kb_source",
    ROOT / "kbgen" / "starter_shop",
    *sorted(path for path in GOOD.iterdir() if path.is_dir()),
)


class Counter:
    """Counts fields in the schema files as written: what several places share is one field."""

    def __init__(self, schemas: Schemas) -> None:
        self.files = schemas.files
        self.places: dict[tuple[int, str], str] = {}
        self.used: set[tuple[int, str]] = set()
        of_kinds = [schemas.files[file_name(kind)]["properties"] for kind in Kind]
        every_kind = reduce(lambda names, fields: names & fields.keys(), of_kinds, set(of_kinds[0]))
        self.shared = {name: id(of_kinds[0]) for name in every_kind}

    def field(self, properties: Mapping[str, Any], name: str, *, top: bool) -> tuple[int, str]:
        """Name a field; what every kind of entry has is one field."""
        return (self.shared[name] if top and name in self.shared else id(properties)), name

    def list_fields(self, home: str, raw: Mapping[str, Any], where: str, *, top: bool = False) -> None:
        """Note every field below a part of a schema, with the place where a reader finds it."""
        home, raw = self.target(home, raw)
        for head, part in variants(raw):
            properties = part.get("properties", {})
            for name, inner in properties.items():
                key = self.field(properties, name, top=top)
                if key not in self.places:
                    self.places[key] = f"{where}.{head}{name}"
                    self.list_fields(home, inner, f"{where}.{head}{name}")
        if isinstance(raw.get("items"), dict):
            self.list_fields(home, raw["items"], f"{where}[]")

    def count(self, home: str, raw: Mapping[str, Any], data: Any, *, top: bool = False) -> None:
        """Note every field that a piece of data uses."""
        home, raw = self.target(home, raw)
        if isinstance(data, list):
            for item in data:
                self.count(home, raw["items"], item)
        elif isinstance(data, dict):
            for head, part in variants(raw):
                properties = part.get("properties", {})
                if not head or head.removesuffix(": ") in data:
                    for name in properties.keys() & data.keys():
                        self.used.add(self.field(properties, name, top=top))
                        self.count(home, properties[name], data[name])

    def target(self, home: str, raw: Mapping[str, Any]) -> tuple[str, Mapping[str, Any]]:
        """Follow references to the part of a schema that they name."""
        while "$ref" in raw:
            found = find_ref(home, raw["$ref"], self.files)
            assert found, raw["$ref"]
            home, raw = found
        return home, raw


def variants(raw: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield what an object is made of: itself, or what all its heads share and each head."""
    yield "", raw
    if "x-heads" in raw:
        yield "", raw["x-heads"]["common"]
        yield from ((f"{name}: ", part) for name, part in raw["x-heads"]["heads"].items())
        if apart := raw["x-heads"].get("apart"):
            yield "", apart["common"]
            yield from ((f"{name}: ", part) for name, part in apart["heads"].items())


def unused(bases: tuple[Path, ...]) -> list[str]:
    """List the fields that no entry of these knowledge bases uses."""
    schemas = load_schemas()
    counter = Counter(schemas)
    for kind in (None, *Kind):
        name = file_name(kind)
        counter.list_fields(name, schemas.files[name], str(kind or "kb"), top=kind is not None)
    for base in bases:
        for document in load(base).documents:
            name = file_name(document.kind)
            counter.count(name, schemas.files[name], document.data, top=document.kind is not None)
    return sorted(where for key, where in counter.places.items() if key not in counter.used)


def test_every_field_of_every_schema_is_used_by_an_entry() -> None:
    assert unused(BASES) == []


def test_without_the_entries_the_fields_are_missed() -> None:
    missed = unused((GOOD / "smallest",))
    assert {"circuit.supply.voltage", "equipment.endings[].steps[].fit: name"} <= set(missed)
    assert "kb.shop" not in missed


NEW_PLANT = ("vashby-mah", "zellick-ph", "plain-parallel", "plain-ungrounded")


@pytest.fixture(scope="module")
def plants() -> dict[str, Compiled]:
    return {name: compile_folder(GOOD / name) for name in NEW_PLANT}


@pytest.mark.parametrize("name", NEW_PLANT)
def test_plant_the_model_was_not_made_for_has_no_error(plants: dict[str, Compiled], name: str) -> None:
    found = [problem for problem in plants[name].problems if problem.severity is Severity.ERROR]
    assert found == []


def made(compiled: Compiled, circuit: str, fault: str = "healthy", **state: Any) -> str:
    """Say what the input takes a fault for: made, open or undecided."""
    table = readings(compiled.base, circuit, State(**state), pairs=False)
    return table.made[[each.id for each in table.faults].index(fault)]


def reads(compiled: Compiled, circuit: str, fault: str, port: str, **state: Any) -> str:
    """Say what the meter shows at a mark or across a contact: full, none, or some."""
    low, high = readings(compiled.base, circuit, State(**state), pairs=False).interval(fault, port)
    least = readings(compiled.base, circuit, State(**state), pairs=False).network.volts[0]
    return "full" if low > 0.85 * least else "none" if high < 0.08 * least else "some"


def test_the_timer_carries_the_string_past_the_cold_outlet_and_then_no_longer(
    plants: dict[str, Compiled],
) -> None:
    vashby = plants["vashby-mah"]
    cold = "open:vashby-low-outlet"
    assert made(vashby, "vashby-string", cold, stage="warm-up") == "made"
    assert made(vashby, "vashby-string", cold, stage="running") == "open"
    assert reads(vashby, "vashby-string", cold, "U8", stage="running") == "full"
    assert reads(vashby, "vashby-string", cold, "vashby-low-outlet", stage="running") == "full"


def test_the_door_that_is_opened_to_reach_a_terminal_opens_the_string(plants: dict[str, Compiled]) -> None:
    vashby = plants["vashby-mah"]
    shut, off = {"stage": "running"}, {"stage": "running", "covers_off": frozenset({"unit-door"})}
    assert made(vashby, "vashby-string", **shut) == "made"
    assert made(vashby, "vashby-string", **off) == "open"
    assert reads(vashby, "vashby-string", "healthy", "U8", **shut) == "full"
    assert reads(vashby, "vashby-string", "healthy", "U8", **off) == "none"


def test_a_cut_out_that_was_not_bought_is_a_link_and_no_suspect(plants: dict[str, Compiled]) -> None:
    vashby = plants["vashby-mah"]
    fitted = readings(vashby.base, "vashby-string", State(options=frozenset({"dirty-filter"})), pairs=False)
    without = readings(vashby.base, "vashby-string", State(), pairs=False)
    assert "vashby-dirty-filter" in fitted.devices
    assert "vashby-dirty-filter" not in without.devices
    assert made(vashby, "vashby-string", stage="running") == "made"


def test_the_fan_contactor_waits_for_the_damper(plants: dict[str, Compiled]) -> None:
    vashby = plants["vashby-mah"]
    assert reads(vashby, "vashby-fan", "healthy", "4", stage="damper-drive") == "none"
    assert reads(vashby, "vashby-fan", "healthy", "4", stage="running") == "full"


def test_a_first_earth_fault_changes_nothing_between_the_terminals(plants: dict[str, Compiled]) -> None:
    zellick = plants["zellick-ph"]
    state = {"stage": "heating", "region": "europe"}
    table = readings(zellick.base, "zellick-string", State(**state), pairs=False)
    assert made(zellick, "zellick-string", "ground:4", **state) == "made"
    for mark in table.points:
        assert table.interval("ground:4", mark) == pytest.approx(table.interval("healthy", mark), abs=0.1)


def test_the_resistor_at_the_far_end_tells_made_from_open(plants: dict[str, Compiled]) -> None:
    zellick = plants["zellick-ph"]
    state = {"stage": "heating", "region": "europe"}
    assert made(zellick, "zellick-string", **state) == "made"
    assert made(zellick, "zellick-string", "open:zellick-thermal-fuse", **state) == "open"
    assert reads(zellick, "zellick-string", "healthy", "B2", **state) == "full"
    assert reads(zellick, "zellick-string", "healthy", "9", **state) == "some"


@pytest.mark.parametrize(
    ("region", "options", "there"),
    [
        ("europe", frozenset({"plant-room-fan"}), True),
        ("europe", frozenset(), False),
        ("north-america", frozenset({"plant-room-fan"}), False),
    ],
)
def test_the_ventilation_contact_is_there_where_region_and_option_ask_for_it(
    plants: dict[str, Compiled], region: str, options: frozenset[str], there: bool
) -> None:
    state = State(region=region, options=options)
    table = readings(plants["zellick-ph"].base, "zellick-string", state, pairs=False)
    assert ("zellick-ventilation" in table.devices) is there


def test_the_rack_oven_as_told_over_the_telephone(plants: dict[str, Compiled]) -> None:
    oven = plants["plain-parallel"]
    # The door is shut for longer than a minute and a half: the timer has let go, the rack must turn.
    assert made(oven, "heat-string") == "made"
    assert made(oven, "heat-string", "open:rack-turning") == "open"
    assert made(oven, "heat-string", "stuck:loading-timer") == "made"
    assert made(oven, "heat-string", covers_off=frozenset({"loading-door"})) == "open"
    hood = readings(oven.base, "heat-string", State(options=frozenset({"hood-fan"})), pairs=False)
    assert hood.devices[1] == "hood-flow"


def test_the_radiant_heater_as_told_over_the_telephone(plants: dict[str, Compiled]) -> None:
    heater = plants["plain-ungrounded"]
    assert made(heater, "safety-string") == "made"
    assert made(heater, "safety-string", "open:burner-end-limit") == "open"
    # The key sits in the minus: with it open, everything up to the input reads full to the minus of the supply.
    assert made(heater, "safety-string", "open:service-key") == "open"
    assert reads(heater, "safety-string", "open:service-key", "14") == "full"
    assert reads(heater, "safety-string", "healthy", "14") == "none"
