"""Random changes of the demonstration: of what is found in the store, a part is made anew and must be equal.

Making all anew after each of 300 changes would take a day; a value that is found and would now be made otherwise is
found out all the same, by chance. ``python -m tests.bench.kept_bench 300 --forget title`` shows that it would be: one
kind of question is not noted, and values are wrong.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

from kbgen import ahead
from kbgen.link import kept
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry, KeptHead
from kbgen.model.shop import KeptShop
from kbgen.pipeline import compile_folder
from kbgen.records import load
from kbgen.store import Store
from tests.unit.test_same_bytes import Hand

DEMONSTRATION = Path(__file__).parents[2] / "kb_source"
SHARE = 0.03
"""How much of what is found is made anew."""


def plain(value: object) -> object:
    """Return a value as text and lists, so that two that were made apart can be compared."""
    if isinstance(value, Entry):
        return str(value.ref)
    if isinstance(value, KnowledgeBase | KeptShop | KeptHead):
        return type(value).__name__
    if is_dataclass(value):
        return (type(value).__name__, [plain(getattr(value, each.name)) for each in fields(value)])
    if isinstance(value, set | frozenset):
        return sorted(repr(plain(each)) for each in value)
    if isinstance(value, dict):
        return [(plain(key), plain(each)) for key, each in value.items()]
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    return value.tobytes() if hasattr(value, "tobytes") else repr(value)


class Doubt:
    """Makes a part of what is found anew, and keeps what was not equal."""

    def __init__(self, chance: random.Random) -> None:
        self.chance = chance
        self.found: Counter[str] = Counter()
        self.doubted: Counter[str] = Counter()
        self.wrong: list[tuple[str, ...]] = []
        self._real = kept._kept
        self._busy = False

    def kept(
        self, store: Store, base: KnowledgeBase, name: tuple[str, ...], make: Callable[[], Any]
    ) -> tuple[list[str], Any]:
        """Stand for `kbgen.link.kept._kept`."""
        fresh = store.fresh
        questions, value = self._real(store, base, name, make)
        if store.fresh == fresh:
            self.found[name[0]] += 1
            if not self._busy and self.chance.random() < SHARE:
                self._busy = True
                self.doubted[name[0]] += 1
                door = kept._Door(base)
                with base.listening():
                    made = load(kept.dump(make(), door), door)
                    if plain(made) != plain(value):
                        self.wrong.append(name)
                self._busy = False
        return questions, value


def run(times: int = 300, seed: int = 1) -> list[str]:
    """Change the demonstration and return what was found, doubted and wrong, as lines of Markdown."""
    chance = random.Random(seed)
    doubt = Doubt(chance)
    kept._kept = doubt.kept  # type: ignore[assignment]
    ahead.MUCH = sys.maxsize  # a second process would keep its doubts to itself
    begun = time.process_time()
    with tempfile.TemporaryDirectory() as temporary:
        root = shutil.copytree(DEMONSTRATION, Path(temporary) / "kb")
        file = Path(temporary) / "store.sqlite"
        hand = Hand(root, chance)
        for _ in range(times):
            with Store(file) as store:
                sound = compile_folder(root, store=store).sound
            if not sound and chance.random() < 0.7:
                hand.undo()
            hand.change()
    kept._kept = doubt._real
    kinds = ", ".join(f"{name.split(',')[0]} {count:,}" for name, count in doubt.doubted.most_common(8))
    return [
        f"{times} changes: {doubt.found.total():,} values found, {doubt.doubted.total():,} of them made anew ({kinds}), "
        f"not equal {len(doubt.wrong)}; {time.process_time() - begun:.0f} s of processor.",
        *(f"- not equal: {' '.join(name)[:120]}" for name in doubt.wrong[:20]),
    ]


def main() -> None:
    """Measure from the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("times", type=int)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--forget", default="", help="a kind of question that is not noted")
    wanted = parser.parse_args()
    note = KnowledgeBase.note
    if wanted.forget:
        KnowledgeBase.note = (  # type: ignore[method-assign]
            lambda self, what, of: None if what == wanted.forget else note(self, what, of)
        )
    print("\n".join(run(wanted.times, wanted.seed)))


if __name__ == "__main__":
    main()
