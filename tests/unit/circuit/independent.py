"""A second way to work a circuit out: its own netlist from the YAML, drawn values, one dense solve each.

Nothing of the program's own laying out, corners, faults or formulas is used; only how each contact
stands in the state is taken from it. Values are drawn inside the ranges that are promised for them.
"""

from __future__ import annotations

import subprocess
from dataclasses import dataclass, field

import numpy as np

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.variant import Variant
from kbgen.model.circuit import Coil, Contact, Fuse, Input, Load, Parallel, Point, Resistor, Tap, Wire

GROUND, EARTH = 0, 1
HIGH, LOW = 10e6, 3e3


@dataclass
class Part:
    """One element: ends, range of ohms, range of farads when open, and what it is called."""

    name: str
    kind: str
    p: int
    q: int
    ohms: tuple[float, float]
    gap: tuple[float, float] = (2e-12, 20e-12)
    closed: bool | None = True


@dataclass
class Netlist:
    """A circuit as parts, capacitances to earth, and marks."""

    variant: Variant
    parts: list[Part] = field(default_factory=list)
    farads: list[tuple[int, int, float, float]] = field(default_factory=list)
    marks: dict[str, int] = field(default_factory=dict)
    nodes: int = 2
    runs: list[dict] = field(default_factory=list)

    def node(self) -> int:
        self.nodes += 1
        return self.nodes - 1


def netlist(variant: Variant) -> Netlist:
    """Read the path once, in words of the schema only."""
    net = Netlist(variant)
    circuit = variant.setting.circuit
    net.source = net.node()
    loads = [k for k, part in enumerate(variant.path) if isinstance(part, Coil | Load | Input)]
    behind = [p for p in variant.path[loads[0] :] if isinstance(p, Point)] if loads else []
    net.back = behind[-1].point if behind else ""
    if net.back:
        net.marks[net.back] = net.node()
    labels = {id(contact): label for label, contact in variant.contacts.items()}

    def run(start: str, branch=()) -> dict:
        inside = [
            getattr(p, "contact", "") or getattr(p, "coil", "") or getattr(p, "load", "") for p in branch
        ]
        first = next(filter(None, inside), "")
        net.runs.append(
            {"start": start, "end": "", "branch": first, "wires": [], "metres": [0.0, 0.0], "live": False}
        )
        return net.runs[-1]

    def wire(now: dict, p: int, q: int) -> None:
        now["wires"].append((p, q))

    def follow(path, node: int, now: dict, main: bool) -> tuple[int, dict]:
        late: list[dict] = []
        for part in path:
            if isinstance(part, Point):
                there = net.marks.get(part.point) if main and part.point == net.back else None
                there = net.node() if there is None else there
                net.marks[part.point] = there
                wire(now, node, there)
                for ended in (now, *late):
                    ended["end"] = part.point
                late = []
                node, now = there, run(part.point)
            elif isinstance(part, Wire):
                if part.length:
                    now["metres"][0] += part.length.lo
                    now["metres"][1] += part.length.hi
                    long = part.length.hi >= 10
                    now["live"] |= long if part.beside_live is None else part.beside_live
            elif isinstance(part, Parallel):
                join = net.node()
                for branch in part.parallel:
                    end, last = follow(branch, node, run(now["start"], branch), False)
                    wire(last, end, join)
                    late.append(last)
                node = join
            elif isinstance(part, Tap):
                end, last = follow(part.tap, node, run(now["start"], part.tap), False)
                wire(last, end, net.marks.get(net.back, GROUND))
                last["end"] = net.back or "return"
            else:
                near, far = net.node(), net.node()
                wire(now, node, near)
                add(part, near, far, now)
                node = far
        return node, now

    def add(part, near: int, far: int, now: dict) -> None:
        if isinstance(part, Contact):
            r = (part.resistance.lo, part.resistance.hi) if part.resistance else (0.05, 0.5)
            label = labels[id(part)]
            net.parts.append(Part(label, "contact", near, far, r, closed=variant.closed[label]))
            net.parts[-1].run = now
        elif isinstance(part, Fuse):
            net.parts.append(Part(part.fuse, "fuse", near, far, (0.05, 0.5)))
            net.parts[-1].amperes = part.rating.value if part.rating else 3.0
        elif isinstance(part, Input):
            if part.end_of_line and not any(isinstance(p, Resistor) for p in variant.path):
                between = net.node()
                r = (part.end_of_line.lo, part.end_of_line.hi)
                net.parts.append(Part("End-of-line resistor", "load", near, between, r))
                near = between
            r = (part.impedance.lo, part.impedance.hi) if part.impedance else (10e3, 100e3)
            net.parts.append(Part(part.title or part.input, "load", near, far, r))
        else:
            typed = getattr(part, "impedance", None) or getattr(part, "resistance", None)
            usual = (300.0, 2e3) if isinstance(part, Coil) else (500.0, 5e3)
            r = (typed.lo, typed.hi) if typed else usual
            name = getattr(part, "coil", "") or getattr(part, "load", "") or part.resistor
            net.parts.append(Part(name, "load", near, far, r))

    node, last = follow(variant.path, net.source, run(""), True)
    wire(last, node, GROUND)
    for now in net.runs:
        metres = now["metres"] if now["metres"][1] else [2.0, 15.0]
        for p, q in now["wires"]:
            net.parts.append(Part(f"{now['start']}-{now['end']}", "wire", p, q, (0.02, 0.2)))
            net.parts[-1].branch = now["branch"]
            for end in (p, q):
                share = [metres[k] / len(now["wires"]) / 2 for k in (0, 1)]
                net.farads.append((end, EARTH, share[0] * 50e-12, share[1] * 150e-12))
                if now["live"] and end not in (GROUND, net.source):
                    net.farads.append((end, net.source, 0.0, share[1] * 150e-12))
    for part in net.parts:
        if part.kind == "contact":
            metres = part.run["metres"] if part.run["metres"][1] else [2.0, 15.0]
            part.gap = (2e-12 + 50e-12 * metres[0], 20e-12 + 150e-12 * metres[1])
    supply = circuit.supply
    volts = supply.voltage
    net.volts = (volts.lo, volts.value, volts.hi)
    if volts.lo == volts.hi:
        net.volts = (volts.value * 0.9, volts.value, volts.value * 1.1)
    net.ohms = (supply.impedance.lo, supply.impedance.hi) if supply.impedance else (0.5, 0.5)
    net.omega = (
        0.0 if supply.current == "DC" else 2 * np.pi * (supply.frequency.value if supply.frequency else 60)
    )
    net.earthing = supply.earthing
    return net


