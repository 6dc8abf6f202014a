"""What lies between two terminals of a circuit."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from kbgen.model.circuit import (
    AnyPart,
    Circuit,
    Coil,
    Contact,
    Fuse,
    Input,
    Load,
    Parallel,
    Point,
    Tap,
    parts,
)

_Where = tuple[int, ...]
"""Index in the path, then branch and index inside it, and so on."""


@dataclass(frozen=True, slots=True)
class String:
    """One circuit, ready for questions about it."""

    circuit: Circuit

    def point(self, mark: str) -> Point | None:
        """Return a terminal by its mark."""
        return next((p for p in parts(self.circuit.path) if isinstance(p, Point) and p.point == mark), None)

    def between(self, one: str, other: str) -> tuple[AnyPart, ...] | None:
        """Return the parts between two terminals, or ``None`` when the circuit lacks one of them."""
        first, second = self._where(one), self._where(other)
        if first is None or second is None:
            return None
        return tuple(_flat(_span(self.circuit.path, *sorted((first, second)))))

    def before(self, mark: str) -> tuple[AnyPart, ...]:
        """Return the parts between the supply and a terminal."""
        where = self._where(mark)
        return () if where is None else tuple(_flat(_head(self.circuit.path, where)))

    def before_device(self, device: str) -> tuple[AnyPart, ...] | None:
        """Return the parts between the supply and a device's contact, or ``None`` when it has none here."""
        where = _find(self.circuit.path, lambda part: device in devices([part]))
        return None if where is None else tuple(_flat(_head(self.circuit.path, where)))

    def has(self, device: str) -> bool:
        """Return whether the device has a contact or fuse in the circuit."""
        return device in devices(parts(self.circuit.path))

    def _where(self, mark: str) -> _Where | None:
        return _find(self.circuit.path, lambda part: isinstance(part, Point) and part.point == mark)


def devices(path: Iterable[AnyPart]) -> frozenset[str]:
    """Return the devices whose contact or fuse is among the parts."""
    return frozenset(
        part.contact if isinstance(part, Contact) else part.fuse
        for part in path
        if isinstance(part, Contact | Fuse)
    )


def has_load(path: tuple[AnyPart, ...]) -> bool:
    """Return whether a coil, load or input is among the parts."""
    return any(isinstance(part, Coil | Load | Input) for part in path)


def _find(path: tuple[AnyPart, ...], wanted: Callable[[AnyPart], bool], above: _Where = ()) -> _Where | None:
    for index, part in enumerate(path):
        if isinstance(part, Parallel):
            for branch, inside in enumerate(part.parallel):
                found = _find(inside, wanted, (*above, index, branch))
                if found is not None:
                    return found
        elif isinstance(part, Tap):
            found = _find(part.tap, wanted, (*above, index, 0))
            if found is not None:
                return found
        elif wanted(part):
            return (*above, index)
    return None


def _branch(part: AnyPart, branch: int) -> tuple[AnyPart, ...]:
    if isinstance(part, Parallel):
        return part.parallel[branch]
    return part.tap if isinstance(part, Tap) else ()


def _span(path: tuple[AnyPart, ...], first: _Where, second: _Where) -> Iterator[AnyPart]:
    """Yield what lies after ``first`` and before ``second``, which stands later in the path."""
    if first[0] == second[0] and len(first) > 1 and len(second) > 1:
        if first[1] == second[1]:
            inside = _branch(path[first[0]], first[1])
            yield from _span(inside, first[2:], second[2:])
        else:
            # Two branches of one group: each from its terminal to where the group begins.
            yield from _head(_branch(path[first[0]], first[1]), first[2:])
            yield from _head(_branch(path[second[0]], second[1]), second[2:])
        return
    if len(first) > 1:
        yield from _tail(_branch(path[first[0]], first[1]), first[2:])
    yield from path[first[0] + 1 : second[0]]
    if len(second) > 1:
        yield from _head(_branch(path[second[0]], second[1]), second[2:])


def _head(path: tuple[AnyPart, ...], where: _Where) -> Iterator[AnyPart]:
    yield from path[: where[0]]
    if len(where) > 1:
        yield from _head(_branch(path[where[0]], where[1]), where[2:])


def _tail(path: tuple[AnyPart, ...], where: _Where) -> Iterator[AnyPart]:
    if len(where) > 1:
        yield from _tail(_branch(path[where[0]], where[1]), where[2:])
    yield from path[where[0] + 1 :]


def _flat(path: Iterator[AnyPart]) -> Iterator[AnyPart]:
    """Open up parallel groups; what hangs beside the path to the return is not between its points."""
    for part in path:
        if isinstance(part, Tap):
            continue
        if isinstance(part, Parallel):
            for branch in part.parallel:
                yield from _flat(iter(branch))
        else:
            yield part
