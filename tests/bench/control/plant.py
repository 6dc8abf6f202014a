"""What the trade knows of a plant: what reaches where, which circuit a terminal lies in, what a valve stops."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from tests.bench.control.draft import Data, Draft, Step, read
from tests.bench.control.whole import written_out

ROOT = Path(__file__).resolve().parents[3]
SHOPS = (
    "kb_source",
    *(f"tests/kb/good/{name}" for name in ("hands", "routines", "vashby-mah", "zellick-ph")),
)
SAFE = frozenset(("made-safe", "proved-dead"))
SHOCK = 50.0
"""Volts from which a terminal hurts whoever touches it."""
WIRES = frozenset(("jumper", "lifted-wire", "simulating-resistor"))


@dataclass(frozen=True)
class Circuit:
    """Which source feeds it, and what lies in it."""

    source: str
    shocks: bool
    points: Mapping[str, str]
    contacts: frozenset[str]


@dataclass
class Plant:
    """One equipment entry with its circuits and devices."""

    id: str
    data: Data
    circuits: dict[str, Circuit] = field(default_factory=dict)
    devices: dict[str, Data] = field(default_factory=dict)

    def part(self, kind: str) -> dict[str, Data]:
        """Return the parts of one kind by their ids."""
        return {each["id"]: each for each in self.data.get(kind, ())}

    @cached_property
    def sources(self) -> dict[str, Data]:
        """Every energy source."""
        return self.part("sources")

    def kind(self, source: str) -> str:
        """Return the energy of a source."""
        return str(self.sources.get(source, {}).get("energy", ""))

    @cached_property
    def fuel(self) -> list[str]:
        """The sources that burn."""
        return [source for source in self.sources if self.kind(source) == "fuel"]

    @cached_property
    def electric(self) -> list[str]:
        """The sources that are proved dead with a meter."""
        return [source for source in self.sources if self.kind(source) in ("electric", "foreign-fed")]

    def stops(self, valve: str) -> str:
        """Return what a valve stops."""
        return str(self.part("fuel_valves").get(valve, {}).get("stops", ""))

    def behind(self, cover: str) -> set[str]:
        """Return the sources that a cover keeps hands off."""
        reach = set(self.part("covers").get(cover, {}).get("reached_by", ()))
        supply = cover.startswith(("panel", "box"))  # the isolator's own terminals lie there too
        reach |= {
            each.source
            for each in self.circuits.values()
            if cover in each.points.values() and (supply or each.shocks)
        }
        return reach


@dataclass
class Page:
    """A procedure, and the plant it is for."""

    shop: Shop
    id: str
    path: str
    data: Data
    plant: Plant

    @cached_property
    def draft(self) -> Draft:
        """The page as it is; never changed."""
        return Draft(self.data, self.shop.entered.get(self.id, frozenset()))

    @property
    def starts(self) -> frozenset[str]:
        """What it takes for granted."""
        return frozenset(self.data.get("starts", ()))

    @property
    def begins_safe(self) -> bool:
        """Whether it takes for granted that the plant is off and locked."""
        return bool(self.starts & SAFE)

    def circuit(self, step: Step) -> str:
        """Return the circuit a step is in."""
        return str(step.data.get("circuit", self.data.get("circuit", "")))

    def at(self, step: Step) -> set[str]:
        """Return the electric sources that hands of a step are on, at a terminal or a device."""
        device = (
            step.data.get("over") or step.data.get("across") or (step.value if step.act == "replace" else "")
        )
        circuits = self.plant.circuits
        if step.act == "replace" or (step.act in ("fit", "undo") and not step.data.get("from")):
            return {each.source for each in circuits.values() if device in each.contacts}
        named = circuits.get(self.circuit(step))
        return {named.source} if named else set()

    def touches(self, step: Step, source: str) -> bool:
        """Whether hands of a step are reached by a source: one sentence of the equipment entry, or its circuit."""
        plant, value = self.plant, step.value
        match step.act:
            case "work_in":
                return source in plant.part("zones").get(value, {}).get("reached_by", ())
            case "open_cover":
                return source in plant.part("covers").get(value, {}).get("reached_by", ())
            case "clip" | "replace" | "unclip":
                return source in self.at(step)
            case "measure":
                return value in ("ohms", "insulation") and source in self.at(step)
            case "fit":
                return value in WIRES and source in self.at(step)
            case "undo":
                made = [each for each in self.draft if each.act == "fit" and each.data.get("name") == value]
                return any(self.touches(each, source) for each in made)
            case "open_gas_train":
                return plant.kind(source) == "fuel"
        return False

    def next_needs(self, step: Step, source: str) -> bool:
        """Whether a step leads to a page that takes it for granted that a source is off, and puts hands there."""
        then = self.shop.pages.get(str(step.data.get("next", "")))
        if step.act not in ("end", "hand_over") or then is None or then.id == self.id or not then.begins_safe:
            return False
        return any(then.touches(each, source) or each.is_("prove_dead", source) for each in then.draft)

    def next_needs_proof(self, step: Step, source: str) -> bool:
        """Whether it takes for granted, besides, that the source was proved dead."""
        then = self.shop.pages.get(str(step.data.get("next", "")))
        proved = then is not None and "proved-dead" in then.starts
        return (proved or source not in self.plant.electric) and self.next_needs(step, source)


@dataclass
class Shop:
    """A knowledge base on disk, its pages and plants."""

    name: str
    root: Path
    pages: dict[str, Page] = field(default_factory=dict)
    entered: dict[str, frozenset[str]] = field(default_factory=dict)
    written: dict[str, Data] = field(default_factory=dict)
    """The pages with routines, by path: in their place stands every step."""

    def words(self, plant: Plant, act: str, value: object) -> str:
        """Return the words in which a page of this plant tells an action; nothing where none does."""
        for page in self.pages.values():
            if page.plant is plant:
                for step in page.draft:
                    if step.is_(act, value):
                        return str(step.data["do"])
        return ""


def shops() -> list[Shop]:
    """Read every knowledge base whose right pages are changed."""
    return [_shop(name) for name in SHOPS]


def _shop(name: str) -> Shop:
    shop = Shop(name, ROOT / name, written=written_out(ROOT / name))
    plants = {file.stem: Plant(file.stem, _read(file)) for file in _files(shop.root, "equipment")}
    for file in _files(shop.root, "devices"):
        said = _read(file)
        for each in _several(said.get("equipment")):
            plants[each].devices[file.stem] = said
    for file in _files(shop.root, "circuits"):
        said = _read(file)
        for each in _several(said.get("equipment")):
            parts = list(_parts(said.get("path", ())))
            plants[each].circuits[file.stem] = Circuit(
                said.get("supply", {}).get("source", ""),
                _volts(said.get("supply", {}).get("voltage", "")) >= SHOCK,
                {part["point"]: part.get("cover", "") for part in parts if "point" in part},
                frozenset(part["contact"] for part in parts if "contact" in part),
            )
    entered: dict[str, set[str]] = {}
    for file in _files(shop.root, "procedures"):
        said = shop.written.get(f"procedures/{file.name}") or _read(file)
        plant = next((plants[each] for each in _several(said.get("equipment"))), next(iter(plants.values())))
        shop.pages[file.stem] = Page(shop, file.stem, f"procedures/{file.name}", said, plant)
        for step in said["steps"]:
            if "next_step" in step:
                entered.setdefault(step.get("next", file.stem), set()).add(step["next_step"])
    shop.entered.update({page: frozenset(steps) for page, steps in entered.items()})
    return shop


def _files(root: Path, kind: str) -> Iterable[Path]:
    return sorted((root / kind).glob("*.yaml"))


def _read(file: Path) -> Data:
    return read(file.read_text(encoding="utf-8"))


def _volts(said: str) -> float:
    found = re.match(r"[\d.]+", said)
    return float(found[0]) if found else 0.0


def _several(said: Any) -> list[str]:
    return [said] if isinstance(said, str) else list(said or ())


def _parts(path: Any) -> Iterator[Data]:
    for part in path:
        if isinstance(part, list):
            yield from _parts(part)
        else:
            yield part
            for key in ("parallel", "tap", "path", "parts"):
                yield from _parts(part.get(key, ()))
