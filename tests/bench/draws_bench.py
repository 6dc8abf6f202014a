"""Plants drawn and solved independently, every reading held against its shown interval."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import numpy as np

from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.study import Study
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit
from kbgen.pipeline import compile_folder
from kbgen.views.circuit_helper import offer
from tests.unit.circuit.bases import read_base
from tests.unit.circuit.drawn import Checked, check
from tests.unit.circuit.generated import random_circuit

ROOT = Path(__file__).resolve().parents[2]
LEAST = 500_000
OTHERS = 30
SEED = 20261129


def run() -> list[str]:
    """Measure, and return Markdown lines."""
    rng = np.random.default_rng(SEED)
    simulate = 0.01 if shutil.which("ngspice") else 0.0
    lines = [
        "| circuits | of them | states | plants | readings | outside | against ngspice | greatest difference |",
        "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ]
    examples: list[str] = []
    for name, tables in (
        ("demonstration", all_states(compile_folder(ROOT / "kb_source").base)),
        ("others", others()),
    ):
        into = Checked()
        while into.readings < LEAST / 2:
            for table in tables:
                check(table, 60, rng, into, simulate)
        count = OTHERS + len(into.circuits - {"c"}) if name == "others" else len(into.circuits)
        lines.append(
            f"| {name} | {count} | {len(tables)} | {into.plants} | {into.readings} |"
            f" {sum(into.outside.values())} {dict(into.outside) or ''} | {into.simulated} | {into.apart:.1e} |"
        )
        examples += into.examples
    return [*lines, "", *(f"- {example}" for example in examples)]


def all_states(base: KnowledgeBase) -> list:
    """Return the reading tables of every circuit in every state the helper offers."""
    study = Study(base)
    return [
        readings(base, entry.ref.id, state)
        for entry, _ in base.of(Circuit)
        for state in offer(study, entry.ref.id).states
    ]


def others() -> list:
    """Return the tables of generated circuits and of the three plants of the tests."""
    found = [readings(random_circuit(random.Random(seed)), "c") for seed in range(OTHERS)]
    for name in ("ondrel", "vashby", "zellick"):
        base = read_base(name)
        found += [readings(base, entry.ref.id) for entry, _ in base.of(Circuit)]
    return found
