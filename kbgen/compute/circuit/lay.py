"""Lay a variant of a circuit out as a network: one walk along the path."""

from __future__ import annotations

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.defaults import Assumed
from kbgen.compute.circuit.meter import bad_contact
from kbgen.compute.circuit.network import EARTH, REF, Element, Network, Source, Varies
from kbgen.compute.circuit.runs import Run, branch_name, named_runs
from kbgen.compute.circuit.variant import Variant, contact_closed, fitted_path
from kbgen.model.circuit import (
    AnyPart,
    Circuit,
    Coil,
    Contact,
    Fuse,
    Input,
    Load,
    Parallel,
    Point,
    Resistor,
    Supply,
    Tap,
    Wire,
    parts,
    return_mark,
)
from kbgen.quantity import Quantity


def volts_of(supply: Supply) -> tuple[float, float, float]:
    """Return least, nominal and greatest supply voltage."""
    v = supply.voltage
    if v.lo < v.hi:
        return v.lo, v.value, v.hi
    return v.value * (1 - defaults.SUPPLY_TOLERANCE), v.value, v.value * (1 + defaults.SUPPLY_TOLERANCE)


def make_network(variant: Variant) -> Network:
    """Lay the variant out as a network."""
    return _Builder(variant).build()


class _Builder:
    """Walks the path once and collects nodes, wires and parts."""

    def __init__(self, variant: Variant) -> None:
        self.variant = variant
        self.circuit = variant.setting.circuit
        self.nodes = 2
        self.runs: list[Run] = []
        self.foreign: list[Run] = []
        self.named: dict[str, dict[str, tuple[int, int, Assumed, Varies]]] = {"fuse": {}, "load": {}}
        self.resistors: list[str] = []
        self.drives: dict[str, str] = {}
        self.gaps: list[tuple[str, int, int, tuple[float, float], bool | None, Run]] = []
        self.points: dict[str, int] = {}
        self.main: list[str] = []
        self.amperes: dict[str, float] = {}
        self.main_load = ""
        self.input: Input | None = None
        self.sources: list[Source] = []
        self.labels = {id(contact): label for label, contact in variant.contacts.items()}
        self.own = True
        self.back = return_mark(variant.path)
        self.back_node = self.node() if self.back else REF

    def node(self) -> int:
        self.nodes += 1
        return self.nodes - 1

    def build(self) -> Network:
        start = self.source(self.circuit.supply)
        node, last, late = self.walk(self.variant.path, start, Run(""), main=True)
        last.wires.append((node, REF))
        for run in (*late, last):
            run.end = self.back if run.branch else ""
        return self.finish(last)

    def source(self, supply: Supply) -> int:
        node = self.node()
        volts = volts_of(supply)[1]
        ohms = supply.impedance
        r = (ohms.lo, ohms.hi) if ohms else (defaults.SUPPLY_OHMS, defaults.SUPPLY_OHMS)
        if self.own and not self.variant.setting.state.supply_on:
            # Switched off before its transformer it is a winding, behind it an open switch.
            r = (r[0], defaults.INSULATION.hi)
        self.sources.append(Source(node, volts, r, self.own))
        return node

    def walk(
        self, path: tuple[AnyPart, ...], node: int, run: Run, *, main: bool = False
    ) -> tuple[int, Run, list[Run]]:
        """Follow a path from a node; return where it ends, its last run, and runs without an end yet."""
        self.begin(run)
        late: list[Run] = []
        for part in path:
            match part:
                case Point():
                    there = self.back_node if main and part.point == self.back else self.node()
                    run.wires.append((node, there))
                    for ended in (run, *late):
                        ended.end = part.point
                    if self.own:
                        self.points[part.point] = there
                        if main:
                            self.main.append(part.point)
                    node, run, late = there, self.begin(Run(part.point)), []
                case Wire():
                    if part.length:
                        run.metres = (run.metres[0] + part.length.lo, run.metres[1] + part.length.hi)
                    long = part.length is not None and part.length.hi >= defaults.LIVE_CABLE_METRES
                    run.live = run.live or (long if part.beside_live is None else part.beside_live)
                case Parallel():
                    join = self.node()
                    for number, branch in enumerate(part.parallel, start=1):
                        first = Run(run.start, branch_name(branch, number))
                        end, branch_last, open_runs = self.walk(branch, node, first)
                        branch_last.wires.append((end, join))
                        branch_last.branch = branch_last.branch or first.branch
                        late += [branch_last, *open_runs]
                    node = join
                case Tap():
                    first = Run(run.start, branch_name(part.tap, 1))
                    end, tap_last, open_runs = self.walk(part.tap, node, first)
                    tap_last.wires.append((end, self.back_node))
                    for ended in (tap_last, *open_runs):
                        ended.end = self.back or "return"
                case _:
                    node = self.part(part, node, run, main=main)
        return node, run, late

    def begin(self, run: Run) -> Run:
        (self.runs if self.own else self.foreign).append(run)
        return run

    def part(self, part: AnyPart, node: int, run: Run, *, main: bool) -> int:
        """Lay a part with two terminals behind a node and return its far terminal."""
        near, far = self.node(), self.node()
        run.wires.append((node, near))
        match part:
            case Contact():
                closed = (
                    self.variant.closed[self.labels[id(part)]]
                    if id(part) in self.labels
                    else contact_closed(self.variant.setting, part)
                )
                r = (part.resistance.lo, part.resistance.hi) if part.resistance else _ends(defaults.CONTACT)
                self.gaps.append((self.labels.get(id(part), ""), near, far, r, closed, run))
            case Fuse():
                label = self.add("fuse", part.fuse, near, far, defaults.FUSE, Varies.CONTACT)
                self.amperes[label] = part.rating.value if part.rating else defaults.FUSE_AMPERES
            case Coil():
                self.load(part.coil, near, far, part.impedance, defaults.COIL, main=main)
            case Load():
                label = self.load(part.load, near, far, part.impedance, defaults.LOAD, main=main)
                if part.drives and self.own:
                    self.drives[label] = part.drives
            case Resistor():
                self.resist(part.resistor, near, far, part.resistance)
            case Input():
                self.feed_together(part, near)
                if part.end_of_line and not any(isinstance(p, Resistor) for p in parts(self.variant.path)):
                    between = self.node()
                    self.resist("End-of-line resistor", near, between, part.end_of_line)
                    near = between
                self.load(part.title or part.input, near, far, part.impedance, defaults.INPUT, main=main)
                if main and self.own:
                    self.input = part
            case _:
                raise TypeError(f"no two terminals: {part!r}")
        return far

    def load(self, name: str, p: int, q: int, typed: Quantity | None, default: Assumed, *, main: bool) -> str:
        ohms = Assumed(typed.lo, typed.hi, "typed") if typed else default
        label = self.add("load", name, p, q, ohms, Varies.LOAD)
        if main and self.own:
            self.main_load = label
        return label

    def resist(self, name: str, p: int, q: int, typed: Quantity) -> None:
        label = self.add("load", name, p, q, Assumed(typed.lo, typed.hi, "typed"), Varies.SERIES)
        if self.own:
            self.resistors.append(label)

    def add(self, what: str, name: str, p: int, q: int, ohms: Assumed, varies: Varies) -> str:
        label, number = name, 2
        if not self.own:
            label = f"{name} of another circuit"
        while label in self.named[what]:
            label, number = f"{name}/{number}", number + 1
        self.named[what][label] = (p, q, ohms, varies)
        return label

    def feed_together(self, part: Input, terminal: int) -> None:
        """Let the other circuits that name the same input feed it too."""
        if not self.own:
            return
        setting = self.variant.setting
        for entry, other in setting.base.of(Circuit, plant=self.circuit.equipment):
            if entry.ref.id == setting.circuit_id:
                continue
            path = fitted_path(setting, other)
            end = next(
                (i for i, p in enumerate(path) if isinstance(p, Input) and p.input == part.input), None
            )
            if end is None:
                continue
            self.own = False
            start, fed = self.fed_from(other.supply, path[:end])
            node, run, _ = self.walk(fed, start, Run(""))
            run.wires.append((node, terminal))
            self.own = True

    def fed_from(self, supply: Supply, path: tuple[AnyPart, ...]) -> tuple[int, tuple[AnyPart, ...]]:
        """Return where another string begins, and what is its own: not a supply or fuse that both have."""
        if supply != self.circuit.supply:
            return self.source(supply), path
        fuses = self.named["fuse"]
        behind = {
            k + 1: fuses[part.fuse][1]
            for k, part in enumerate(path)
            if isinstance(part, Fuse) and part.fuse in fuses
        }
        first, node = max({0: self.sources[0].node, **behind}.items())
        return node, path[first:]

    def finish(self, last: Run) -> Network:
        elements: list[Element] = []
        wires: dict[int, tuple[int, ...]] = {}
        shunt: dict[int, list[float]] = {}
        beside: dict[int, float] = {}
        contacts: dict[str, int] = {}
        for run in (*self.runs, *self.foreign):
            first = len(elements)
            metres = run.metres if run.metres[1] else _ends(defaults.RUN_METRES)
            for p, q in run.wires:
                elements.append(
                    Element(p, q, _ends(defaults.WIRE), Varies.CONTACT, gap=_ends(defaults.GAP_FARADS))
                )
                for node in (p, q):
                    for k in (0, 1):
                        share = _ends(defaults.CABLE_FARADS)[k] * metres[k] / len(run.wires) / 2
                        shunt.setdefault(node, [0.0, 0.0])[k] += share
                        if run.live and k:
                            beside[node] = beside.get(node, 0.0) + share
            wires[id(run)] = tuple(range(first, len(elements)))
        for label, p, q, ohms, closed, run in self.gaps:
            metres = run.metres if run.metres[1] else _ends(defaults.RUN_METRES)
            gap = [
                _ends(defaults.GAP_FARADS)[k] + _ends(defaults.CABLE_FARADS)[k] * metres[k] for k in (0, 1)
            ]
            if label:
                contacts[label] = len(elements)
            elements.append(Element(p, q, ohms, Varies.CONTACT, gap=(gap[0], gap[1]), closed=closed))
        found: dict[str, dict[str, int]] = {"fuse": {}, "load": {}}
        for what, named in self.named.items():
            for label, (p, q, assumed, varies) in named.items():
                found[what][label] = len(elements)
                elements.append(Element(p, q, _ends(assumed), varies, gap=_ends(defaults.GAP_FARADS)))
        for node, (lo, hi) in sorted(shunt.items()):
            if node != REF:
                # Much capacitance goes with little insulation: a long or damp cable has both.
                ohms = (defaults.INSULATION.hi, defaults.INSULATION.lo)
                elements.append(Element(node, EARTH, ohms, Varies.LEAK, farads=(lo, hi)))
        live = self.sources[0].node
        dry = (defaults.INSULATION.hi, defaults.INSULATION.hi)
        for node, farads in sorted(beside.items()):
            if node not in (REF, live):
                elements.append(Element(node, live, dry, Varies.LEAK, farads=(0.0, farads)))
        supply = self.circuit.supply
        hertz = supply.frequency.value if supply.frequency else 60.0
        own_loads = {name: e for name, e in found["load"].items() if not name.endswith(" of another circuit")}
        return Network(
            nodes=self.nodes,
            elements=tuple(elements),
            sources=tuple(self.sources),
            points=self.points,
            main_points=tuple(self.main),
            back=self.back,
            contacts={label: contacts[label] for label in self.variant.contacts},
            fuses={name: e for name, e in found["fuse"].items() if not name.endswith(" of another circuit")},
            fuse_amperes=self.amperes,
            loads=own_loads,
            resistors=tuple(self.resistors),
            drives=self.drives,
            seals=self.variant.seals(),
            main_load=self.main_load,
            runs=named_runs(self.runs, wires),
            supply_run=wires[id(self.runs[0])] if self.runs[0].end else (),
            return_run=wires[id(last)],
            input=(self.input, found["load"][self.main_load]) if self.input else None,
            fed_together=bool(self.foreign),
            volts=volts_of(supply),
            omega=0.0 if supply.current == "DC" else 6.283185307179586 * hertz,
            earthing=supply.earthing,
            bad_contact=bad_contact(self.circuit),
        )


def _ends(assumed: Assumed) -> tuple[float, float]:
    return assumed.lo, assumed.hi
