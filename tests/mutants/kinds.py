"""What a kind of change is, and how a list of kinds is gathered."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tests.mutants.draft import Draft
from tests.mutants.site import Site

Make = Callable[[Site, Draft], Iterator[Draft]]


@dataclass(frozen=True)
class Kind:
    """One kind of change.

    Attributes:
        why: What makes it unsafe, or why it is not.
        make: Makes one changed procedure for every place where that holds.
    """

    name: str
    why: str
    make: Make


class Kinds(list[Kind]):
    """Kinds in the order in which they are written."""

    def add(self, why: str) -> Callable[[Make], Make]:
        """Add a kind, named like its function."""

        def add(make: Make) -> Make:
            self.append(Kind(make.__name__.replace("_", " "), why, make))
            return make

        return add
