"""Searches followed to their end on plants drawn and solved independently, with and without a mistaken reading."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from kbgen.compute.circuit.probing import prepare
from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State, UnknownName
from kbgen.compute.circuit.study import Study
from kbgen.compute.circuit.verdict import Verdict
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit
from kbgen.pipeline import compile_folder
from kbgen.views.circuit_helper import offer
from tests.unit.circuit.independent import HIGH, Plant
from tests.unit.circuit.walks import Ground, draw, kept, walk

ROOT = Path(__file__).resolve().parents[2]
DRAWS = 3000
WORN = 500
LEAST_WORN = 0.03
"""Share of the supply a worn contact drops, from which nothing may be called made."""
SEED = 20261207
"""Not the seed on whose walks rules and thresholds were chosen."""
KINDS = {
    "clean": {},
    "mistaken once": {"mistake": True},
    "mistaken at a terminal": {"mistake": True, "persists": True},
    "the same, by the second person too": {"mistake": True, "persists": True, "alike": True},
    "worn from 3 %": {"worn": True},
}
DEFINED = (
    '*Strict*: some verdict on the way is a contradiction or foreign, or the last lists the true fault as "only if'
    ' reading X was wrong" and is not `found`. *Told*: strict, or the last verdict names the mistaken reading: as one'
    " that nothing left explains, as found otherwise when the place was found anew, or as the place all hangs on. A"
    " fault is *lost* where it is neither left nor listed with that line."
)


@dataclass
class Count:
    """What became of the walks of one kind."""

    walks: int = 0
    ends: Counter[str] = field(default_factory=Counter)
    told: int = 0
    named: int = 0
    harmless: int = 0
    lost: int = 0
    elsewhere: int = 0
    silent: int = 0
    readings: int = 0
    extra: int = 0
    made: int = 0


def grounds(base: KnowledgeBase) -> list[Ground]:
    """Return every circuit of a knowledge base in every state the helper offers, its state said."""
    study, found = Study(base), []
    for entry, _ in base.of(Circuit):
        for state in offer(study, entry.ref.id).states:
            probing = prepare(readings(base, entry.ref.id, said(base, entry.ref.id, state)))
            if probing.points:
                found.append(Ground(probing))
    return found


def said(base: KnowledgeBase, circuit_id: str, state: State) -> State:
    """Say the size and the stage too: a technician in front of the plant knows them."""
    try:
        settled = readings(base, circuit_id, state, pairs=False).variant.setting.state
    except UnknownName:
        return state
    return settled


def one(ground: Ground, truth: str, rng: np.random.Generator, into: Count, **more: object) -> None:
    """Walk once and count how it ended."""
    plant = draw(ground.net, truth, rng, worn=more.pop("worn", None))
    mistaken = bool(more.pop("mistake", False))
    if mistaken:
        clean = walk(ground, plant, rng)
        more["mistake"] = int(rng.integers(len(clean.taken))) if clean.taken else -1
    ended = walk(ground, plant, rng, **more)
    if mistaken and not 0 <= ended.wrong < len(ended.taken):
        return  # The meter's error ended this search before the reading that was to be mistaken.
    standing = kept(ground, ended.verdict, truth)
    verdict = ended.verdict.verdict
    wrong = verdict in ("found", "made") and standing != "stands"
    told = ended.contradicted or (standing == "only-if" and verdict != "found")
    into.walks += 1
    into.made += verdict == "made" and truth.startswith("resistance:") and shows(ground, plant, truth)
    into.ends[end_of(ended.verdict)] += 1
    into.told += told
    into.named += told or ended.named
    into.harmless += standing == "stands" and not (told or ended.named)
    into.lost += standing == "lost"
    into.elsewhere += wrong
    into.silent += (wrong or standing == "lost") and not told
    into.readings += len(ended.taken)
    into.extra += ended.extra


def end_of(verdict: Verdict) -> str:
    """Return how a search ended, in a word or three."""
    if verdict.verdict != "unclear":
        return verdict.verdict
    said = {"as meant": verdict.as_meant, "either way": verdict.either_way, "hangs on one": verdict.hangs_on}
    return next((name for name, so in said.items() if so), "unclear")


def shows(ground: Ground, plant: Plant, truth: str) -> bool:
    """Say whether a contact loses 3 % of the supply; beside another way it may not, however worn it is."""
    label = truth.partition(":")[2]
    if label not in ground.ports:
        return False
    return plant.read(*ground.ports[label], HIGH) >= LEAST_WORN * ground.net.volts[1]


def run() -> list[str]:
    """Measure, and return Markdown lines."""
    rng = np.random.default_rng(SEED)
    places = grounds(compile_folder(ROOT / "kb_source").base)
    counts = {name: Count() for name in KINDS}
    for name, count in counts.items():
        worn = "worn" in KINDS[name]
        for number in range(WORN if worn else DRAWS):
            ground = places[number % len(places)]
            faults = ground.faults()
            if worn:
                faults = [fault for fault in faults if fault.startswith("resistance:")]
                if not faults:
                    continue
            more: dict[str, object] = dict(KINDS[name])
            if worn:
                more["worn"] = float(np.exp(rng.uniform(np.log(0.035), np.log(0.35))))
            one(ground, str(rng.choice(faults)), rng, count, **more)
    lines = [
        f"Each walk follows every suggestion to the end; {len(places)} states of the demonstration's circuits,"
        " values drawn in their ranges, the meter off by up to 1 % and its digits.",
        "",
        DEFINED,
        "",
        "| walks | how many | strict | told | not told, true fault stands | fault lost | found or made for another |"
        " wrong and not told | made with 3 % lost | ends | readings | of these repeats |",
        "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |",
    ]
    for name, c in counts.items():
        n = max(c.walks, 1)
        shares = (c.told, c.named, c.harmless, c.lost, c.elsewhere, c.silent)
        ends = ", ".join(f"{end} {c.ends[end] / n:.1%}" for end in sorted(c.ends))
        lines.append(
            f"| {name} | {c.walks} | {' | '.join(f'{each / n:.1%}' for each in shares)} | {c.made} | {ends}"
            f" | {c.readings / n:.1f} | {c.extra / n:.2f} |"
        )
    return lines
