"""How a run of a plant goes: the stages as a table and as a picture."""

from __future__ import annotations

from dataclasses import replace

from kbgen.compute.sequence import needs, stages_of
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment, Stage, Variant
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Block, Drawing, Line, Mark, Plain, Table
from kbgen.views.compose import marks, plain, section, sentences
from kbgen.views.fitting import fits_sizes, only
from kbgen.views.page import Section
from kbgen.views.sequence_chart import sequence_chart

CHART = (
    "Full bar: must be made. Empty bar: must be open. Dashed: not checked. In brackets: normal, passes by"
    " itself."
)


def only_for(plant: Equipment, sizes: tuple[str, ...]) -> str:
    """Say which sizes something is only for; empty for all of them."""
    fits = fits_sizes(plant, sizes)
    return f" (only {fits.said})" if fits else ""


def stage_tables(base: KnowledgeBase, plant: Equipment) -> tuple[Table, ...]:
    """Tell the stages in order, and the displays that pass by themselves."""
    if not plant.sequence:
        return ()
    rows = tuple(
        (
            (Plain(stage.title + only_for(plant, stage.sizes)),),
            plain(stage.lasts.text if stage.lasts else "as long as it lasts"),
            marks(stage.displays),
            _needs(base, stage),
            plain(stage.means),
        )
        for stage in plant.sequence
    )
    passing = tuple(
        (
            (Mark(passing.shows),),
            plain(stage.title),
            plain(passing.lasts.text),
            plain(sentences(passing.why, passing.how_often)),
        )
        for stage in plant.sequence
        for passing in stage.passes
    )
    fits = tuple(fits_sizes(plant, stage.sizes) for stage in plant.sequence)
    tables = [Table("Stages in order", ("Stage", "Lasts", "Shows", "Contacts", "What happens"), rows, fits)]
    if passing:
        head = ("Display", "In stage", "Passes after", "Why it is normal")
        fits = tuple(fits_sizes(plant, stage.sizes) for stage in plant.sequence for _ in stage.passes)
        tables.append(Table("Displays that are normal and pass by themselves", head, passing, fits))
    return tuple(tables)


def _needs(base: KnowledgeBase, stage: Stage) -> Line:
    made = [base.title(Ref(Kind.CIRCUIT, name)) for name in stage.strings_made]
    made += [base.title(Ref(Kind.DEVICE, name)) for name in stage.made]
    groups = [
        f"{label}: {', '.join(names)}"
        for label, names in (
            ("made", made),
            ("must be open", [base.title(Ref(Kind.DEVICE, name)) for name in stage.open]),
            ("ignored", [base.title(Ref(Kind.DEVICE, name)) for name in stage.ignored]),
        )
        if names
    ]
    return plain("; ".join(groups)) if groups else ()


def chart_section(base: KnowledgeBase, entry: Entry, plant: Equipment) -> Section | None:
    """Draw the run, once for sizes that ask the same; too wide for a pocket, whose table says the same."""
    groups: dict[tuple[tuple[str, str, str], ...], list[Variant]] = {}
    for size in plant.sizes:
        groups.setdefault(_asked(base, entry, size.id), []).append(size)
    charts: list[Block] = []
    for sizes in list(groups.values()) or [[]]:
        drawn = sequence_chart(base, entry.ref.id, sizes[0].id if sizes else "")
        fits = fits_sizes(plant, [size.id for size in sizes] if len(groups) > 1 else ())
        charts += only(fits, Drawing(drawn.svg, drawn.alt, CHART) if drawn else None)
    found = section("sequence-chart", "The run as a picture", *charts)
    return replace(found, web_only=True) if found else None


def _asked(base: KnowledgeBase, entry: Entry, size: str) -> tuple[tuple[str, str, str], ...]:
    return tuple(
        (stage.id, need.device, need.must)
        for stage in stages_of(base, entry.ref.id, size)
        for need in needs(base, entry.ref.id, stage.id, size)
    )
