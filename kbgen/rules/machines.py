"""Rules about machines: each is known by its tag, and nothing is told of it that nobody can have seen."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.machine import asked_of
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.field_note import FieldNote
from kbgen.model.plant import Machine
from kbgen.position import Route, Spot
from kbgen.problems import Problem, Related
from kbgen.ref import Kind, Ref
from kbgen.rule import Family
from kbgen.rules.material import Check, Material

MACHINES = Family(
    "Machines",
    "Identification of plant before work on it, and records of what was left.",
    "The number, size, options and days that the machine's entry gives.",
    follows_names=True,
)

MACHINE_TWICE = MACHINES.error(
    "machine-twice",
    "Who looks for a tag finds what was left on another machine.",
    "number: T-118  # in two entries",
    "number: T-119",
)
MACHINE_WITHOUT_SIZE = MACHINES.error(
    "machine-without-size",
    "Limits hang on the size; those of another size would be taken for right.",
    "equipment: harnok-td",
    "equipment: harnok-td\nsize: td-2",
)
OPTION_BOTH_WAYS = MACHINES.error(
    "option-both-ways",
    "A part that is there and not there leads into the wrong test.",
    "options: [booster]\nwithout: [booster]",
    "options: [booster]",
)
NEWER_THAN_AS_OF = MACHINES.error(
    "newer-than-as-of",
    "The page says up to which day it is known; what is newer would be overlooked.",
    'as_of: "2026-10-02"\nproofs: [{device: td-exhaust-limit, on: "2026-11-05"}]',
    'as_of: "2026-11-05"\nproofs: [{device: td-exhaust-limit, on: "2026-11-05"}]',
)
NOTE_OF_ANOTHER_MACHINE = MACHINES.error(
    "note-of-another-machine",
    "Faults that come again would be counted on a machine that never had them.",
    "equipment: ondrel-sb\nplant: t-118  # a dryer",
    "equipment: harnok-td\nplant: t-118",
)
PROOF_NOT_SAID = MACHINES.error(
    "proof-not-said",
    "Nobody knows from which day the next one counts, and it is done too late.",
    'proofs: [{device: sb-first-low-water, on: "2026-11-10"}]',
    'proofs: [{device: sb-first-low-water, proof: trip, on: "2026-11-10"}]',
)
OPEN_REMARK = MACHINES.warning(
    "open-remark",
    "Somebody stood at the plant and could not do the step as it is written; the next one will stand there too.",
    "remarks:\n  - {page: td-make-safe, step: plug, said: The lock box does not fit}",
    "remarks:\n  - {page: td-make-safe, step: plug, said: The lock box does not fit, answer: Names the large box now}",
)


def _machines(material: Material) -> Iterator[Problem]:
    seen: dict[tuple[str, str], Entry] = {}
    for entry, machine in material.base.of(Machine):
        for field, key in (
            ("number", ("", _plain(machine.number))),
            ("serial", (machine.equipment, _plain(machine.serial))),
        ):
            if key[1] and key in seen:
                other = seen[key]
                yield MACHINE_TWICE.at(
                    Spot(entry.path, (field,)),
                    f"{other.path} has this {field} already",
                    f"Look at the tag and correct the {field}, or put both entries into one.",
                    Related(Spot(other.path, (field,)), "the other machine"),
                )
            seen.setdefault(key, entry)
        yield from _one(material, entry, machine)


def _plain(mark: str) -> str:
    return "".join(each for each in mark.casefold() if each.isalnum())


def _one(material: Material, entry: Entry, machine: Machine) -> Iterator[Problem]:
    family = material.base.equipment(machine.equipment)
    if family and len(family.sizes) > 1 and not machine.size:
        sizes = ", ".join(f"`{each.id}`" for each in family.sizes)
        yield MACHINE_WITHOUT_SIZE.at(
            Spot(entry.path, ("equipment",)),
            f"`{machine.equipment}` comes in several sizes, and this machine does not say which it has",
            f"Read the plate and write `size:` with one of {sizes}.",
        )
    for index, option in enumerate(machine.without):
        if option in machine.options:
            yield OPTION_BOTH_WAYS.at(
                Spot(entry.path, ("without", index)),
                f"`{option}` stands under `options` too",
                "Look at the machine, and leave it in one of the two lists.",
            )
    for proved in machine.proofs:
        asked = asked_of(material.base, machine, proved)
        if not proved.proof and (len(asked) > 1 or not proved.device):
            which = ", ".join(f"`{each.id}`" for each in asked)
            yield PROOF_NOT_SAID.at(
                Spot(entry.path, (*proved.route, "on")),
                f"several things are proved of `{proved.device}`, and this does not say which"
                if proved.device
                else "this says neither which device was proved nor which proof of the whole machine it was",
                f"Write `proof:` with one of {which}."
                if which
                else "Write `device:` with the id of the device.",
            )
    yield from _jobs(material.base, entry, machine)
    for route, day in _days(machine):
        if day > machine.as_of:
            yield NEWER_THAN_AS_OF.at(
                Spot(entry.path, route),
                f"`{day}` is newer than `as_of`, which says {machine.as_of}",
                f'Write as_of: "{day}", or correct this day.',
            )


def _jobs(base: KnowledgeBase, entry: Entry, machine: Machine) -> Iterator[Problem]:
    """Find days and debts whose job was done at another machine."""
    proved = ((each.route, each.job) for each in machine.proofs)
    owed = ((each.route, each.job) for each in machine.outstanding)
    for route, job in (*proved, *owed):
        named = base.entries.get(Ref(Kind.FIELD_NOTE, job)) if job else None
        note = named.record if named is not None else None
        if named is None or not isinstance(note, FieldNote):
            continue
        for field, there, ours in (
            ("plant", note.plant, entry.ref.id),
            ("equipment", note.equipment, machine.equipment),
        ):
            if there and there != ours:
                yield NOTE_OF_ANOTHER_MACHINE.at(
                    Spot(entry.path, (*route, "job")),
                    f"`{job}` has {field} `{there}`, and this is `{ours}`",
                    f"Name the job at this machine, or correct {field} of the note.",
                    Related(Spot(named.path, (field,)), "the note"),
                )
                break


def _days(machine: Machine) -> Iterator[tuple[Route, str]]:
    for left in machine.settings:
        yield (*left.route, "on"), left.on
    for proof in machine.proofs:
        yield (*proof.route, "on"), proof.on
    for owed in machine.outstanding:
        yield (*owed.route, "since"), owed.since


def _notes(material: Material) -> Iterator[Problem]:
    base = material.base
    for entry, note in base.of(FieldNote):
        named = base.entries.get(Ref(Kind.PLANT, note.plant)) if note.plant else None
        if named is not None and isinstance(machine := named.record, Machine):
            for field, here, there in (
                ("equipment", note.equipment, machine.equipment),
                ("size", note.size, machine.size),
            ):
                if here and there and here != there:
                    yield NOTE_OF_ANOTHER_MACHINE.at(
                        Spot(entry.path, ("plant",)),
                        f"`{note.plant}` has {field} `{there}`, and this note says `{here}`",
                        f"Correct `plant`, or write {field}: {there}.",
                        Related(Spot(named.path, (field,)), "the machine"),
                    )
        for remark in note.remarks:
            if not remark.answer:
                yield OPEN_REMARK.at(
                    Spot(entry.path, (*remark.route, "said")),
                    f"step `{remark.step}` of `{remark.page}` was said to be wrong: “{remark.said}”",
                    "Mend the page or find the step right, then write beside it `answer:` with what was done.",
                )


CHECKS: tuple[Check, ...] = (_machines, _notes)
RULES = (
    *(MACHINE_TWICE, MACHINE_WITHOUT_SIZE, OPTION_BOTH_WAYS, NEWER_THAN_AS_OF),
    *(NOTE_OF_ANOTHER_MACHINE, PROOF_NOT_SAID, OPEN_REMARK),
)
