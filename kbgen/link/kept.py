"""Values made from the knowledge base, kept under what was asked for them.

First lies which questions were asked, under the name of the value; then the value, under these questions and
their answers of today. A stage that gets the same answers asks the same questions and makes the same value, so
what is found there is what would be made; where an answer differs, nothing is found.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import Any, TypeVar

from kbgen.link.base import KnowledgeBase, written
from kbgen.model.entry import Entry, KeptHead
from kbgen.model.shop import KeptShop
from kbgen.program import make_key
from kbgen.records import dump, load
from kbgen.ref import Kind, Ref
from kbgen.store import Store

T = TypeVar("T")
V = TypeVar("V")

_NOWHERE = Store()


def kept(store: Store, base: KnowledgeBase, name: tuple[str, ...], make: Callable[[], T]) -> T:
    """Return a value made from the knowledge base, or make it.

    Args:
        name: What is made, and of what beside the answers: everything that `make` does not ask the base.
        make: Makes it. It asks the base alone, so that the same answers make the same value.
    """
    before = base.made.get(name)
    if before is not None:
        base.note_again(before[0])
        return before[1]  # type: ignore[no-any-return]
    questions, value = _kept(store, base, name, make) if store.keeps else _listened(base, make)
    base.made[name] = (questions, value)
    return value


Makers = Iterable[tuple[tuple[str, ...], Callable[[], T]]]
"""Many values by their names; of each what makes it."""


def kept_all(store: Store, base: KnowledgeBase, makers: Makers[T]) -> Iterator[T]:
    """Yield many values made from the knowledge base, in this order.

    They are kept one by one and in blocks: where nothing of a block has changed, one look finds all of it.
    """
    for block in blocks(makers, lambda maker: repr(maker[0])):
        whole = partial(_each, store, base, block)
        names = (json.dumps(name) for name, _ in block)
        yield from kept(store, base, ("block", *names), whole) if store.keeps else whole()


def _each(store: Store, base: KnowledgeBase, makers: Makers[T]) -> tuple[T, ...]:
    return tuple(kept(store, base, name, make) for name, make in makers)


def blocks(things: Iterable[V], text: Callable[[V], str]) -> Iterator[list[V]]:
    """Cut things into runs of about 32; one more or less changes its own run only.

    Args:
        text: What is the same of a thing in every run of the program.
    """
    block: list[V] = []
    for thing in things:
        block.append(thing)
        if hashlib.sha256(text(thing).encode("utf-8", "surrogatepass")).digest()[0] < 8:
            yield block
            block = []
    if block:
        yield block


def remembered(base: KnowledgeBase, name: tuple[str, ...], make: Callable[[], T]) -> T:
    """Return a value made from the knowledge base, once in a run; who asks for it has asked what it was made of."""
    return kept(_NOWHERE, base, name, make)


def _listened(base: KnowledgeBase, make: Callable[[], T]) -> tuple[list[str], T]:
    with base.listening() as seen:
        made = make()
    return sorted(written(what, of) for what, of in seen), made


def _kept(
    store: Store, base: KnowledgeBase, name: tuple[str, ...], make: Callable[[], T]
) -> tuple[list[str], T]:
    place = make_key("asked", *name)
    door = _Door(base)
    asked = store.get(place)
    if asked is not None:
        try:
            questions = json.loads(asked)
            body = store.get(_under(place, asked, base, questions))
            if body is not None:
                base.note_again(questions)
                return questions, load(body, door)
        except Exception:  # noqa: S110 - whatever is wrong with it, it is made again
            pass
    questions, made = _listened(base, make)
    store.fresh += 1
    asked = json.dumps(questions).encode()
    body = dump(made, door)
    store.put(place, asked)
    store.put(_under(place, asked, base, questions), body)
    return questions, load(body, door)


def _under(place: bytes, asked: bytes, base: KnowledgeBase, questions: list[str]) -> bytes:
    return make_key(place, asked, b"".join(map(base.answer, questions)))


class _Door:
    """Keeps the knowledge base and its entries by name: a value that holds one gets that of today."""

    def __init__(self, base: KnowledgeBase) -> None:
        self._base = base

    def name_of(self, thing: object) -> Any | None:
        if thing is self._base:
            return "base"
        if isinstance(thing, Entry):
            return str(thing.ref)
        if isinstance(thing, KeptHead):
            return f"head {thing.ref}"
        if isinstance(thing, KeptShop):
            return "shop"
        return None

    def thing_of(self, name: Any) -> object:
        if name in ("base", "shop"):
            return self._base if name == "base" else self._base.shop
        kind, _, entry_id = name.removeprefix("head ").partition(":")
        entry = self._base.entries[Ref(Kind(kind), entry_id)]
        return entry.head if name.startswith("head ") else entry
