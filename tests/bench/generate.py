"""Knowledge bases of any size, the same every time, for measuring."""

from __future__ import annotations

import random
from pathlib import Path

WORDS = (
    "burner contact string limit pressure water gas air fan damper purge pilot main flame valve relay "
    "coil lamp panel terminal wire meter volts reading open closed made cold hot high low fire rain "
    "start stop reset manual automatic probe float glass gauge column drain scale rust loose bent worn "
    "stuck slow early late first second check look listen smell note switch isolator lock tag cover door"
).split()
SHARES = (("symptoms", 0.4), ("devices", 0.25), ("procedures", 0.1), ("terms", 0.15), ("field_notes", 0.1))


def generate(root: Path, entries: int) -> Path:
    """Write a knowledge base of about ``entries`` entries of about 170 words into ``root``."""
    rng = random.Random(entries)
    for folder in ("equipment", *(name for name, _ in SHARES)):
        (root / folder).mkdir(parents=True, exist_ok=True)
    (root / "kb.yaml").write_text("shop: Bench\nkey: bench\n", encoding="utf-8")
    (root / "equipment" / "plant.yaml").write_text(_plant(), encoding="utf-8")
    counts = {name: max(2, round(entries * share)) for name, share in SHARES}
    for folder, count in counts.items():
        for number in range(count):
            text = globals()[f"_{folder}"](rng, number, counts)
            (root / folder / f"{folder.rstrip('s').replace('_', '-')}-{number}.yaml").write_text(
                text, encoding="utf-8"
            )
    return root


def _sentence(rng: random.Random, words: int) -> str:
    return " ".join(rng.choices(WORDS, k=words)).capitalize() + "."


def _head(title: str) -> str:
    return f"title: {title}\nstatus: approved\nreview: [{{by: MK, on: 2026-05-04}}]\n"


def _plant() -> str:
    return (
        _head("Bench plant")
        + "sources:\n  - {id: control, title: Control, energy: electric, isolate: Isolator}\n"
        + "sequence:\n  - {id: standby, title: Standby}\n"
    )


def _symptoms(rng: random.Random, number: int, counts: dict[str, int]) -> str:
    device, procedure = rng.randrange(counts["devices"]), rng.randrange(counts["procedures"])
    looks = "".join(
        f"  - look: Colour of {_sentence(rng, 8).lower()}\n    tells: {_sentence(rng, 8)}\n    device: device-{device}\n"
        for _ in range(3)
    )
    return (
        _head(f"Panel shows {rng.choice('ABEFH')}-{number:02d} {' '.join(rng.choices(WORDS, k=3))}")
        + f"equipment: [plant]\ndisplays: [{rng.choice('ABEFH')}-{number:02d}]\nstage: standby\n"
        + f"aliases:\n  - {_sentence(rng, 4)}\n  - {_sentence(rng, 4)}\n"
        + f"means: |\n  {_sentence(rng, 20)} See [this](device:device-{device}).\n\n  {_sentence(rng, 20)}\n"
        + f"normal_when: {_sentence(rng, 15)}\nrecord:\n  - {_sentence(rng, 6)}\n  - {_sentence(rng, 6)}\n"
        + f"look_first:\n{looks}procedures: [procedure-{procedure}]\n"
        + f"stop_and_call:\n  - {_sentence(rng, 8)}\n"
    )


def _devices(rng: random.Random, number: int, counts: dict[str, int]) -> str:
    causes = "".join(
        f"  - cause: {_sentence(rng, 5)}\n    look_for: {_sentence(rng, 8)}\n    appears: [hot]\n"
        f"    remedy: {_sentence(rng, 6)}\n"
        for _ in range(4)
    )
    return (
        _head(f"Device {number} {' '.join(rng.choices(WORDS, k=2))}")
        + f"mark: B{number}\nequipment: [plant]\nproves: {_sentence(rng, 20)}\nreset: manual\n"
        + f"opens_when: {_sentence(rng, 6)}\ndead_state: closed\nopening_causes:\n{causes}"
        + f"independent_check:\n  with: {_sentence(rng, 3)}\n  do: {_sentence(rng, 12)}\n"
        + f"  real: {_sentence(rng, 5)}\n  'false': {_sentence(rng, 5)}\n"
    )


def _procedures(rng: random.Random, number: int, counts: dict[str, int]) -> str:
    steps = "".join(f"  - do: {_sentence(rng, 12)}\n    expect: {_sentence(rng, 6)}\n" for _ in range(8))
    return (
        _head(f"Procedure {number} {' '.join(rng.choices(WORDS, k=2))}")
        + f"equipment: [plant]\npurpose: {_sentence(rng, 12)}\nsteps:\n"
        + "  - do: Note the display.\n    record: [display]\n"
        + steps
        + "  - do: Say that it did not show itself.\n    end: not-reproduced\n"
    )


def _terms(rng: random.Random, number: int, counts: dict[str, int]) -> str:
    return (
        _head(f"{' '.join(rng.choices(WORDS, k=2))} {number}")
        + f"aliases:\n  - {' '.join(rng.choices(WORDS, k=2))} {number}\nmeans: {_sentence(rng, 30)}\n"
    )


def _field_notes(rng: random.Random, number: int, counts: dict[str, int]) -> str:
    symptom, device = rng.randrange(counts["symptoms"]), rng.randrange(counts["devices"])
    return (
        _head(_sentence(rng, 5))
        + f"date: 2026-0{1 + number % 9}-1{number % 10}\nequipment: plant\nsymptom: symptom-{symptom}\n"
        + f"device: device-{device}\nfault: contact-open\ncause: {_sentence(rng, 25)}\nminutes: 35 min\n"
    )
