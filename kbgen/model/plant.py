"""One machine that the shop has met, and how it was left."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.model.build import Long
from kbgen.model.head import Head
from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class LeftAt:
    """What a setting was left at, and on which day (ISO 8601 as typed)."""

    setting: str
    value: str
    on: str
    why: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Outstanding:
    """What still has to be done at a machine."""

    what: str
    since: str
    job: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Proved:
    """What was proved, on which day, and what was read.

    Attributes:
        device: Id of the device; empty for a proof of the whole machine.
        proof: Id of the line of the scheme it counts for; empty where the device has one only, or none.
    """

    on: str
    device: str = ""
    proof: str = ""
    read: str = ""
    job: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Machine:
    """One machine, known by the shop's number on its tag; nothing about the customer.

    Attributes:
        equipment: Id of its family.
        options: Options of the family that it has.
        without: Options that it does not have; of what is in neither nothing is known.
        as_of: The last day somebody of the shop was at it; nothing here is newer.
    """

    head: Head
    number: str
    equipment: str
    as_of: str
    size: str = ""
    options: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    serial: str = ""
    site: str = ""
    settings: tuple[LeftAt, ...] = ()
    outstanding: tuple[Outstanding, ...] = ()
    proofs: tuple[Proved, ...] = ()
    note: Long = ()