@dataclass
class Plant:
    """One drawn plant with a fault: admittances ready to be solved."""

    net: Netlist
    matrix: np.ndarray
    drive: np.ndarray
    siemens: dict[int, complex]

    def read(self, p: int, q: int, meter: float) -> float:
        """Return what a meter of this input resistance shows between two nodes."""
        matrix = self.matrix.copy()
        for a, b, sign in ((p, p, 1), (q, q, 1), (p, q, -1), (q, p, -1)):
            matrix[a, b] += sign / meter
        return float(abs(self._volts(matrix, p) - self._volts(matrix, q)))

    def read_all(self, ports: list[tuple[int, int]], meter: float) -> np.ndarray:
        """Return the same for many pairs of nodes: the meter in series with what the pair looks like."""
        z = np.zeros((self.net.nodes, self.net.nodes), dtype=complex)
        z[1:, 1:] = np.linalg.inv(self.matrix[1:, 1:])
        volts = z @ self.drive
        p, q = (np.array([port[end] for port in ports]) for end in (0, 1))
        behind = z[p, p] - z[p, q] - z[q, p] + z[q, q]
        return np.asarray(np.abs((volts[p] - volts[q]) * meter / (meter + behind)))

    def _volts(self, matrix: np.ndarray, node: int) -> complex:
        found = np.zeros(self.net.nodes, dtype=complex)
        found[1:] = np.linalg.solve(matrix[1:, 1:], self.drive[1:])
        return found[node]

    def all_volts(self) -> np.ndarray:
        found = np.zeros(self.net.nodes, dtype=complex)
        found[1:] = np.linalg.solve(self.matrix[1:, 1:], self.drive[1:])
        return found


def between(rng: np.random.Generator, lo: float, hi: float) -> float:
    """Draw from a range, evenly in its logarithm."""
    return float(lo) if hi <= lo else float(np.exp(rng.uniform(np.log(max(lo, 1e-18)), np.log(hi))))


def even(rng: np.random.Generator, lo: float, hi: float) -> float:
    return float(rng.uniform(lo, hi))


