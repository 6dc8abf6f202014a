"""What one job found."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.model.build import Long, Time
from kbgen.model.head import Head
from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class Remark:
    """A step that was said to be wrong at the plant.

    Attributes:
        page: Id of the procedure.
        step: The step's place, as `kbgen.model.procedure.places_of` names it.
        edition: Mark of the edition that was worked by.
        answer: What was done about it; the remark is open without.
    """

    page: str
    step: str
    said: str
    edition: str = ""
    answer: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class FieldNote:
    """One job: what was found and how long it took; nothing about the customer.

    Attributes:
        plant: Id of the machine; empty where it is not known, and in a public edition.
    """

    head: Head
    date: str
    equipment: str
    size: str = ""
    plant: str = ""
    symptom: str = ""
    device: str = ""
    wire: str = ""
    fault: str = ""
    appeared: tuple[str, ...] = ()
    cause: Long = ()
    minutes: Time | None = None
    remarks: tuple[Remark, ...] = ()
