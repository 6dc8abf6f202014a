"""Where to put the leads next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kbgen.compute.circuit.bands import FULL, SOME
from kbgen.compute.circuit.doubt import hangs_on
from kbgen.compute.circuit.evidence import Evidence
from kbgen.compute.circuit.findings import Drop, behind_resistors, contacts_between, looked_for
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, mode_of
from kbgen.compute.circuit.order import device_to_read
from kbgen.compute.circuit.plan import Probe
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.reading import Reading, falling, row_of_points, supply_mark
from kbgen.compute.circuit.sayings import REASONS
from kbgen.compute.circuit.telling import Candidate, best, modes_at

_BUDGET = 2_000
"""Expansions of the exact search for one suggestion; a person is waiting."""
_WORTH = 0.03
"""A further reading must be able to tell this share of what is left apart."""
_ANY = 1e-3
"""The same where something is wrong: what is found is one group that no reading separates."""
_CONFIRMS = 0.3
"""A confirming reading must give this share of the rivals a second place against them."""
_MOST_REPEATS = 3
_RIVALS = 0.08
"""What share of the suspicion rivals must have for a confirming reading."""


@dataclass(frozen=True, slots=True)
class Next:
    """The next test.

    Attributes:
        meter: Id of the meter's mode.
        minutes: What it costs with the places reached and the covers off so far.
        why: Name of the reason.
        gates: What its place asks for, such as a second person.
    """

    port: str
    device: bool
    meter: str
    minutes: float
    why: str
    gates: tuple[str, ...]

    @property
    def anew(self) -> bool:
        """Whether it asks for other hands, at a place found anew."""
        return self.why == "anew"

    def to_json(self) -> dict[str, object]:
        """Return plain data."""
        return {
            "device" if self.device else "point": self.port,
            "meter": self.meter,
            "minutes": round(self.minutes, 2),
            "anew": self.anew,
            "why": REASONS[self.why],
            "mind": list(self.gates),
        }


class Suggester:
    """Asks, in turn, whatever may be the most useful next reading."""

    def __init__(
        self, probing: Probing, taken: Sequence[Reading], evidence: Evidence, drops: Sequence[Drop]
    ) -> None:
        self.probing = probing
        self.table = probing.table
        self.taken = taken
        self.evidence = evidence
        self.drops = drops
        self.seen = {(reading.port, reading.mode) for reading in taken}
        self.opened = self._opened()

    def search(self, left: frozenset[int]) -> Next | None:
        """Return what tells most of the faults left apart: the supply, what is in doubt, the order, the rest."""
        supply = supply_mark(self.table)
        known = FULL in [self.evidence.sorted.words[k] for k in self.evidence.sorted.counted]
        if not known and supply in self.probing.points and not any(port == supply for port, _ in self.seen):
            return self._at(self._point(supply), "supply")
        return (
            self._doubtful() or self._lost() or self._ordered(left) or self._loaded(left) or self._apart(left)
        )

    def confirm(self, left: Sequence[int], rivals: Sequence[int]) -> Next | None:
        """Return a reading that stands against most of the rivals that one place alone keeps out.

        It is taken at another place while one tells: a slip of the leads makes every reading of its place
        wrong together. Where no other place tells, the same is read again, in another mode.
        """
        third = self._third()
        if third is not None:
            return third
        bare = self.unconfirmed(left, rivals)
        if not bare and not hangs_on(self.probing, self.taken, self.evidence, left, rivals):
            return None
        rivals = bare or rivals
        doubted = frozenset(self.taken[self.evidence.against[row][0]].port for row in rivals)
        return self._best(left, rivals, _CONFIRMS, "confirm", doubted) or self.disputed(bare, "confirm")

    def unconfirmed(self, left: Sequence[int], rivals: Sequence[int]) -> list[int]:
        """Return the rivals kept out by a reading that nothing bears out, while they matter."""
        weights = self.probing.suspicion.weights
        found = [row for row in rivals if not self._borne_out(self.evidence.against[row][0])]
        rival = sum(weights[row] for row in found)
        matter = rival > _RIVALS * (rival + sum(weights[row] for row in left))
        return found if left and matter else []

    def anew(self, port: str) -> Next | None:
        """Return the last that counts of a place, to be read by other hands; nothing where they have read it."""
        own = [self.taken[k] for k in self.evidence.sorted.counted if self.taken[k].port == port]
        if not own or any(reading.place == (port, True) for reading in self.taken):
            return None
        probe = self._point(port) or self.probing.across.get(port)
        return self._at(probe, "anew", self._again_in(own[-1]))

    def _third(self) -> Next | None:
        """Return a reading that came out otherwise when it was taken again, once more: two of three decide."""
        words = self.evidence.sorted.words
        for k, reason in self.evidence.sorted.not_counted:
            reading = self.taken[k]
            if reason != "again":
                continue
            last = max(
                j for j, r in enumerate(self.taken) if (r.place, r.mode) == (reading.place, reading.mode)
            )
            if words[k] != words[last] and not self._borne_out(last):
                return self.repeat(reading, "third")
        return None

    def _borne_out(self, k: int) -> bool:
        """Say whether its place was read again and came out alike."""
        reading, words = self.taken[k], self.evidence.sorted.words
        return any(
            other.port == reading.port and mode_of(other.mode).own and words[j] == words[k]
            for j, other in enumerate(self.taken)
            if j != k
        )

    def disputed(self, rows: Sequence[int], why: str = "repeat") -> Next | None:
        """Return again, once, the reading that alone keeps most of some faults out."""
        weights = self.probing.suspicion.weights
        gains: dict[int, float] = {}
        for row in rows:
            k = self.evidence.against[row][0]
            gains[k] = gains.get(k, 0.0) + weights[row]
        for k in sorted(gains, key=lambda each: (-gains[each], each)):
            found = self.repeat(self.taken[k], why)
            if found is not None:
                return found
        return None

    def settle(self, rows: Sequence[int]) -> Next | None:
        """Return the reading that tells most of the faults apart that each have one reading against them."""
        doubted = frozenset(self.taken[k].port for row in rows for k in self.evidence.against[row])
        return self._best(rows, rows, _WORTH, "settle", doubted)

    def repeat(self, reading: Reading, why: str = "repeat") -> Next | None:
        """Return a reading taken again: a point in low impedance, else the same, unless it was alike twice.

        A repeat in the same way repeats the mistake. In high impedance a ghost may stand, so that low is
        the other way to read a point, and high none to read it again.
        """
        point = reading.port in self.probing.points and LOW_Z in modes_at(self.table)
        if point and (reading.port, LOW_Z) not in self.seen:
            return self._at(self._point(reading.port), why, LOW_Z)
        mode = self._again_in(reading)
        words = [
            word
            for r, word in zip(self.taken, self.evidence.sorted.words, strict=True)
            if (r.port, r.mode) == (reading.port, mode)
        ]
        if len(words) > _MOST_REPEATS or (len(words) > 1 and words[-1] == words[-2]):
            return None
        probe = self.probing.across.get(reading.port) or self._point(reading.port)
        return self._at(probe, why, mode) if probe else None

    def _again_in(self, reading: Reading) -> str:
        """Return the mode to take a reading again in: never low impedance across, or where the loop does not bear it."""
        bears = reading.port not in self.table.devices and LOW_Z in modes_at(self.table)
        return HIGH_Z if reading.mode == LOW_Z and not bears else reading.mode

    def _opened(self) -> int:
        """Return the places reached and covers off after the readings, as bits."""
        opened = 0
        for k, test in enumerate(self.probing.task.tests):
            if any(port == test.name for port, _ in self.seen):
                opened |= self.probing.task.needs[k]
        return opened

    def _point(self, mark: str) -> Probe | None:
        return next((test for test in self.probing.task.tests if test.name == mark), None)

    def _at(self, probe: Probe | None, why: str, mode: str = "") -> Next | None:
        if probe is None:
            return None
        minutes = self.probing.task.minutes_of(probe, self.opened)
        gates = self.probing.gates(probe)
        return Next(probe.name, probe.device, mode or probe.meter, minutes, why, gates)

    def _doubtful(self) -> Next | None:
        """Return a middle reading that is not counted, once more: a point in low impedance, across the same."""
        for k, reason in self.evidence.sorted.not_counted:
            reading = self.taken[k]
            if reason == "across" and self.evidence.sorted.words[k] == SOME:
                if sum(other.port == reading.port for other in self.taken) == 1:
                    return self._at(self.probing.across[reading.port], "doubt-across")
                continue
            if (
                reason != "ghost"
                or LOW_Z not in modes_at(self.table)
                or reading.port not in self.probing.points
                or (reading.port, LOW_Z) in self.seen
            ):
                continue
            if self.probing.word_of(self.table.points.index(reading.port), 0) != SOME:
                return self._at(self._point(reading.port), "doubt", LOW_Z)
        return None

    def _lost(self) -> Next | None:
        """Halve the way along which volts are lost, then read across what is left of it."""
        row = falling(self.table)
        for drop in sorted(self.drops, key=lambda each: -each.volts):
            if looked_for(self.table, self.taken, drop):
                continue
            inside = [
                mark
                for mark in row[row.index(drop.upper) + 1 : row.index(drop.lower)]
                if mark in self.probing.points and not any(port == mark for port, _ in self.seen)
            ]
            if inside:
                mode = LOW_Z if (drop.lower, LOW_Z) in self.seen else HIGH_Z
                return self._at(self._point(inside[len(inside) // 2]), "drop", mode)
            for label in contacts_between(self.table, drop):
                if (label, HIGH_Z) not in self.seen:
                    return self._at(self.probing.across[label], "drop-across")
        return None

    def _ordered(self, left: frozenset[int]) -> Next | None:
        """Return the next test of the order."""
        probing = self.probing
        alive = sum(1 << h for h, group in enumerate(probing.groups) if left.intersection(group))
        if alive.bit_count() > 1:
            chosen = probing.solved(alive, self.opened, _BUDGET).policy(alive, self.opened, False)
            tests = probing.task.tests
            unread = [
                t for t in probing.task.useful(alive) if (tests[t].name, tests[t].meter) not in self.seen
            ]
            if unread:
                probe = tests[chosen if chosen in unread else unread[0]]
                return self._at(probe, "only-across" if probe.device else "order")
        rows = [
            row for h, group in enumerate(probing.groups) if alive >> h & 1 for row in group if row in left
        ]
        apart = device_to_read(probing, rows)
        if apart and (apart[0], HIGH_Z) not in self.seen:
            return self._at(probing.across[apart[0]], "across")
        return None

    def _loaded(self, left: frozenset[int]) -> Next | None:
        """Return the far end in low impedance: one reading puts the load of the meter on every contact.

        Across what a resistor hides follows: no reading at a point tells what such a contact drops.
        """
        row = row_of_points(self.table)
        far = row[-1] if row else ""
        worn = {self.table.faults[k].kind for k in left} >= {"healthy", "resistance"}
        if not worn or far not in self.probing.points or not any(port == far for port, _ in self.seen):
            return None
        if LOW_Z in modes_at(self.table) and (far, LOW_Z) not in self.seen:
            return self._at(self._point(far), "load", LOW_Z)
        hidden = behind_resistors(self.table, self.taken)
        return self._at(self.probing.across[hidden[0]], "load") if hidden else None

    def _apart(self, left: frozenset[int]) -> Next | None:
        """Return the reading that tells most of what is left apart: bad contacts show only under load."""
        rows = sorted(row for row in left if not self.probing.suspicion.hidden[row])
        return self._best(rows, rows, _WORTH if 0 in left else _ANY, "load", frozenset())

    def _best(
        self, one: Sequence[int], other: Sequence[int], least: float, why: str, doubted: frozenset[str]
    ) -> Next | None:
        if not one or not other:
            return None
        found: Candidate | None = best(
            self.probing, self.evidence, self.taken, one, other, self.opened, least, doubted
        )
        return self._at(found.probe, why, found.mode) if found else None
