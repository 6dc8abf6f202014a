"""What the shop's own jobs say: how often which culprit was found, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import sqrt

from kbgen.link.base import KnowledgeBase
from kbgen.model.field_note import FieldNote

PSEUDO_COUNT = 0.5
"""What a device of base weight 1 counts before any job: half a job (the prior of Jeffreys)."""
_Z = 1.96
"""Standard normal quantile of a 95 % interval."""

OPENED = frozenset({"doing-its-job", "contact-open", "setting-wrong", "mechanical", ""})
"""Findings after which a device's contact was open; an empty field of a note that names a device is one."""


@dataclass(frozen=True, slots=True)
class Share:
    """So many of so many jobs, with the interval of Wilson (1927) at 95 %."""

    count: int
    total: int
    lo: float
    hi: float

    @property
    def share(self) -> float:
        """The plain quotient; 0 when there are no jobs."""
        return self.count / self.total if self.total else 0.0

    def to_json(self) -> dict[str, object]:
        """Return plain data."""
        return {
            "count": self.count,
            "total": self.total,
            "share": round(self.share, 4),
            "interval": [round(self.lo, 4), round(self.hi, 4)],
        }


@dataclass(frozen=True, slots=True)
class Found:
    """How often a device was the culprit, and how often it was only doing its job."""

    device: str
    jobs: Share
    real: int


def share_of(count: int, total: int) -> Share:
    """Return a share with its interval.

    >>> share_of(14, 23).lo > 0.4
    True
    """
    if not total:
        return Share(0, 0, 0.0, 1.0)
    p, z2 = count / total, _Z * _Z
    middle = (p + z2 / (2 * total)) / (1 + z2 / total)
    half = _Z / (1 + z2 / total) * sqrt(p * (1 - p) / total + z2 / (4 * total * total))
    return Share(count, total, max(0.0, middle - half), min(1.0, middle + half))


def notes_of(base: KnowledgeBase, equipment: str) -> tuple[FieldNote, ...]:
    """Return the field notes on a family of plant, in order of id."""
    return tuple(note for _, note in base.of(FieldNote) if note.equipment == equipment)


def found_most(notes: Iterable[FieldNote]) -> tuple[Found, ...]:
    """Count the devices found, the most frequent first; jobs without a device count in the total."""
    listed = tuple(notes)
    devices = sorted({note.device for note in listed if note.device})
    found = [
        Found(
            device,
            share_of(sum(n.device == device for n in listed), len(listed)),
            sum(n.device == device and n.fault == "doing-its-job" for n in listed),
        )
        for device in devices
    ]
    return tuple(sorted(found, key=lambda f: (-f.jobs.count, f.device)))


@dataclass(frozen=True, slots=True)
class Weight:
    """How much a device is suspected to have opened, and the number of notes behind it."""

    device: str
    weight: float
    notes: int


def device_weights(base: KnowledgeBase, equipment: str, devices: Iterable[str]) -> dict[str, Weight]:
    """Weigh devices against each other: half a job times the base weight, plus the shop's own jobs."""
    notes = [n for n in notes_of(base, equipment) if n.device and n.fault in OPENED]
    weights = {}
    for device_id in devices:
        device = base.device(device_id)
        count = sum(note.device == device_id for note in notes)
        weight = PSEUDO_COUNT * (device.weight if device else 1.0) + count
        weights[device_id] = Weight(device_id, weight, count)
    return weights
