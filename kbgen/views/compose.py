"""Small helpers the pages of all kinds are put together with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from kbgen.compute.cautions import rank
from kbgen.compute.review import due
from kbgen.link.base import KnowledgeBase
from kbgen.model.caution import Caution
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.head import State, Walked
from kbgen.model.plant import Machine
from kbgen.ref import Kind, Ref
from kbgen.text import Code, Inline, Link, Listing, RichText, Words, words
from kbgen.views.blocks import (
    Block,
    Fact,
    Facts,
    Goto,
    Item,
    Items,
    Line,
    Mark,
    Notice,
    Picture,
    Plain,
    Prose,
    Signal,
    Span,
)
from kbgen.views.page import Review, Section

if TYPE_CHECKING:
    from kbgen.compute.circuit.study import Study


def goto(base: KnowledgeBase, ref: Ref) -> Goto:
    """Lead to an entry under its own title."""
    return Goto(base.title(ref), ref)


def gotos(base: KnowledgeBase, kind: Kind, ids: Iterable[str]) -> tuple[Goto, ...]:
    """Lead to several entries of one kind."""
    return tuple(goto(base, Ref(kind, entry_id)) for entry_id in ids)


def plain(text: str) -> Line:
    """Make a line of plain text."""
    return (Plain(text),)


def marks(texts: Iterable[str]) -> Line:
    """Make a line of marks with spaces between them."""
    return joined([Mark(text) for text in texts], " ")


def joined(spans: Sequence[Span], separator: str = ", ") -> Line:
    """Put spans side by side."""
    line: list[Span] = []
    for span in spans:
        if line:
            line.append(Plain(separator))
        line.append(span)
    return tuple(line)


def fact(label: str, *lines: Line | str | None) -> Fact | None:
    """Make a labelled value, or nothing where there is nothing to say."""
    kept = tuple(plain(line) if isinstance(line, str) else line for line in lines if line)
    return Fact(label, kept) if kept else None


def line_of(text: RichText) -> Line:
    """Make one line of a long text; marks and links stay what they are."""
    found: list[Plain | Mark | Goto] = []
    for block in text:
        if isinstance(block, Listing):
            found.append(Plain(" " + words((block,))))
        else:
            found += [span for inline in block.children for span in _spans(inline)]
    return tuple(found)


def _spans(inline: Inline) -> Iterator[Plain | Mark | Goto]:
    match inline:
        case Words(text):
            yield Plain(text)
        case Code(text):
            yield Mark(text)
        case Link(children, target):
            yield Goto(
                "".join(span.text for c in children for span in _spans(c) if not isinstance(span, Goto)),
                target,
            )
        case _:
            for child in getattr(inline, "children", ()):
                yield from _spans(child)


def facts(*rows: Fact | None) -> Facts | None:
    """Make a fact list of the rows that say something, or nothing."""
    kept = tuple(row for row in rows if row is not None)
    return Facts(kept) if kept else None


def prose(text: RichText) -> Prose | None:
    """Make a block of long text, or nothing."""
    return Prose(text) if text else None


def sentences(*parts: str) -> str:
    """Put lines one behind the other; what ends without a stop gets one, so that they do not run together.

    >>> sentences("It makes again at 90 psi", "After every stop.")
    'It makes again at 90 psi. After every stop.'
    """
    said = [part.strip() for part in parts if part.strip()]
    ended = [part if part[-1] in ".!?:;…" else f"{part}." for part in said[:-1]]
    return " ".join([*ended, *said[-1:]])


def items(lines: Iterable[Line | str], ordered: bool = False) -> Items | None:
    """Make a list of short lines, or nothing."""
    kept = tuple(Item(plain(line) if isinstance(line, str) else line) for line in lines)
    return Items(kept, ordered=ordered) if kept else None


def links(targets: Iterable[Goto]) -> Items | None:
    """Make a list to choose from, or nothing."""
    kept = tuple(Item((target,)) for target in targets)
    return Items(kept, tappable=True) if kept else None


def section(anchor: str, title: str, *blocks: Block | None) -> Section | None:
    """Make a section of the blocks that say something, or nothing."""
    kept = tuple(block for block in blocks if block is not None)
    return Section(anchor, title, kept) if kept else None


def sections(*found: Section | None) -> tuple[Section, ...]:
    """Keep the sections that say something."""
    return tuple(part for part in found if part is not None)


def notice(base: KnowledgeBase, ref: Ref, brief: bool = False) -> Notice | None:
    """Make the safety message of a caution entry."""
    entry = base.entries.get(ref)
    if entry is None or not isinstance(entry.record, Caution) or entry.head.withdrawn:
        return None
    caution = entry.record
    return Notice(
        signal=Signal(caution.signal),
        title=caution.head.title,
        hazard=caution.hazard,
        consequence=caution.consequence,
        avoid=caution.avoid,
        ref=ref,
        brief=brief,
    )


def notices(base: KnowledgeBase, caution_ids: Iterable[str]) -> tuple[Notice, ...]:
    """Make the safety messages of several caution entries, the worst first."""
    refs = sorted((Ref(Kind.CAUTION, each) for each in caution_ids), key=lambda ref: rank(base, ref))
    found = (notice(base, ref) for ref in refs)
    return tuple(message for message in found if message is not None)


def review(base: KnowledgeBase, entry: Entry, study: Study | None = None) -> Review:
    """Say who vouches for an entry as it stands, and until when; whoever signed something else does not."""
    head = entry.head
    signed = head.standing.now
    walked = _walked(base, head.walked)
    if not signed:
        return Review("", "", "", walked=walked)
    by = ", ".join(dict.fromkeys(each.by for each in signed))
    if head.standing.state is State.PARTLY:
        by += " (not yet by all it needs)"
    on, first = max(each.on for each in signed), min(each.on for each in signed)
    # Imported late: most pages rest on no circuit.
    from kbgen.compute.figures import figures_differ

    changed = study is not None and figures_differ(study, entry.ref)
    return Review(by, on, due(first, base.shop.review_months), changed, walked)


def _walked(base: KnowledgeBase, walked: Walked | None) -> str:
    if walked is None:
        return ""
    said = f"Walked at plant {walked.plant} by {walked.did} on {walked.on}, watched by {walked.watched}."
    months = base.shop.walk_months
    return f"{said} To be walked again by {due(walked.on, months)}." if months else said


def machine_name(entry: Entry) -> str:
    """Return how a machine is named in a list: by its tag first."""
    return f"{entry.record.number} · {entry.title}" if isinstance(entry.record, Machine) else entry.title


def machine_goto(base: KnowledgeBase, machine_id: str) -> Goto | None:
    """Lead to a machine by its tag and title; nowhere where it is not told."""
    entry = base.entries.get(Ref(Kind.PLANT, machine_id)) if machine_id else None
    return Goto(machine_name(entry), entry.ref) if entry is not None else None


def kicker(base: KnowledgeBase, kind: str, equipment: Iterable[str]) -> str:
    """Say what kind of page it is and which plant it is about."""
    plants = [base.title(Ref(Kind.EQUIPMENT, plant)) for plant in equipment]
    return " · ".join([kind, ", ".join(plants)]) if plants else kind


def size_titles(base: KnowledgeBase, equipment: Iterable[str], sizes: Iterable[str]) -> tuple[str, ...]:
    """Return sizes as people call them."""
    known = {
        size.id: size.title
        for plant_id in equipment
        if (plant := base.equipment(plant_id)) is not None
        for size in plant.sizes
    }
    return tuple(known.get(size, size) for size in sizes)


def pictures(entry: Entry) -> tuple[Picture, ...]:
    """Return the pictures of an entry."""
    return tuple(Picture(photo.file, photo.alt, photo.caption) for photo in entry.head.photos)


def picture_section(entry: Entry) -> Section | None:
    """Make the section of an entry's pictures."""
    return section("pictures", "Pictures", *pictures(entry))


def device_line(base: KnowledgeBase, device_id: str) -> Line:
    """Name a device with a link, and with its mark where it has one."""
    device = base.device(device_id)
    link = goto(base, Ref(Kind.DEVICE, device_id))
    return (link, Plain(" "), Mark(device.mark)) if isinstance(device, Device) and device.mark else (link,)


_BACKLINK_ORDER = (
    Kind.SYMPTOM,
    Kind.PROCEDURE,
    Kind.DEVICE,
    Kind.CIRCUIT,
    Kind.EQUIPMENT,
    Kind.CAUTION,
    Kind.TERM,
)


def backlink_section(base: KnowledgeBase, entry: Entry) -> Section | None:
    """List the pages that name this one, by kind; field notes are told elsewhere."""
    named_by = base.backlinks.get(entry.ref, ())
    rows = [
        fact(kind.plural, *[(goto(base, ref),) for ref in named_by if ref.kind is kind])
        for kind in _BACKLINK_ORDER
    ]
    named = facts(*rows)
    return Section("named-on", "Named on these pages", (named,), web_only=True) if named else None
