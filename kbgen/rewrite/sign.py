"""Signing: what a technician reads, what differs since it was signed last, and the signature itself.

Initials are a claim, not an identity: who may write to the folder may write any.
"""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

from kbgen.compute.circuit.study import Study
from kbgen.compute.figures import figures_differ, figures_of
from kbgen.compute.signing import Need, counts, meets, needs, person_of, still_to_sign
from kbgen.link.kept import kept
from kbgen.model.entry import Entry, KeptEntry
from kbgen.model.head import Signature, State, Walked
from kbgen.model.mark import Mark, content_mark, read_mark, text_mark
from kbgen.model.shop import Person
from kbgen.pipeline import Compiled
from kbgen.read import signed_path, signed_text
from kbgen.ref import Ref
from kbgen.render.text import page_lines
from kbgen.replace import replace_file
from kbgen.rewrite.head import set_fields, signatures_as_typed
from kbgen.starter import taken_over
from kbgen.views.entry_page import page_as_it_is

CLAIM = "Initials are a claim, not an identity: whoever may write to this folder may write any."


@dataclass(frozen=True, slots=True)
class Reading:
    """An entry as it is read before it is signed.

    Attributes:
        before: Its text as its reader signed it; empty where they never did, or signed another one.
        now: Its text as it is.
        needs: The licences its steps need.
    """

    entry: Entry
    before: tuple[str, ...]
    now: tuple[str, ...]
    mark: Mark
    needs: tuple[Need, ...]

    def difference(self) -> Iterator[str]:
        """Yield what differs: lines that went behind ``-``, lines that came behind ``+``, with two lines around them."""
        lines = difflib.unified_diff(self.before, self.now, lineterm="", n=2)
        for line in list(lines)[2:]:
            yield "…" if line.startswith("@@") else line


def read_entry(compiled: Compiled, ref: Ref, by: str) -> Reading:
    """Return an entry as somebody reads it before they sign it."""
    base, store = compiled.base, compiled.store
    entry = base.entries[ref]
    study = Study(base, store)
    walks = compiled.walks
    lines = kept(
        store, base, ("lines", str(ref)), lambda: page_lines(page_as_it_is(base, entry, study, walks))
    )
    content = entry.card.digests.content if isinstance(entry, KeptEntry) else content_mark(entry.data)
    mark = Mark(content, figures_of(study, ref), text_mark(lines))
    before = signed_text(compiled.root, ref)
    theirs = {each.text for mine in entry.head.review if mine.by == by and (each := read_mark(mine.mark))}
    if text_mark(before) not in theirs:
        before = ()
    return Reading(entry, before, lines, mark, needs(base, entry.record))


def unsigned(compiled: Compiled) -> Iterator[Ref]:
    """Yield the approved entries that lack a signature as they are, the figures they rest on included."""
    study = Study(compiled.base, compiled.store)
    for ref, entry in compiled.base.entries.items():
        head = entry.head
        signed = head.standing.state is State.SIGNED and not figures_differ(study, ref)
        if head.status == "approved" and not head.withdrawn and not signed:
            yield ref


@dataclass(frozen=True, slots=True)
class Signed:
    """What became of an entry.

    Attributes:
        for_: The licences it was signed for.
        lacking: The licences and people it still needs, in words; until then it is no more approved than before.
    """

    ref: Ref
    path: str
    for_: tuple[Need, ...]
    lacking: tuple[str, ...]


def sign(compiled: Compiled, reading: Reading, person: Person, on: str) -> Signed:
    """Write a signature into an entry, and its text into ``signed/``.

    It stands beside those of others for the same words. Those for other words go once nobody's is lacking; until then
    they stay, and with them the text that they are for: whoever still signs reads what differs from it.

    Raises:
        CannotEdit: The file could not be changed without losing something.
        OSError: It could not be written.
    """
    entry, base = reading.entry, compiled.base
    mine = tuple(need for need in reading.needs if meets(person, need))
    all_others = [each for each in entry.head.review if each.by != person.initials]
    others = [each for each in all_others if _same(compiled, each, reading)]
    signature = Signature(person.initials, on, str(reading.mark), tuple(need.licence for need in mine))
    unmet = tuple(
        need
        for need in reading.needs
        if need not in mine
        and not any(
            need.licence in each.for_ and meets(person_of(base.shop, each.by), need) for each in others
        )
    )
    waits = still_to_sign(base, entry, [*(each.by for each in others), person.initials])
    whole = not unmet and not waits
    typed, meant = signatures_as_typed([*(others if whole else all_others), signature])
    fields: dict[str, tuple[str, Any]] = {"review": (typed, meant)}
    if whole:
        fields = {"status": ("approved", "approved"), **fields}
    path = compiled.root / entry.path
    changed = set_fields(path.read_bytes(), fields)
    if whole:
        replace_file(compiled.root / signed_path(entry.ref), ("\n".join(reading.now) + "\n").encode())
    replace_file(path, changed)
    return Signed(entry.ref, entry.path, mine, (*map(str, unmet), *waits))


def keep_walk(compiled: Compiled, ref: Ref, walked: Walked) -> None:
    """Write into a page who walked it; one that follows from a plant's entry gets its file first.

    Raises:
        CannotEdit: The file could not be changed without losing something.
        OSError: It could not be written.
    """
    entry = compiled.base.entries[ref]
    path = compiled.root / entry.path
    text = taken_over(entry.data).encode() if ref in compiled.derived else path.read_bytes()
    fields = asdict(walked)
    typed = ", ".join(f"{name}: {json.dumps(value, ensure_ascii=False)}" for name, value in fields.items())
    replace_file(path, set_fields(text, {"walked": (f"{{{typed}}}", fields)}))


def _same(compiled: Compiled, signature: Signature, reading: Reading) -> bool:
    mark = read_mark(signature.mark)
    return mark is not None and mark.content == reading.mark.content and counts(compiled.base.shop, signature)