def draw(
    net: Netlist, fault: str, rng: np.random.Generator, volts: float | None = None, worn: float | None = None
) -> Plant:
    """Draw one plant with a fault.

    Args:
        net: The circuit.
        fault: Id of the fault.
        rng: Where the values come from.
        volts: The supply; drawn without it.
        worn: The bad contact's share of the impedance of its own loop; drawn without it.
    """
    kind, _, where = fault.partition(":")
    opened = {name.removeprefix("open:") for name in fault.split("+")} if kind == "open" else set()
    n = net.nodes
    matrix = np.zeros((n, n), dtype=complex)
    drive = np.zeros(n, dtype=complex)
    siemens: dict[int, complex] = {}

    def add(p: int, q: int, y: complex) -> None:
        matrix[p, p] += y
        matrix[q, q] += y
        matrix[p, q] -= y
        matrix[q, p] -= y

    def gap(part: Part) -> complex:
        ohms = between(rng, defaults.INSULATION.lo, defaults.INSULATION.hi)
        return 1 / ohms + 1j * net.omega * even(rng, *part.gap)

    breaks = [k for k, part in enumerate(net.parts) if _breaks(net, part, kind, where)]
    broken = {breaks[int(rng.integers(len(breaks)))]} if breaks else set()
    # Every value in its own place; what nobody looks at stands as it likes.
    for k, part in enumerate(net.parts):
        closed = part.closed if part.closed is not None else bool(rng.integers(2))
        if part.kind == "contact" and (part.name in opened):
            closed = False
        if part.kind == "contact" and kind == "stuck" and part.name == where:
            closed = True
        if kind == "seal-in" and part.kind == "contact" and part.name in net.variant.seals().get(where, ()):
            closed = False
        if kind == "stalled" and part.kind == "contact" and part.name.split("/")[0] == _driven(net, where):
            closed = False
        if (
            kind == "load"
            and where
            and part.kind == "contact"
            and part.name.split("/")[0] == _driven(net, where)
        ):
            closed = False
        if k in broken:
            closed = False
        siemens[k] = 1 / between(rng, *part.ohms) if closed else gap(part)
        part.now = closed
    for p, q, lo, hi in net.farads:
        if GROUND not in (p, q):
            ohms = between(rng, defaults.INSULATION.lo, defaults.INSULATION.hi)
            siemens_c = 1j * net.omega * even(rng, lo, hi)
            add(p, q, siemens_c + (1 / ohms / 4 if q == EARTH else 0))
    volts = even(rng, net.volts[0], net.volts[2]) if volts is None else volts
    source = 1 / between(rng, *net.ohms)
    sides = (GROUND, net.source)
    for side in sides:
        leak = 1 / between(rng, defaults.FLOATING.lo, defaults.FLOATING.hi)
        add(
            side,
            EARTH,
            leak + 1j * net.omega * even(rng, defaults.FLOATING_FARADS.lo, defaults.FLOATING_FARADS.hi),
        )
    if net.earthing != "ungrounded":
        tied = net.source if net.earthing == "reversible" and rng.integers(2) else GROUND
        add(tied, EARTH, 100.0)
    matrix[net.source, net.source] += source
    dead = kind == "no-supply" and not (broken and rng.integers(2))
    if dead:
        for k in broken:
            siemens[k] = 1 / 0.1
    drive[net.source] = 0.0 if dead else volts * source
    if kind == "jumper" or kind == "bridged":
        part = next(p for p in net.parts if p.name == where and p.kind in ("contact", "load"))
        add(part.p, part.q, 1 / defaults.LINK)
    for k, part in enumerate(net.parts):
        add(part.p, part.q, siemens[k])
    plant = Plant(net, matrix, drive, siemens)
    if kind == "resistance":
        _wear(plant, where, rng, worn)
    if kind == "ground":
        _earth(plant, net.marks[where], rng)
    return plant


def _driven(net: Netlist, load: str) -> str:
    def walk(path):
        for part in path:
            if isinstance(part, Tap):
                yield from walk(part.tap)
            yield part

    return next((p.drives for p in walk(net.variant.path) if isinstance(p, Load) and p.load == load), "-")


def _breaks(net: Netlist, part: Part, kind: str, where: str) -> bool:
    if kind == "wire":
        name, _, branch = where.partition("/")
        alike = [p for p in net.parts if p.kind == "wire" and p.name == name]
        several = len({p.branch for p in alike}) > 1
        return part in alike and (not several or part.branch == branch)
    if kind == "fuse":
        return part.kind == "fuse" and part.name == (where or part.name)
    if kind == "load":
        inputs = [p for p in net.variant.path if isinstance(p, Coil | Load | Input)]
        last = inputs[-1] if inputs else None
        main = (
            getattr(last, "title", "")
            or getattr(last, "input", "")
            or getattr(last, "coil", "")
            or getattr(last, "load", "")
        )
        return part.kind == "load" and part.name == (where or main)
    if kind == "return":
        # The wiring behind the last point, and nothing else.
        return part.kind == "wire" and part.name == f"{net.back}-" and GROUND in (part.p, part.q)
    if kind == "no-supply":
        return part.kind == "wire" and part.name.startswith("-")
    return False


