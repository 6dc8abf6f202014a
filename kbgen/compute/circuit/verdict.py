"""What readings leave: the verdict, with everything that stands beside it."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.compute.circuit.evidence import Evidence
from kbgen.compute.circuit.faults import device_of
from kbgen.compute.circuit.findings import Drop, Foreign
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.reading import Reading
from kbgen.compute.circuit.readings import Table
from kbgen.compute.circuit.sayings import CAUTION, FOREIGN, UNCOUNTED, WARNINGS
from kbgen.compute.circuit.suggestion import Next

MADE_, FOUND, UNCLEAR, FOREIGN_, CONTRADICTION = "made", "found", "unclear", "foreign", "contradiction"


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the readings leave.

    Attributes:
        verdict: ``made``, ``found``, ``unclear``, ``foreign`` or ``contradiction``.
        remaining: Indices of the faults with at most one reading against them, with their shares.
        groups: Faults no reachable reading tells apart, as ids.
        cannot_tell: Faults that read the same as what the verdict says.
        repeat: The reading most worth repeating when the readings contradict each other.
        ends: The points between which the volts end; nothing where they do not, or readings contradict.
        hangs_on: The one place that keeps so much out that nothing is called found or made; empty without one.
        unexplained: Readings not counted that nothing left could have shown.
        as_meant: Whether it reads as it must in a stage in which a contact has to be open.
        either_way: Whether no more can be told as nobody says how a contact stands in this stage.
        asks: What has to be said of the plant before anything can be called made.
    """

    probing: Probing
    taken: tuple[Reading, ...]
    evidence: Evidence
    verdict: str
    remaining: tuple[tuple[int, float], ...]
    groups: tuple[tuple[str, ...], ...]
    cannot_tell: tuple[str, ...]
    drops: tuple[Drop, ...]
    foreign: Foreign | None
    repeat: Reading | None
    next: Next | None
    ends: tuple[str, str] | None
    hangs_on: str
    unexplained: tuple[int, ...]
    as_meant: bool
    either_way: bool
    asks: tuple[str, ...]
    warned: tuple[str, ...]

    @property
    def standing(self) -> tuple[int, ...]:
        """The faults without a reading against them."""
        return tuple(row for row, _ in self.remaining if not self.evidence.against[row])

    @property
    def device(self) -> str:
        """The one device whose contact is left as open; empty without one.

        While nothing at all may be wrong, nobody knows of an open contact.
        """
        faults = self.probing.table.faults
        opened = {
            device_of(faults[row].where[0])
            for row in self.standing
            if faults[row].kind == "open" and not self.probing.suspicion.hidden[row]
        }
        if self.verdict in (CONTRADICTION, FOREIGN_) or 0 in self.standing or len(opened) != 1:
            return ""
        return next(iter(opened))

    def to_json(self) -> dict[str, object]:
        """Return the JSON object of ``kbgen locate``, without version and edition."""
        table = self.probing.table
        setting = table.variant.setting
        return {
            "circuit": setting.circuit_id,
            "size": setting.state.size or None,
            "stage": setting.state.stage or None,
            "state": setting.state.to_json(),
            "verdict": self.verdict,
            "remaining": [
                {
                    **table.faults[row].to_json(),
                    "share": round(share, 4),
                    "notes": self.probing.suspicion.notes[row],
                    "against": [self.taken[k].to_json(table) for k in self.evidence.against[row]],
                }
                for row, share in self.remaining
            ],
            "groups": [list(group) for group in self.groups],
            "cannot_tell": list(self.cannot_tell),
            "drops": [drop.to_json() for drop in self.drops],
            "foreign": self.foreign.to_json() | {"why": FOREIGN[self.foreign.why]} if self.foreign else None,
            "not_counted": [
                {"reading": self.taken[k].to_json(table), "why": UNCOUNTED[why]}
                for k, why in self.evidence.sorted.not_counted
            ],
            "contradiction": {"repeat": _where(table, self.repeat)} if self.repeat else None,
            "next": self.next.to_json() if self.next else None,
            "unexplained": [self.taken[k].to_json(table) for k in self.unexplained],
            "ends": {"from": self.ends[0], "to": self.ends[1]} if self.ends else None,
            "hangs_on": self.hangs_on or None,
            "as_meant": self.as_meant,
            "either_way": self.either_way,
            "asks": list(self.asks),
            "intermittent": self.intermittent() if self.verdict == MADE_ else None,
            "is_it_doing_its_job": self._job(),
            "warnings": [WARNINGS[name] for name in self.warned],
            "caution": CAUTION,
        }

    def _job(self) -> dict[str, object] | None:
        """Return the independent check of the one device left: an open contact is not yet a faulty one."""
        if not self.device:
            return None
        device = self.probing.table.variant.setting.base.device(self.device)
        check = device.independent_check if device else None
        return {
            "device": self.device,
            "with": check.with_ if check else None,
            "real": check.real if check else None,
            "false": check.false if check else None,
            "not_sure": "counts as real",
        }

    def intermittent(self) -> list[dict[str, object]]:
        """List the devices that open only sometimes, and when."""
        base = self.probing.table.variant.setting.base
        found: list[dict[str, object]] = []
        for device_id in dict.fromkeys(device_of(label) for label in self.probing.table.devices):
            device = base.device(device_id)
            causes = device.opening_causes if device else ()
            found += [
                {"device": device_id, "cause": c.cause, "appears": list(c.appears), "look_for": c.look_for}
                for c in causes
                if c.appears and c.appears != ("always",)
            ]
        return found


def _where(table: Table, reading: Reading) -> dict[str, object]:
    kind = "device" if reading.port in table.devices else "point"
    return {kind: reading.port, "meter": reading.mode}
