"""What is due on a family of plant: the shop's own scheme, as a page and as a part of the plant's page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kbgen.compute.due import Due, by_interval, due_list, pages_done
from kbgen.link.base import KnowledgeBase
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.model.proof import Proof
from kbgen.ref import Kind, Ref
from kbgen.views.address import due_index
from kbgen.views.blocks import Block, Fact, Line, Plain, Table
from kbgen.views.compose import device_line, fact, goto, items, links, plain, section, sections, sentences
from kbgen.views.equipment_run import only_for
from kbgen.views.fitting import fits_sizes
from kbgen.views.page import Page, Section

DUE = "What is proved, and how often"
LICENSED = {
    "operator": "the operator",
    "gas": "licensed for gas",
    "electric": "licensed for electrical work",
    "boiler": "licensed for boilers",
}
DEFERS = "Where local code, the maker's instructions, the inspector or the insurer ask for more or sooner, that holds."
"""What stands above every list of what is due."""
NO_PAGE = "As the maker says"
"""How something is proved that no page of the shop does."""
_HEAD = ("What", "Must be found", "Who", "How", "Log kept")


def due_page(base: KnowledgeBase, entry: Entry, plant: Equipment) -> Page | None:
    """List what is due on a plant; ``None`` where nothing is."""
    found = due_list(base, entry.ref.id)
    if not found:
        return None
    return Page(
        ref=due_index(entry.ref.id),
        title=f"{DUE}: {entry.title}",
        kicker="Plant",
        lead=whose(base),
        sections=sections(
            *(
                section(
                    f"due-{number}",
                    said,
                    *_tables(base, plant, _counted(dues), dues),
                    _starts(base, entry, dues),
                )
                for number, (said, dues) in enumerate(by_interval(found), 1)
            ),
            section("plant", "The plant", links([goto(base, entry.ref)])),
        ),
        equipment=(entry.ref.id,),
        minor=True,
    )


def due_section(base: KnowledgeBase, entry: Entry, plant: Equipment) -> Section | None:
    """Make the same a part of the plant's page; nothing where nothing is due."""
    found = due_list(base, entry.ref.id)
    tables = [table for said, dues in by_interval(found) for table in _tables(base, plant, said, dues)]
    return section("due", DUE, items([whose(base)]), *tables) if tables else None


def season_section(base: KnowledgeBase, ref: Ref, procedure: Procedure) -> Section | None:
    """List on a page for the start of the season what is due there or proved by it; nothing where nothing is."""
    tables: list[Table] = []
    for plant_id in procedure.equipment if procedure.occasion == "season-start" else ():
        plant = base.equipment(plant_id)
        if plant is not None:
            found = _in_season(ref, procedure, due_list(base, plant_id))
            tables += [
                table for said, dues in by_interval(found) for table in _tables(base, plant, said, dues)
            ]
    return section("due", "What this page has to prove", items([whose(base)]), *tables) if tables else None


def _in_season(ref: Ref, procedure: Procedure, dues: Iterable[Due]) -> list[Due]:
    """Return what a page for the start of the season answers for: what is due then, and what it proves by itself."""
    done = pages_done(ref, procedure)
    return [due for due in dues if due.proof.every.at_season_start or due.proof.by in done]


def proof_facts(base: KnowledgeBase, ref: Ref, device: Device) -> Iterator[Fact | None]:
    """Yield how often a device is proved and what must be found, for its own page."""
    musts: dict[str, list[str]] = {proof.id: [] for proof in device.proofs}
    for plant_id in device.equipment:
        for due in due_list(base, plant_id):
            if due.of == ref:
                musts[due.proof.id] += [figure for figure, _ in due.must]
    for proof in device.proofs:
        must = dict.fromkeys([*musts[proof.id], *([proof.value] if proof.value else [])])
        said = sentences(proof.prove, f"Must be found: {'; '.join(must)}" if must else "", *_more(proof))
        yield fact(proof.every.said, f"{said} By {_who(base, proof)}.")


def whose(base: KnowledgeBase) -> str:
    """Say whose intervals these are, and what comes before them."""
    scheme = f": {base.shop.scheme}" if base.shop.scheme else ""
    return sentences(f"This is the scheme of {base.shop.shop}{scheme}", DEFERS)


def _more(proof: Proof) -> Iterator[str]:
    if proof.keep:
        yield f"Log kept {proof.keep.text}"
    yield f"{proof.note}." if proof.note and proof.note[-1] not in ".!?" else proof.note


def _counted(dues: tuple[Due, ...]) -> str:
    """Head a table whose section says how often."""
    return "1 proof" if len(dues) == 1 else f"{len(dues)} proofs"


def _who(base: KnowledgeBase, proof: Proof) -> str:
    """Say who proves it; where its page is for the lead technician alone, so is the proof."""
    page = base.procedure(proof.by) if proof.by else None
    lead = ["the lead technician"] if page is not None and page.who == "lead-technician" else []
    return ", ".join([*lead, *(LICENSED[each] for each in proof.who)]) or "a trained technician"


def _tables(base: KnowledgeBase, plant: Equipment, said: str, dues: Iterable[Due]) -> Iterator[Table]:
    dues = tuple(dues)
    rows = tuple(
        (
            _what(base, due, plant),
            plain("; ".join(figure + only_for(plant, sizes) for figure, sizes in due.must)),
            plain(_who(base, due.proof).capitalize()),
            (goto(base, Ref(Kind.PROCEDURE, due.proof.by)),) if due.proof.by else plain(NO_PAGE),
            plain(due.proof.keep.text if due.proof.keep else ""),
        )
        for due in dues
    )
    yield Table(said, _HEAD, rows, tuple(fits_sizes(plant, due.proof.sizes) for due in dues))


def _what(base: KnowledgeBase, due: Due, plant: Equipment) -> Line:
    said = plain(sentences(due.proof.prove + only_for(plant, due.proof.sizes), due.proof.note))
    if due.of.kind is not Kind.DEVICE:
        return said
    return (*device_line(base, due.of.id), Plain(". "), *said)


def _starts(base: KnowledgeBase, entry: Entry, dues: tuple[Due, ...]) -> Block | None:
    """Lead to the pages for the start of the season that do what is due."""
    pages = [
        goto(base, page.ref)
        for page, procedure in base.of(Procedure)
        if procedure.occasion == "season-start" and entry.ref.id in procedure.equipment
        if _in_season(page.ref, procedure, dues)
    ]
    return links(pages)
