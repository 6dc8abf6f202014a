"""What signatures hold, and which of them a change has broken: initials are a claim, not an identity."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept_all
from kbgen.model import action as act
from kbgen.model.entry import AnyRecord, Entry, KeptEntry, digests_of
from kbgen.model.head import Head, Signature, Standing, State
from kbgen.model.mark import Mark, read_mark, text_mark
from kbgen.model.procedure import Procedure
from kbgen.model.shop import TOUCHABLE, Person, ShopSettings
from kbgen.ref import Kind, Ref
from kbgen.store import Store

LICENCES = {
    "gas": "gas",
    "electric": "electrical work",
    "boiler": "what holds pressure",
    "first-aid": "first aid",
}
"""Each licence and what it is for."""

LastText = Callable[[Ref], tuple[str, ...]]
"""Gives the text of an entry that was signed last, line by line; nothing where there is none."""


def person_of(shop: ShopSettings, initials: str) -> Person | None:
    """Return who has these initials; ``None`` where kb.yaml names nobody."""
    return next((each for each in shop.people if each.initials == initials), None)


def counts(shop: ShopSettings, signature: Signature) -> bool:
    """Return whether a signature has a mark and kb.yaml names who gave it, for that day."""
    person = person_of(shop, signature.by)
    return (
        person is not None
        and (not person.until or signature.on <= person.until)
        and read_mark(signature.mark) is not None
    )


def standing(shop: ShopSettings, head: Head, content: str) -> Standing:
    """Return how an entry stands to what was signed, without the text that was.

    Args:
        content: The mark of its words and actions as they are.
    """
    if head.withdrawn:
        return Standing(State.WITHDRAWN)
    signed = [each for each in head.review if counts(shop, each)]
    if head.status != "approved" or not signed:
        return Standing()
    now = tuple(each for each in signed if _mark(each).content == content)
    newest = max(now or signed, key=lambda each: each.on)
    return Standing(State.SIGNED if now else State.CHANGED, newest.by, newest.on, now)


def _mark(signature: Signature) -> Mark:
    return read_mark(signature.mark) or Mark("", "", "")


def stand(
    shop: ShopSettings, entries: Sequence[Entry], last: LastText, store: Store | None = None
) -> tuple[Entry, ...]:
    """Return the entries, each saying how it stands to what was signed.

    Args:
        entries: With every page written out: a signature is for what its steps say, not for the lines they came from.
        last: Asked for pages that somebody's safety hangs on and that are being changed, or signed in part.
    """
    stood = [_with(entry, standing(shop, _head(entry), _content(entry))) for entry in entries]
    base = KnowledgeBase(shop, {entry.ref: entry for entry in stood}, {})
    pages = [entry.ref for entry in stood if entry.ref.kind is Kind.PROCEDURE and _head(entry).standing.now]
    makers = [(("missing", str(ref)), partial(missing, base, ref)) for ref in pages]
    lacks = zip(pages, kept_all(store or Store(), base, makers), strict=True)
    partly = {ref for ref, found in lacks if found}
    return tuple(_replaced(shop, entry, last, partly=entry.ref in partly) for entry in stood)


def _head(entry: Entry) -> Head:
    return entry.card.head if isinstance(entry, KeptEntry) else entry.record.head


def _content(entry: Entry) -> str:
    digests = entry.card.digests if isinstance(entry, KeptEntry) else digests_of("", entry.data)
    return digests.content


def _replaced(shop: ShopSettings, entry: Entry, last: LastText, *, partly: bool) -> Entry:
    """Return an entry that says whether all have signed it, with the text in its place where one must not go missing."""
    head = _head(entry)
    found = replace(head.standing, state=State.PARTLY) if partly else head.standing
    if found.state in (State.CHANGED, State.PARTLY) and keeps_people_safe(entry):
        text = last(entry.ref)
        theirs = [each for each in head.review if counts(shop, each) and _mark(each).text == text_mark(text)]
        if text and theirs:
            newest = max(theirs, key=lambda each: each.on)
            found = replace(found, last=text, by=newest.by, on=newest.on)
    return _with(entry, found)


def _with(entry: Entry, found: Standing) -> Entry:
    """Return an entry with how it stands."""
    head = _head(entry)
    if found == head.standing:
        return entry
    standing_head = replace(head, standing=found)
    if not isinstance(entry, KeptEntry):
        return replace(entry, record=replace(entry.record, head=standing_head))
    whole = entry.whole

    def read() -> tuple[AnyRecord, Mapping[str, Any]]:
        record, data = whole()
        return replace(record, head=standing_head), data

    return KeptEntry(entry.ref, entry.path, replace(entry.card, head=standing_head), read)


def keeps_people_safe(entry: Entry) -> bool:
    """Return whether a page makes safe, proves or leaves: it must never go missing."""
    return keeps_safe(entry.whole()[0] if isinstance(entry, KeptEntry) else entry.record)


def keeps_safe(page: object) -> bool:
    """Return the same of a record."""
    return isinstance(page, Procedure) and (
        bool(page.tests)
        or any(isinstance(step.action, _SAFE) for step in page.steps)
        or any(isinstance(step.action, act.End) and step.action.end == "left-safe" for step in page.steps)
    )


def isolates(entry: Entry) -> bool:
    """Return whether a page switches off and locks, or proves: what is watched at the plant."""
    page = entry.record
    return isinstance(page, Procedure) and any(isinstance(step.action, _SAFE) for step in page.steps)


_SAFE = act.Isolate | act.Lock | act.ProveDead | act.ProveGone


@dataclass(frozen=True, slots=True)
class Need:
    """A licence that the steps of a page need, and what for.

    Attributes:
        volts: The highest voltage, of an electrical one.
    """

    licence: str
    volts: float = 0.0

    def __str__(self) -> str:
        said = LICENCES[self.licence]
        return f"a licence for {said}" + (f" up to {self.volts:g} V" if self.volts else "")


def needs(base: KnowledgeBase, page: object) -> tuple[Need, ...]:
    """Return the licences that the steps of a page need; none of an entry without steps."""
    if not isinstance(page, Procedure):
        return ()
    volts = max(_volts(base, page), default=0.0)
    if page.who == "licensed-electric":
        volts = max(volts, *_all_volts(base, page), TOUCHABLE + 1)
    actions = [step.action for step in page.steps]
    gas = page.who == "licensed-gas" or any(
        isinstance(each, act.OpenGasTrain | act.Cap | act.LeakCheck) for each in actions
    )
    pressure = {
        source.id for plant in _plants(base, page) for source in plant.sources if source.energy == "pressure"
    }
    boiler = any(isinstance(each, act.ProveGone) and each.prove_gone in pressure for each in actions) or any(
        isinstance(each, act.Isolate) and each.isolate in pressure for each in actions
    )
    return (
        *([Need("gas")] if gas else []),
        *([Need("electric", volts)] if volts > TOUCHABLE else []),
        *([Need("boiler")] if boiler else []),
        *([Need("first-aid")] if page.occasion == "emergency" else []),
    )


def meets(person: Person | None, need: Need) -> bool:
    """Return whether somebody holds a licence."""
    return person is not None and need.licence in person.may and need.volts <= max(person.volts, TOUCHABLE)


def lacking(base: KnowledgeBase, entry: Entry) -> tuple[Need, ...]:
    """Return the licences of a signed page that none of its signatures is for."""
    shop = base.shop
    signed = entry.head.standing.now
    return tuple(
        need
        for need in needs(base, entry.record)
        if not any(need.licence in each.for_ and meets(person_of(shop, each.by), need) for each in signed)
    )


def missing(base: KnowledgeBase, ref: Ref) -> tuple[str, ...]:
    """Return in words what a signed page still needs: licences, and people who must sign it."""
    entry = base.entries[ref]
    waits = still_to_sign(base, entry, [each.by for each in entry.head.standing.now])
    return (*map(str, lacking(base, entry)), *waits)


def still_to_sign(base: KnowledgeBase, entry: Entry, signed: Iterable[str]) -> tuple[str, ...]:
    """Return who must sign a page that followed from the plant's entry, beside those who did, in words.

    Nobody wrote its steps: who answers for that entry signs it, and who walked it at a plant.

    Args:
        signed: Initials of who signed the page as it is.
    """
    page, walked, by = entry.record, entry.head.walked, frozenset(signed)
    if not isinstance(page, Procedure) or not page.taken_over:
        return ()
    if walked is None:
        return ("somebody who walked it at a plant",)
    plants = [plant for name in page.equipment if (plant := base.entries.get(Ref(Kind.EQUIPMENT, name)))]
    answer = {each.by for plant in plants for each in plant.head.standing.now}
    before = {f"{each.by} before it was changed" for plant in plants for each in plant.head.review}
    known = ", ".join(sorted(answer)) or (
        f"{', '.join(sorted(before))}; sign it anew first, kbgen sign {plants[0].ref} --by XY"
        if before
        else "nobody yet"
    )
    plant_said = f"who signed the plant's entry ({known})"
    return (
        *([f"{walked.did}, who walked it"] if walked.did not in by else []),
        *([plant_said] if by.isdisjoint(answer) else []),
    )


def _plants(base: KnowledgeBase, page: Procedure) -> list[Any]:
    return [plant for name in page.equipment if (plant := base.equipment(name)) is not None]


def _all_volts(base: KnowledgeBase, page: Procedure) -> Iterator[float]:
    for plant in _plants(base, page):
        yield from (source.voltage.hi for source in plant.sources if source.voltage is not None)


def _volts(base: KnowledgeBase, page: Procedure) -> Iterator[float]:
    """Yield the nominal voltages that hands or probes come near to."""
    volts = {
        source.id: source.voltage.value
        for plant in _plants(base, page)
        for source in plant.sources
        if source.voltage is not None
    }
    for step in page.steps:
        match step.action:
            case act.ProveDead(prove_dead=source) | act.Guard(guard=source):
                yield volts.get(source, 0.0)
            case act.Measure() | act.Watch() | act.Clip() | act.Fit():
                circuit = base.circuit(step.action.circuit or page.circuit)
                if circuit is not None:
                    yield volts.get(circuit.supply.source, circuit.supply.voltage.value)