def _swap(plant: Plant, index: int, new: complex) -> None:
    part = plant.net.parts[index]
    change = new - plant.siemens[index]
    for a, b, sign in ((part.p, part.p, 1), (part.q, part.q, 1), (part.p, part.q, -1), (part.q, part.p, -1)):
        plant.matrix[a, b] += sign * change
    plant.siemens[index] = new


def _wear(plant: Plant, where: str, rng: np.random.Generator, worn: float | None) -> None:
    index = next(k for k, p in enumerate(plant.net.parts) if p.kind == "contact" and p.name == where)
    part = plant.net.parts[index]
    if not part.now:
        return
    _swap(plant, index, 0)
    drive = np.zeros(plant.net.nodes, dtype=complex)
    drive[part.p], drive[part.q] = 1, -1
    found = np.zeros(plant.net.nodes, dtype=complex)
    found[1:] = np.linalg.solve(plant.matrix[1:, 1:], drive[1:])
    # The loop while all other contacts are made: its loads and little else.
    loads = sum(p.ohms[1] for p in plant.net.parts if p.kind == "load")
    loop = min(abs(found[part.p] - found[part.q]), loads)
    share = between(rng, 0.009, 55.0) if worn is None else worn
    _swap(plant, index, 1 / max(share * loop, part.ohms[1]))


def _earth(plant: Plant, node: int, rng: np.random.Generator) -> None:
    ohms = between(rng, defaults.EARTH_FAULT.lo, defaults.EARTH_FAULT.hi)
    for a, b, sign in ((node, node, 1), (EARTH, EARTH, 1), (node, EARTH, -1), (EARTH, node, -1)):
        plant.matrix[a, b] += sign / ohms
    volts = plant.all_volts()
    blown = []
    for k, part in enumerate(plant.net.parts):
        if part.kind == "fuse":
            amperes = abs((volts[part.p] - volts[part.q]) * plant.siemens[k])
            blown.append((amperes / part.amperes, k))
    if blown and max(blown)[0] > defaults.FUSE_BLOWS:
        part = plant.net.parts[max(blown)[1]]
        gap = even(rng, *part.gap)
        _swap(
            plant,
            max(blown)[1],
            1 / between(rng, defaults.INSULATION.lo, defaults.INSULATION.hi) + 1j * plant.net.omega * gap,
        )


def spice(plant: Plant, p: int, q: int, meter: float) -> float:
    """Return the same reading from ngspice: the same admittances as a netlist of conductances."""
    net, omega = plant.net, plant.net.omega
    lines = [
        "* reading",
        f"Iin 0 n{net.source} {'AC' if omega else 'DC'} {abs(plant.drive[net.source]):.12g}",
    ]
    matrix = plant.matrix
    number = 0
    for a in range(1, net.nodes):
        ground = matrix[a, 1:].sum()
        for b, y in [(0, ground), *((b, -matrix[a, b]) for b in range(a + 1, net.nodes))]:
            if abs(y) < 1e-18:
                continue
            number += 1
            if abs(y.real) > 1e-18:
                lines.append(f"R{number} n{a} {'0' if b == 0 else f'n{b}'} {1 / y.real:.12g}")
            if omega and abs(y.imag) > 1e-18:
                lines.append(f"C{number} n{a} {'0' if b == 0 else f'n{b}'} {y.imag / omega:.12g}")
    lines.append(f"Rm {'0' if p == 0 else f'n{p}'} {'0' if q == 0 else f'n{q}'} {meter:.12g}")
    shown = ["v(0)" if node == 0 else f"v(n{node})" for node in (p, q)]
    told = [name for name in shown if name != "v(0)"]
    if omega:
        lines += [".control", f"ac lin 1 {omega / 2 / np.pi:.12g} {omega / 2 / np.pi:.12g}"]
        expression = " - ".join(told) if shown[0] != "v(0)" else f"0 - {told[0]}"
        lines += [f"let d = {expression}", "print mag(d)", ".endc", ".end"]
    else:
        expression = " - ".join(told) if shown[0] != "v(0)" else f"0 - {told[0]}"
        lines += [".control", "op", f"let d = {expression}", "print d", ".endc", ".end"]
    done = subprocess.run(
        ["ngspice", "-b"], input="\n".join(lines), capture_output=True, text=True, check=False
    )
    for line in done.stdout.splitlines():
        if line.startswith(("mag(d) =", "d =")):
            return abs(float(line.split("=")[1].split(",")[0]))
    raise AssertionError(done.stdout[-800:] + done.stderr[-800:])
