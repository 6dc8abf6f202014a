"""A symptom: what the technician sees, hears or smells."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.model.build import Long, Time
from kbgen.model.head import Head
from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class Look:
    """A first check without a meter."""

    look: str
    tells: str = ""
    device: str = ""
    minutes: Time | None = None
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Suspect:
    """A device to suspect, and why."""

    device: str
    because: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Another symptom that looks the same, and how to tell them apart."""

    symptom: str
    differs: str
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Symptom:
    """What is noticed first."""

    head: Head
    means: Long
    in_short: str = ""
    must: str = ""
    immediate: tuple[str, ...] = ()
    equipment: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    displays: tuple[str, ...] = ()
    behaviours: tuple[str, ...] = ()
    circuit: str = ""
    stage: str = ""
    normal_when: Long = ()
    record: tuple[str, ...] = ()
    make_safe: str = ""
    look_first: tuple[Look, ...] = ()
    suspects: tuple[Suspect, ...] = ()
    procedures: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    look_alikes: tuple[LookAlike, ...] = ()
    no_look_alike: str = ""
    stop_and_call: tuple[str, ...] = ()
