"""Knowledge bases of any size, the same every time, for measuring."""

from __future__ import annotations

import contextlib
import io
import random
from dataclasses import dataclass
from pathlib import Path

from kbgen.cli import main

WORDS = (
    "burner contact string limit pressure water gas air fan damper purge pilot main flame valve relay "
    "coil lamp panel terminal wire meter volts reading open closed made cold hot high low fire rain "
    "start stop reset manual automatic probe float glass gauge column drain scale rust loose bent worn "
    "stuck slow early late first second check look listen smell note switch isolator lock tag cover door"
).split()
QUIET = (
    "gauge glass column float scale rust loose bent worn brown grey thin wide hot cold high low red yellow "
    "dry clean dark bright left right upper lower frame seat spring hinge bracket plate label edge corner drum"
).split()
"""Words that tell no deed. Steps and purposes hold no others: the rules refuse a deed that nothing stands for."""
SHARES = (("symptoms", 0.4), ("devices", 0.25), ("procedures", 0.1), ("terms", 0.15), ("field_notes", 0.1))


def generate(root: Path, entries: int, plants: int = 1) -> Path:
    """Write a knowledge base of about ``entries`` entries of about 170 words into ``root``, and sign it.

    What is not signed counts as a draft, and no guide prints it.

    Args:
        plants: The families of plant that the entries are shared out among; none of them names another's.
    """
    rng = random.Random(entries)
    for folder in ("equipment", *(name for name, _ in SHARES)):
        (root / folder).mkdir(parents=True, exist_ok=True)
    (root / "kb.yaml").write_text("shop: Bench\nkey: bench\npeople: [{initials: MK}]\n", encoding="utf-8")
    for plant in range(plants):
        (root / "equipment" / f"plant-{plant}.yaml").write_text(_plant(plant), encoding="utf-8")
    counts = {name: max(2, round(entries * share)) for name, share in SHARES}
    for folder, count in counts.items():
        for number in range(count):
            text = globals()[f"_{folder}"](_Made(rng, counts, plants, number))
            (root / folder / f"{folder.rstrip('s').replace('_', '-')}-{number}.yaml").write_text(
                text, encoding="utf-8"
            )
    with contextlib.redirect_stdout(io.StringIO()):
        if main(["sign", "--all", "--by", "MK", "--kb", str(root)]):
            raise RuntimeError("the rules refuse what was generated: kbgen check")
    return root


@dataclass(frozen=True, slots=True)
class _Made:
    """One entry while it is written.

    Attributes:
        number: Of its kind; entry 7 of five plants is the third plant's.
    """

    rng: random.Random
    counts: dict[str, int]
    plants: int
    number: int

    @property
    def plant(self) -> str:
        """The id of its plant."""
        return f"plant-{self.number % self.plants}"

    def other(self, kind: str) -> int:
        """Return the number of an entry of another kind, of the same plant where it has one."""
        first = self.number % self.plants
        mine = range(first, self.counts[kind], self.plants)
        return self.rng.choice(mine) if mine else self.rng.randrange(self.counts[kind])

    def words(self, count: int, of: list[str] = WORDS) -> str:
        """Return a row of words."""
        return " ".join(self.rng.choices(of, k=count))

    def sentence(self, count: int, of: list[str] = WORDS) -> str:
        """Return the same as a sentence that begins with no deed."""
        return f"{self.words(1, QUIET).capitalize()} {self.words(count - 1, of)}."


def _head(title: str) -> str:
    return f"title: {title}\nstatus: approved\nreview: [{{by: MK, on: 2026-05-04}}]\n"


def _plant(number: int) -> str:
    return (
        _head(f"Bench plant {number}")
        + "sources:\n  - {id: control, title: Control, energy: electric, isolate: Isolator}\n"
        + "sequence:\n  - {id: standby, title: Standby}\n"
    )


def _symptoms(made: _Made) -> str:
    device, procedure = made.other("devices"), made.other("procedures")
    looks = "".join(
        f"  - look: Colour of {made.sentence(8).lower()}\n    tells: {made.sentence(8)}\n    device: device-{device}\n"
        for _ in range(3)
    )
    return (
        _head(f"Panel shows {made.rng.choice('ABEFH')}-{made.number:02d} {made.words(3)}")
        + f"equipment: [{made.plant}]\ndisplays: [{made.rng.choice('ABEFH')}-{made.number:02d}]\nstage: standby\n"
        + f"aliases:\n  - {made.sentence(4)}\n  - {made.sentence(4)}\n"
        + f"means: |\n  {made.sentence(20)} See [this](device:device-{device}).\n\n  {made.sentence(20)}\n"
        + f"normal_when: {made.sentence(15)}\nrecord:\n  - {made.sentence(6)}\n  - {made.sentence(6)}\n"
        + f"look_first:\n{looks}procedures: [procedure-{procedure}]\n"
        + f"stop_and_call:\n  - {made.sentence(8)}\n"
    )


def _devices(made: _Made) -> str:
    causes = "".join(
        f"  - cause: {made.sentence(5)}\n    look_for: {made.sentence(8)}\n    appears: [hot]\n"
        f"    remedy: {made.sentence(6)}\n"
        for _ in range(4)
    )
    return (
        _head(f"Device {made.number} {made.words(2)}")
        + f"mark: B{made.number}\nequipment: [{made.plant}]\nproves: {made.sentence(20)}\nreset: manual\n"
        + f"opens_when: {made.sentence(6)}\ndead_state: closed\nopening_causes:\n{causes}"
        + f"independent_check:\n  with: {made.sentence(3)}\n  do: {made.sentence(12, QUIET)}\n"
        + f"  real: {made.sentence(5)}\n  'false': {made.sentence(5)}\n"
    )


def _procedures(made: _Made) -> str:
    steps = "".join(
        f"  - do: Look at the {made.sentence(12, QUIET).lower()}\n    expect: {made.sentence(6, QUIET)}\n"
        for _ in range(8)
    )
    return (
        _head(f"Procedure {made.number} {made.words(2)}")
        + f"equipment: [{made.plant}]\npurpose: {made.sentence(12, QUIET)}\nsteps:\n"
        + "  - do: Note the display.\n    record: [display]\n"
        + steps
        + "  - do: Say that it did not show itself.\n    end: not-reproduced\n"
    )


def _terms(made: _Made) -> str:
    return (
        _head(f"{made.words(2)} {made.number}")
        + f"aliases:\n  - {made.words(2)} {made.number}\nmeans: {made.sentence(30)}\n"
    )


def _field_notes(made: _Made) -> str:
    symptom, device = made.other("symptoms"), made.other("devices")
    return (
        _head(made.sentence(5))
        + f"date: 2026-0{1 + made.number % 9}-1{made.number % 10}\nequipment: {made.plant}\nsymptom: symptom-{symptom}\n"
        + f"device: device-{device}\nfault: contact-open\ncause: {made.sentence(25)}\nminutes: 35 min\n"
    )
